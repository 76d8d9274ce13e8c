"""The weeks of one athlete as a table, the latest first."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt

from slopebeat.model.language import tr
from slopebeat.review.present.weeks import WEEK_FIGURES
from slopebeat.review.week.board import WeekRow
from slopebeat.window.widgets.table import RowsTable, columns_of


class WeeksTable(RowsTable):
    """A row per week; a break of several weeks is said beside the week that ends it."""

    def __init__(self) -> None:
        super().__init__(tr("The weeks of the athlete"), columns_of(WEEK_FIGURES))
        self.nothing = tr("No week yet that could be told of.")
        self.sortByColumn(0, Qt.SortOrder.DescendingOrder)

    def show_weeks(self, rows: Sequence[WeekRow]) -> None:
        self.set_rows(tuple(rows))
