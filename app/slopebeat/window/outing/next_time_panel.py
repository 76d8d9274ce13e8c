"""Next time: what speed to hold on each grade, and how to go the same way."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.outing.ceiling_chart import CeilingChart
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.present.held import HELD_FIGURES, ground_sentence, held_rows, held_sentence
from slopebeat.review.present.hold import HOLD_FIGURES, hold_basis, hold_rows, hold_sentence
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.outing.stretches import StretchTable
from slopebeat.window.widgets.parts import (
    GrowingPage,
    explained_by,
    holder,
    label,
    row,
    scroll_down,
    scrolling,
    stacked,
)
from slopebeat.window.widgets.refresh import show_review_when_seen
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.table import RowsTable, row_height

SEEN_ROWS = 4
"""Climbs that are shown at once: where the window is low the page scrolls, not the table [project choice]."""

SCROLL_PX = 12
"""Room for a bar to scroll sideways [project choice]."""


class NextTimePanel(QScrollArea):
    """Sentence, where the minutes came from, table of climbs; a row selects its climb."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        scroll_down(self, tr("Next time"))
        self.sentence = label("", "detail", tr(hint("held.speed")), wrap=True)
        self.ground = label("", "muted", wrap=True)
        explained_by("held.how", self.ground)
        self.table = StretchTable(
            session, Picked.CLIMB, columns_of(HELD_FIGURES), tr("Climbs next time"), held_rows
        )
        page = GrowingPage()
        said = (self.sentence, self.ground, (self.table, 1))
        stacked(*said, of=page, margins=(10, 6, 10, 4), spacing=2)
        self.setWidget(page)
        self._refresh = show_review_when_seen(session, self, self._show, session.display.changed)

    def _show(self, review: Review) -> None:
        self.sentence.setText(held_sentence(review))
        self.ground.setText(ground_sentence(review))
        self.table.setVisible(review.held is not None)
        rows = min(len(held_rows(review)), SEEN_ROWS)
        head = self.table.horizontalHeader().sizeHint().height()
        self.table.setMinimumHeight(head + rows * row_height(self.table) + SCROLL_PX)


TABLE_PX, LEAST_CHART_PX = 430, 44
"""Width of the table beside the chart, and the chart's least height [project choice]."""


class CeilingPanel(QWidget):
    """Sentence and chart left, table right; only the reason where there is nothing to hold."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        explained_by("hold.speed", self)
        self.sentence = label("", "figure", wrap=True)
        self.sentence.setAccessibleName(tr("Speed to hold"))
        self.basis = label("", "caption", wrap=True)
        self.table = RowsTable(tr("Speed to hold by grade"), columns_of(HOLD_FIGURES))
        # Climbs first: they are where a speed has to be held.
        self.table.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.nothing = label("", "", wrap=True)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.nothing.setContentsMargins(14, 12, 14, 8)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.nothing)
        self.pages.addWidget(self._found())
        stacked(self.pages, of=self)
        self._refresh = show_review_when_seen(
            session, self, self._show, session.display.changed, watched=True
        )

    @cached_property
    def chart(self) -> CeilingChart:
        """Made when it is first drawn: the window opens sooner without it."""
        made = CeilingChart()
        made.setMinimumHeight(LEAST_CHART_PX)
        self._left.addWidget(made, 1)
        return made

    def _found(self) -> QWidget:
        words = GrowingPage()
        words.setAccessibleName(tr("Speed to hold"))
        self._left = stacked(self.sentence, self.basis, of=words, margins=(14, 8, 8, 4), spacing=3)
        self.table.setFixedWidth(TABLE_PX)
        return holder(row((scrolling(words), 1), self.table, spacing=0))

    def _show(self, review: Review) -> None:
        rows = [] if review.ceiling is None else hold_rows(review.ceiling)
        if not rows:
            self.nothing.setText(hold_sentence(review))
            self.pages.setCurrentIndex(0)
            return
        self.sentence.setText(hold_sentence(review))
        self.basis.setText(hold_basis(review))
        self.chart.show_review(review)
        self.table.set_rows(rows, keep_widths=self._session.aim.trying)
        self.pages.setCurrentIndex(1)
