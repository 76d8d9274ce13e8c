"""What speed to hold on each grade next time: in a sentence, as a chart, as a table."""

from __future__ import annotations

from functools import cached_property

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.outing.ceiling_chart import CeilingChart
from slopebeat.review.present.hold import HOLD_FIGURES, hold_basis, hold_rows, hold_sentence
from slopebeat.session.session import Session
from slopebeat.window.widgets.parts import GrowingPage, explained_by, holder, label, row, scrolling, stacked
from slopebeat.window.widgets.refresh import RefreshWhenSeen
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.table import RowsTable

TABLE_PX, LEAST_CHART_PX = 430, 44
"""Width of the table beside the chart, and the chart's least height [project choice]."""


class CeilingPanel(QWidget):
    """Sentence and chart left, table right; only the reason where there is nothing to hold."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
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
        self._refresh = RefreshWhenSeen(
            *(session.steps, self, session.outing.reviewed, self._show, session.display.changed), watched=True
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

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
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
