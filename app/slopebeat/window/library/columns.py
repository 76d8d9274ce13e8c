"""The columns of the outings list, and the model that holds ten thousand rows without a pause.

Rows are sorted here by plain Python keys, made once per sort: asking a proxy model for every comparison
would stop the window for a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from slopebeat.model.language import tr
from slopebeat.review.present.figure import Figure
from slopebeat.review.present.listed import LIST_FIGURES, name_of
from slopebeat.session.library.opened import OutingRow

Index = QModelIndex | QPersistentModelIndex


def alignment(figure: Figure) -> int:
    side = Qt.AlignmentFlag.AlignLeft if figure.kind.words else Qt.AlignmentFlag.AlignRight
    return int(side | Qt.AlignmentFlag.AlignVCenter)


TITLE = [figure.key for figure in LIST_FIGURES].index("list.title")
"""This column takes the room that is left, and can be changed in place."""


class OutingsModel(QAbstractTableModel):
    """The rows of the list, sorted; a title that was typed is told, and kept by whoever listens."""

    title_typed = Signal(str, str)
    """Identity of an outing and what was typed."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[OutingRow] = []
        self._column, self._order = 0, Qt.SortOrder.DescendingOrder

    def set_rows(self, rows: Sequence[OutingRow]) -> None:
        self.beginResetModel()
        self.rows = self._sorted(rows)
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        if (column, order) != (self._column, self._order):
            self._column, self._order = column, order
            self.set_rows(self.rows)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(LIST_FIGURES)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        column = LIST_FIGURES[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return alignment(column)
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text_of(0, self.rows[index.row()])
        if role == Qt.ItemDataRole.EditRole and index.column() == TITLE:
            return name_of(self.rows[index.row()].outing)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if index.column() == TITLE else flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole or index.column() != TITLE:
            return False
        outing = self.rows[index.row()].outing
        if value != name_of(outing):
            self.title_typed.emit(outing.identity, value)
        return True

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        column = LIST_FIGURES[section]
        values = {
            Qt.ItemDataRole.DisplayRole: column.header,
            Qt.ItemDataRole.TextAlignmentRole: alignment(column),
            Qt.ItemDataRole.ToolTipRole: tr(column.line),
        }
        return values.get(Qt.ItemDataRole(role))

    def _sorted(self, rows: Sequence[OutingRow]) -> list[OutingRow]:
        """By the key of the column; what is unknown comes last either way."""
        if not 0 <= self._column < len(LIST_FIGURES):
            return list(rows)
        key = LIST_FIGURES[self._column].value
        known: list[tuple[Any, OutingRow]] = []
        unknown: list[OutingRow] = []
        for row in rows:
            value = key(0, row)
            # NaN is the one value that differs from itself.
            if value is None or value != value:
                unknown.append(row)
            else:
                known.append((value, row))
        known.sort(key=itemgetter(0), reverse=self._order is Qt.SortOrder.DescendingOrder)
        return [row for _, row in known] + unknown
