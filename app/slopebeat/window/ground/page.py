"""Ground gone before: the places, one of them with its passes, and the days over months."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QScrollArea, QWidget

from slopebeat.model.language import tr
from slopebeat.review.cautions import CAUTIONS
from slopebeat.review.ground.words import ground_sentences, place_name, place_sentences
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.present.ground import PASS_FIGURES, PLACE_FIGURES
from slopebeat.session.background import raise_error
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import (
    button,
    explained_by,
    framed,
    holder,
    label,
    row,
    scroll_down,
    stacked,
)
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.table import RowsTable

if TYPE_CHECKING:
    from slopebeat.plots.ground.speed_heart import SpeedHeartChart
    from slopebeat.plots.months.day_levels import DayLevelsChart

WORDS_PX = 296
"""Width of the words beside the charts [project choice]."""


class GroundPage(QWidget):
    """Reads the places of the session; a pass that is activated opens its outing."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session, self._ground = session, session.ground
        self.places = RowsTable(tr("Places gone more than once"), columns_of(PLACE_FIGURES))
        days = [each.key for each in shown_on(On.WINDOW, PLACE_FIGURES)].index("ground.days")
        self.places.sortByColumn(days, Qt.SortOrder.DescendingOrder)
        self.places.nothing = tr("No ground was gone more than once yet.")
        self.passes = RowsTable(tr("Passes over the place"), columns_of(PASS_FIGURES))
        self.passes.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.passes.setToolTip(tr("Enter or a double click opens the outing"))
        self.passes.nothing = tr("No place is picked.")
        self.title = label("", "heading", wrap=True)
        self.words = QScrollArea()
        self.ends = QCheckBox(tr("Leave out within 500 m of starts and ends"))
        self.ends.setToolTip(
            tr("Places near where outings begin or end are near somebody's home; they can stay out of sight")
        )
        self.again = button(
            tr("Find again"), "", tr("Forget all places and find them again from the outings")
        )
        self._lay_out()
        self._connect()
        self._refresh = RefreshWhenSeen(
            session.steps, self, self._ground.changed, self._show, session.display.changed, stale=True
        )

    @cached_property
    def levels(self) -> DayLevelsChart:
        """Made when it is first drawn: the window opens sooner without it."""
        from slopebeat.plots.months.day_levels import DayLevelsChart

        made = DayLevelsChart()
        self._grid.addWidget(framed(explained_by("ground.levels", made)), 0, 0)
        return made

    @cached_property
    def chart(self) -> SpeedHeartChart:
        """Like the other one."""
        from slopebeat.plots.ground.speed_heart import SpeedHeartChart

        made = SpeedHeartChart()
        self._grid.addWidget(framed(explained_by("pass.equal", made)), 0, 1)
        return made

    def _lay_out(self) -> None:
        self._grid = QGridLayout()
        self._grid.setSpacing(8)
        for line in (0, 1):
            self._grid.setColumnStretch(line, 1)
            self._grid.setRowStretch(line, 1)
        self._grid.addWidget(self.places, 1, 0)
        self._grid.addWidget(holder(stacked(self.title, (self.passes, 1), spacing=4)), 1, 1)
        scroll_down(self.words, tr("What is said of ground gone before")).setFixedWidth(WORDS_PX)
        side = stacked((self.words, 1), self.ends, self.again, spacing=6)
        row((self._grid, 1), side, of=self, margins=(8, 8, 8, 8))

    def _connect(self) -> None:
        self.ends.setChecked(self._ground.without_ends)
        self.ends.toggled.connect(self._ground.leave_ends_out)
        self.again.clicked.connect(self._ground.find_again)
        self.places.selectionModel().selectionChanged.connect(self._picked)
        self.passes.activated.connect(self._open)
        self._ground.picked_changed.connect(self._show_picked)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._ground.want()

    def _show(self) -> None:
        ground = self._ground.ground
        self.places.set_rows(ground.places)
        picked = self._ground.picked
        if picked is not None:
            self.places.pick(ground.places.index(picked))
        # The charts are loaded in the background; what follows takes a turn each, or the window would wait.
        self._session.background.run_in_background(_load_charts, self._draw, raise_error)

    def _draw(self, _loaded: None) -> None:
        self._session.steps.later(self._make_levels, self._show_levels, self._make_chart)
        self._show_picked()

    def _show_picked(self) -> None:
        self._session.steps.later(self._show_place, self._show_passes, self._show_words)

    def _make_levels(self) -> None:
        self.levels  # noqa: B018

    def _make_chart(self) -> None:
        self.chart  # noqa: B018

    def _show_levels(self) -> None:
        levels = self._ground.ground.levels
        self.levels.show_levels(levels[0] if levels else None)

    def _show_place(self) -> None:
        self.chart.show_place(self._ground.picked, self._ground.ground.levels)

    def _show_passes(self) -> None:
        picked = self._ground.picked
        self.title.setText(
            ""
            if picked is None
            else tr("No. {number}: {place}").format(number=picked.number, place=place_name(picked.place))
        )
        self.passes.set_rows([] if picked is None else picked.passes)

    def _show_words(self) -> None:
        self.words.setWidget(self._said())

    def _said(self) -> QWidget:
        """A column of words: on the place that is picked, then on all of them."""
        column = stacked(margins=(12, 4, 12, 8), spacing=6)
        picked, ground = self._ground.picked, self._ground.ground
        if picked is not None:
            column.addWidget(label(tr("This place"), "heading"))
            for text in place_sentences(picked):
                column.addWidget(label(text, wrap=True))
            column.addSpacing(6)
        column.addWidget(label(tr("All places"), "heading"))
        sentences = ground_sentences(ground)
        for text in sentences[: len(ground.levels)]:
            column.addWidget(label(text, wrap=True))
        for text in (*sentences[len(ground.levels) :], tr(CAUTIONS[0])):
            column.addWidget(label(text, "caption", wrap=True))
        column.addStretch(1)
        return holder(column)

    def _picked(self) -> None:
        at = self.places.picked_row()
        self._ground.pick(None if at is None else self._ground.ground.places[at])

    def _open(self) -> None:
        at = self.passes.picked_row()
        if at is not None:
            self._session.library.open_outing(self.passes.rows.rows[at].kept.outing)


def _load_charts(progress: Callable[[float], None]) -> None:
    import_module("slopebeat.plots.ground.speed_heart")
    import_module("slopebeat.plots.months.day_levels")
