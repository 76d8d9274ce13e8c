"""A line before rows of a table that belong together, where they stand one below the other."""

from __future__ import annotations

from collections.abc import Callable, Hashable

from PySide6.QtCore import QModelIndex, QPersistentModelIndex
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QAbstractItemView, QStyledItemDelegate, QStyleOptionViewItem

from slopebeat.plots.theme import theme

LINE_PX = 2
END_PX = 4
"""How far the line stays from the outer edge of its first and last row, and how long its feet are."""


class TogetherLine(QStyledItemDelegate):
    """Paints it left of the first column; ``group`` gives what a row belongs to, None for a row by itself."""

    def __init__(self, table: QAbstractItemView, group: Callable[[int], Hashable]) -> None:
        super().__init__(table)
        self._group = group

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        super().paint(painter, option, index)
        before, after = self.joins(index.row(), index.model().rowCount())
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

    def joins(self, row: int, rows: int) -> tuple[bool, bool]:
        """Whether the rows above and below belong to the same."""
        group = self._group(row)
        if group is None:
            return False, False
        above = row > 0 and self._group(row - 1) == group
        return above, row + 1 < rows and self._group(row + 1) == group
