"""Decoupling: the rows side by side, each with what was left out and how far to trust it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.analysis.response.decoupling import HalfComparison, Output, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.grid import LeftOut
from slopebeat.analysis.response.terrain_fair import TerrainFair
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import SPEED
from slopebeat.model.units import clock, duration, known
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.present.messages import say
from slopebeat.review.present.names import key_name
from slopebeat.review.wording import begun
from slopebeat.session.session import Session
from slopebeat.session.settings.display import number
from slopebeat.window.outing.drift_test_box import DriftTestBox
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label

HEADERS = (
    (mark("Output taken"), hint("halves.output")),
    (mark("Decoupling"), hint("halves.figure")),
    (mark("First half"), hint("halves.first")),
    (mark("Second half"), hint("halves.second")),
    (mark("Used and left out"), hint("halves.used")),
    (mark("How far to trust it"), hint("halves.trust")),
)


@dataclass(frozen=True)
class DecouplingRow:
    """One row in words, in the order of :data:`HEADERS`; ``tip`` explains what is compared.

    ``answers`` is False where the figure is no answer and is shown small.
    """

    name: str
    tip: str
    figure: str
    first: str
    second: str
    used: str
    trust: str
    answers: bool


def rows_of(review: Review) -> list[DecouplingRow]:
    """The two plain rows and the terrain-fair one."""
    found = review.decoupling
    work = tr("On recorded power") if found.work.output is Output.POWER else tr("On work rate")
    return [
        _plain(tr("On speed"), tr(hint("halves.pace")), found.pace),
        _plain(work, tr(hint("halves.work")), found.work),
        _terrain_fair(review.terrain_fair),
    ]


def _plain(name: str, tip: str, row: HalfComparison) -> DecouplingRow:
    trust = f"{begun(key_name(row.verdict))}. {say(row.reason)}"
    used = _used(row.used_s, row.split_s, row.excluded_s)
    first = _output(row.first_output, row.first_hr_bpm, row.output)
    second = _output(row.second_output, row.second_hr_bpm, row.output)
    answers = row.verdict is Verdict.STEADY
    return DecouplingRow(name, tip, _percent(row.percent), first, second, used, trust, answers)


def _terrain_fair(row: TerrainFair) -> DecouplingRow:
    """Fitted heart rate for one and the same work, early and late."""
    figure, trust = _percent(row.percent), f"{begun(key_name(row.status))}. {say(row.reason)}".strip()
    if row.interval_percent is not None:
        low, high = row.interval_percent
        figure += "\n" + tr("{low} to {high}").format(low=number(low, 1), high=number(high, 1))
    if row.drift_bpm_per_h is not None:
        trust += f" {_drift(row.drift_bpm_per_h, row.drift_interval_bpm_per_h)}"
    return DecouplingRow(
        tr("Terrain-fair"),
        tr(hint("terrain_fair")),
        figure,
        tr("the same work\nat {bpm} bpm").format(bpm=number(row.first_hr_bpm)),
        tr("the same work\nat {bpm} bpm").format(bpm=number(row.second_hr_bpm)),
        _used(row.used_s, None, row.excluded_s),
        trust,
        row.status is FitStatus.USABLE,
    )


def _drift(drift_bpm_per_h: float, interval: tuple[float, float] | None) -> str:
    drift = number(drift_bpm_per_h, 1)
    if interval is None:
        return tr("Drift {drift} bpm/h.").format(drift=drift)
    low, high = (number(end, 1) for end in interval)
    return tr("Drift {drift} bpm/h (95 %: {low} to {high}).").format(drift=drift, low=low, high=high)


def _percent(value: float | None) -> str:
    return f"{number(value, 1)} %" if known(value) else tr("not known")


def _output(value: float | None, hr_bpm: float | None, of: Output) -> str:
    shown = f"{SPEED.figure(value, 2)} {SPEED.unit}" if of is Output.SPEED else f"{number(value, 2)} W/kg"
    return tr("{output}\nat {bpm} bpm").format(output=shown, bpm=number(hr_bpm))


def _used(used_s: float, split_s: float | None, excluded_s: Mapping[LeftOut, float]) -> str:
    used = tr("{time} used").format(time=duration(used_s))
    if split_s is not None:
        used = tr("{time} used, halves meet at {split}").format(time=duration(used_s), split=clock(split_s))
    out = [
        f"{key_name(reason)}: {duration(seconds)}" for reason, seconds in excluded_s.items() if seconds >= 1
    ]
    if not out:
        return f"{used}\n{tr('nothing left out')}"
    return f"{used}\n{tr('left out: {parts}').format(parts=', '.join(out))}"


class DecouplingPanel(QScrollArea):
    """A grid of words and figures, made anew for each review, above the drift test."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWidgetResizable(True)
        self.setAccessibleName(tr("Decoupling"))
        self.drift_test = DriftTestBox(session)
        self._grid = QWidget()
        page = QWidget()
        self._column = QVBoxLayout(page)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self._grid)
        self._column.addWidget(self.drift_test)
        self._column.addStretch(1)
        self.setWidget(page)
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        fresh = _grid(rows_of(review))
        self._column.replaceWidget(self._grid, fresh)
        self._grid.deleteLater()
        self._grid = fresh
        self.drift_test.show_test(review.drift_test)


def _grid(rows: Sequence[DecouplingRow]) -> QWidget:
    page = QWidget()
    outer = QVBoxLayout(page)
    outer.setContentsMargins(14, 8, 14, 8)
    grid = QGridLayout()
    grid.setHorizontalSpacing(14)
    grid.setVerticalSpacing(6)
    outer.addLayout(grid)
    outer.addStretch(1)
    for column, (header, tip) in enumerate(HEADERS):
        grid.addWidget(label(tr(header), "caption", tr(tip)), 0, column)
    grid.setColumnStretch(4, 3)
    grid.setColumnStretch(5, 3)
    for at, row in enumerate(rows, start=1):
        cells = (
            label(row.name, "figure", row.tip),
            _figure(row.figure, row.answers),
            label(row.first),
            label(row.second),
            label(row.used, wrap=True),
            label(row.trust, wrap=True),
        )
        for column, cell in enumerate(cells):
            grid.addWidget(cell, at, column, Qt.AlignmentFlag.AlignTop)
    return page


def _figure(text: str, answers: bool) -> QWidget:
    """The figure large if it is an answer, its interval small beneath."""
    cell = QWidget()
    layout = QVBoxLayout(cell)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(0)
    figure, _, interval = text.partition("\n")
    layout.addWidget(label(figure, "figure" if answers else "caption", tr(HEADERS[1][1])))
    if interval:
        layout.addWidget(label(interval, "caption", tr("95 % interval of the fit.")))
    return cell
