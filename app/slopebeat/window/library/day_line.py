"""A line before the rows of the list that are parts of one day, where they stand one below the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from slopebeat.plots.theme import theme

if TYPE_CHECKING:
    from slopebeat.window.library.list import OutingsTable

LINE_PX = 2
END_PX = 4
"""How far the line stays from the outer edge of its first and last row, and how long its feet are."""


class DayLine(QStyledItemDelegate):
    """Paints it left of the first column."""

    def __init__(self, table: OutingsTable) -> None:
        super().__init__(table)
        self._table = table

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        super().paint(painter, option, index)
        before, after = self.joins(index.row())
        if not before and not after:
            return
        box = option.rect
        top = box.top() + (0 if before else END_PX)
        bottom = box.bottom() + 1 - (0 if after else END_PX)
        colour = QColor(theme.colours.muted)
        painter.fillRect(box.left(), top, LINE_PX, bottom - top, colour)
        for wanted, y in ((not before, top), (not after, bottom - LINE_PX)):
            if wanted:
                painter.fillRect(box.left(), y, END_PX, LINE_PX, colour)

    def joins(self, row: int) -> tuple[bool, bool]:
        """Whether the rows above and below are parts of the same day."""
        rows = self._table.rows.rows
        day = rows[row].day
        if day is None:
            return False, False
        above = row > 0 and rows[row - 1].day == day
        return above, row + 1 < len(rows) and rows[row + 1].day == day
