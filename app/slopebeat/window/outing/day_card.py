"""The day above its parts: what counted over all, where the time went, and the way from part to part."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QPushButton

from slopebeat.model.language import tr, trn
from slopebeat.report.words import file_name
from slopebeat.review.day.day import Day
from slopebeat.review.day.rows import day_parts_of, part_rows
from slopebeat.review.day.words import day_answer, day_span, day_title, drift_sentences
from slopebeat.session.outing.day import OpenDay
from slopebeat.session.session import Session
from slopebeat.window.widgets.account_picture import AccountBar
from slopebeat.window.widgets.page_file import save_formats
from slopebeat.window.widgets.parts import button, explained_by, holder, label, row, stacked
from slopebeat.window.widgets.wrapping_row import WrappingRow

if TYPE_CHECKING:
    from slopebeat.report.formats import Formats


class DayCard(QFrame):
    """Hidden while no other recording of the day is open."""

    changed = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.setObjectName("card")
        self._session = session
        self._state: OpenDay = session.day
        self.title = label("", "heading", wrap=True)
        self.headline, self.drift = label("", "detail", wrap=True), label("", "muted", wrap=True)
        self.bar = AccountBar()
        self.parts: list[QPushButton] = []
        self.join = button(tr("Review as one outing"), "flat")
        self.apart = button(tr("Keep apart"), "flat", tr("Review each recording by itself again"))
        self.save = button(tr("Save the report of the day…"), "flat", tr("One report of all parts"))
        self.notice = label("", "caption")
        explained_by("between_parts", self.title)
        explained_by("in_band", self.headline)
        explained_by("day.drift", self.drift)
        self._row = WrappingRow(spacing=6)
        self._ways = holder(self._row)
        self._acts = holder(WrappingRow(self.join, self.apart, self.save, self.notice))
        below = row(self._ways, (self._acts, 1), spacing=12)
        said = (self.title, self.headline, self.bar, self.drift)
        stacked(*said, below, of=self, margins=(12, 6, 12, 6), spacing=3)
        self.join.clicked.connect(lambda: self._state.join(True))
        self.apart.clicked.connect(lambda: self._state.join(False))
        self.save.clicked.connect(self._save)
        session.steps.follow(self._show, self._state.changed)
        self._show()

    def _show(self) -> None:
        day, offered = self._state.day, len(self._state.offered)
        for widget in (self.title, self.headline, self.bar, self._ways, self.drift, self.apart, self.save):
            widget.setVisible(day is not None)
        self.join.setVisible(day is None and offered > 1)
        text = trn("{n} recording of this day is open.", "{n} recordings of this day are open.", offered)
        self.notice.setText(text.format(n=offered) if day is None else "")
        if day is not None:
            self._show_day(day)
        shown, wanted = not self.isHidden(), day is not None or offered > 1
        self.setVisible(wanted)
        if shown or wanted:
            self.changed.emit()

    def _show_day(self, day: Day) -> None:
        self.title.setText(day_title(day))
        self.title.setToolTip(day_span(day))
        self.headline.setText(" ".join(day_answer(day)))
        self.bar.show_parts(day_parts_of(day))
        self.bar.setVisible(day.account is not None)
        drift, *more = drift_sentences(day.drift)
        self.drift.setText(" ".join([drift, *more[-1:]]))
        words = [tr("{n}  {sport}").format(n=i, sport=part.sport) for i, part in enumerate(part_rows(day), 1)]
        if words != [way.text() for way in self.parts]:
            self._make_ways(words)
        self._check()

    def _make_ways(self, words: list[str]) -> None:
        for old in self.parts:
            self._row.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.parts = []
        for number, text in enumerate(words):
            way = button(text, "segment", tr("Show part {n}").format(n=number + 1))
            way.clicked.connect(partial(self._go, number))
            self._row.addWidget(way)
            self.parts.append(way)

    def _go(self, number: int) -> None:
        self._session.outing.choose(self._state.parts[number])
        self._check()

    def _check(self) -> None:
        """The part on screen is the button that is down."""
        for way, part in zip(self.parts, self._state.parts, strict=True):
            way.setChecked(part == self._session.outing.index)

    def _save(self) -> None:
        day = self._state.day
        if day is None:
            return
        name, title = file_name(day_title(day), ".pdf"), tr("Save report")
        kinds, formats = "PDF (*.pdf);;HTML (*.html)", partial(_formats_of, day)
        background = self._session.background
        save_formats(self, background, title, name, kinds, formats, self.notice.setText)


def _formats_of(day: Day) -> Formats:
    """What writes reports is loaded with the first of them: most starts write none."""
    from slopebeat.report.day import day_formats

    return day_formats(day)
