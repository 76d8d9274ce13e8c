"""Decoupling: the rows side by side, each with what was left out and how far to trust it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.analysis.decoupling import Decoupling, HalfComparison
from slopebeat.model.units import KMH_PER_MPS, clock, duration, known
from slopebeat.session.display import number
from slopebeat.session.session import Session
from slopebeat.window.parts import label

HEADERS = (
    ("Output taken", "What the heart rate is compared with."),
    ("Decoupling", "Positive: the heart rate rose for the same output in the second half."),
    ("First half", "Mean output and mean heart rate of the first half."),
    ("Second half", "Mean output and mean heart rate of the second half."),
    ("Used and left out", "Time that entered, where the halves meet, and what did not enter."),
    ("How far to trust it", "Whether the figure can be read as a drift of the heart."),
)


@dataclass(frozen=True)
class DecouplingRow:
    """One row as shown."""

    name: str
    tip: str
    halves: HalfComparison


def rows_of(found: Decoupling) -> list[DecouplingRow]:
    work = "On recorded power" if "power" in found.work.unit else "On work rate"
    return [
        DecouplingRow("On speed", "Mean speed per heart beat, as convention has it.", found.pace),
        DecouplingRow(work, "Mean work rate per heart beat; it counts the slope.", found.work),
    ]


def _output(value: float | None, hr_bpm: float | None, unit: str) -> str:
    factor, shown = (KMH_PER_MPS, "km/h") if "m/s" in unit else (1.0, "W/kg")
    return f"{number(value, 2, factor)} {shown}\nat {number(hr_bpm)} bpm"


def _left_out(row: HalfComparison) -> str:
    used = f"{duration(row.used_s)} used"
    if row.split_s is not None:
        used += f", halves meet at {clock(row.split_s)}"
    out = [f"{reason}: {duration(seconds)}" for reason, seconds in row.excluded_s.items() if seconds >= 1]
    return used + (f"\nleft out: {', '.join(out)}" if out else "\nnothing left out")


class DecouplingPanel(QScrollArea):
    """A grid of words and figures, made anew for each review."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setWidgetResizable(True)
        self.setAccessibleName("Decoupling")
        session.outing.reviewed.connect(self._show)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.setWidget(_grid(rows_of(review.decoupling)))


def _grid(rows: Sequence[DecouplingRow]) -> QWidget:
    page = QWidget()
    outer = QVBoxLayout(page)
    outer.setContentsMargins(14, 8, 14, 8)
    grid = QGridLayout()
    grid.setHorizontalSpacing(20)
    grid.setVerticalSpacing(10)
    outer.addLayout(grid)
    outer.addStretch(1)
    for column, (header, tip) in enumerate(HEADERS):
        grid.addWidget(label(header, "caption", tip), 0, column)
    grid.setColumnStretch(4, 2)
    grid.setColumnStretch(5, 3)
    for at, row in enumerate(rows, start=1):
        halves = row.halves
        percent = f"{number(halves.percent, 1)} %" if known(halves.percent) else "not known"
        cells = (
            label(row.name, "figure", row.tip),
            label(percent, "figure", HEADERS[1][1]),
            label(_output(halves.first_output, halves.first_hr_bpm, halves.unit)),
            label(_output(halves.second_output, halves.second_hr_bpm, halves.unit)),
            label(_left_out(halves), wrap=True),
            label(f"{halves.verdict.value.capitalize()}. {halves.reason}", wrap=True),
        )
        for column, cell in enumerate(cells):
            grid.addWidget(cell, at, column, Qt.AlignmentFlag.AlignTop)
    return page
