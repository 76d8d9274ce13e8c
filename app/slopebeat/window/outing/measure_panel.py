"""Stretches measured: two drawn on the charts and their difference, or the outing cut into splits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.measures import pace_in_force
from slopebeat.review.outing import Review
from slopebeat.review.present.stretch import (
    NUMBER,
    STRETCH_FIGURES,
    SplitBy,
    Stretch,
    difference,
    measure_stretch,
    splits,
)
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.outing.stretches import StretchTable
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.parts import button, explained_by, label, row, stacked
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import Column, columns_of
from slopebeat.window.widgets.table import RowsTable


@dataclass(frozen=True)
class MeasureRow:
    """One row: its name as shown, and the stretch, or by how much two differ."""

    name: str
    stretch: Stretch


HAND_COLUMNS = (
    Column(mark("Stretch"), mark("As numbered on the charts"), lambda _, row: row.name, str, left=True),
    *columns_of(STRETCH_FIGURES, of=lambda row: row.stretch),
)
SPLIT_COLUMNS = columns_of((NUMBER, *STRETCH_FIGURES))

CHOICES: tuple[tuple[SplitBy | None, str], ...] = (
    (None, mark("Drawn by hand")),
    (SplitBy.LAP, mark("Laps of the device")),
    (SplitBy.DISTANCE, mark("By distance")),
    (SplitBy.ASCENT, mark("By ascent")),
)

NOTHING: dict[SplitBy, str] = {
    SplitBy.LAP: mark("The file holds no laps."),
    SplitBy.DISTANCE: mark("The recording has no distance."),
    SplitBy.ASCENT: mark("The recording has no elevation."),
}


class MeasurePanel(QWidget):
    """The stretch drawn last, the one before and how they differ; or laps and splits, one a row."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        ways = tr("Measure stretches drawn on the charts, or the outing cut end to end")
        self.by = choice_box(tr("Stretches"), ways, [(tr(name), None) for _, name in CHOICES])
        self.words = label("", "muted", wrap=True)
        explained_by("stretch.number", self)
        self.take = button(
            tr("Measure what is selected"), "", tr("The selected climb, episode, doubt, split or note")
        )
        self.forget = button(tr("Clear"), "", tr("Forget both stretches"))
        self.by.currentIndexChanged.connect(self._choose)
        self.take.clicked.connect(self._take_selection)
        self.forget.clicked.connect(session.measuring.clear)
        self.table = RowsTable(tr("Measured stretches"), HAND_COLUMNS)
        self.table.setSortingEnabled(False)
        self.table.setSelectionMode(RowsTable.SelectionMode.NoSelection)
        self.table.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.splits = StretchTable(session, Picked.SPLIT, SPLIT_COLUMNS, tr("Splits"), self._split)
        self.splits.hide()
        head = row(self.by, (self.words, 1), self.take, self.forget)
        parts = (head, (self.table, 1), (self.splits, 1))
        stacked(*parts, of=self, margins=(10, 4, 10, 4), spacing=2)
        self._refresh = RefreshWhenSeen(
            session.steps,
            self,
            session.measuring.changed,
            self._show,
            session.outing.reviewed,
            session.display.changed,
            session.selection.changed,
            stale=True,
        )

    def show_drawn(self) -> None:
        """Show what is drawn by hand."""
        self.by.setCurrentIndex(0)

    def _choose(self, at: int) -> None:
        by = CHOICES[at][0]
        self.splits.setVisible(by is not None)
        self.take.setVisible(by is None)
        self.forget.setVisible(by is None)
        if by is None:
            self._show()
        else:
            self.table.hide()
            self.words.setText(tr("A row selected here is selected on the charts, too."))
            self.splits.nothing = tr(NOTHING[by])
            self.splits.show_rows()

    def _split(self, review: Review) -> Sequence[Stretch]:
        by = CHOICES[self.by.currentIndex()][0]
        return () if by is None else splits(review, by)

    def _take_selection(self) -> None:
        picked = self._session.selection
        if picked.kind is not None:
            self._session.measuring.finish(picked.start_s, picked.end_s)

    def _show(self) -> None:
        if self.by.currentIndex():
            return
        review, measuring = self._session.outing.review, self._session.measuring
        drawn = [ends for ends in (measuring.before, measuring.latest) if ends is not None]
        self.take.setEnabled(self._session.selection.kind is not None)
        self.forget.setEnabled(bool(drawn))
        self.words.setText(
            tr("Stretches compare best on like ground and at a steady pace, minutes long.")
            if drawn
            else tr(
                "Drag over the charts with Measure chosen, or with Ctrl and Shift held, to measure a stretch."
            )
        )
        rows = [] if review is None else [measure_stretch(review, *ends) for ends in drawn]
        shown = [MeasureRow(str(number), stretch) for number, stretch in enumerate(rows, start=1)]
        if len(rows) == 2:
            apart = difference(rows[1], rows[0])
            # The pace of a difference of speeds is no difference of paces.
            apart = replace(apart, speed_mps=None) if pace_in_force() else apart
            shown.append(MeasureRow(tr("2 less 1"), apart))
        self.table.setVisible(bool(shown))
        self.table.set_rows(shown)
