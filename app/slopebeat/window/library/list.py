"""The list of outings: sort by headers, open by Enter or double click, pick two to compare.

It holds ten thousand rows without a pause: they are sorted here by plain Python keys, made once per sort.
Asking a proxy model for every comparison would stop the window for a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QTableView,
    QWidget,
)

from slopebeat.model.language import tr
from slopebeat.plots.theme import theme
from slopebeat.review.present.figure import Figure
from slopebeat.review.present.listed import LIST_FIGURES, name_of
from slopebeat.session.library.filter import ShownOutings
from slopebeat.session.library.rows import OutingRow
from slopebeat.window.widgets.table import head_metrics, paint_nothing, row_height, take_current
from slopebeat.window.widgets.together_line import TogetherLine

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


MEASURED_ROWS = 30
"""Rows whose words decide the column widths: enough to be right, few enough to be quick [project choice]."""

CELL_ROOM_PX = 18
WIDEST_PX = 320


class OutingsTable(QTableView):
    """Shows the outings that passed the filter; what was picked stays picked when the list is read again."""

    open_requested = Signal(str)
    """Identity of an outing to look at."""

    title_typed = Signal(str, str)
    """Identity of an outing and what was typed as its title."""

    removal_wanted = Signal()

    menu_requested = Signal(QPoint)
    """Where on the screen; what is picked is what the menu is about."""

    picked_changed = Signal()

    def __init__(self, outings: ShownOutings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._outings = outings
        self.rows = OutingsModel()
        self.setModel(self.rows)
        self.setAccessibleName(tr("Outings"))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setSortingEnabled(True)
        self.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setItemDelegateForColumn(0, TogetherLine(self, lambda row: self.rows.rows[row].day))
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(row_height(self))
        self.horizontalHeader().setHighlightSections(False)
        # Sorting fills the list anew; a title that is being typed is kept first.
        self.horizontalHeader().sectionPressed.connect(lambda _column: self.setFocus())
        self.horizontalHeader().setSectionResizeMode(TITLE, QHeaderView.ResizeMode.Stretch)
        self.doubleClicked.connect(self._open_index)
        self._late = False
        self.itemDelegate().closeEditor.connect(self._catch_up)
        self.selectionModel().selectionChanged.connect(self._tell_picked)
        self.rows.title_typed.connect(self.title_typed)
        outings.changed.connect(self._show)

    @property
    def picked(self) -> tuple[str, ...]:
        """Identities of the selected outings, from top to bottom."""
        chosen = sorted(index.row() for index in self.selectionModel().selectedRows())
        return tuple(self.rows.rows[row].outing.identity for row in chosen)

    def pick(self, identities: tuple[str, ...]) -> None:
        """Select outings by identity; those not shown are passed over."""
        wanted, chosen = set(identities), QItemSelection()
        for number, row in enumerate(self.rows.rows):
            if row.outing.identity in wanted:
                chosen.select(self.rows.index(number, 0), self.rows.index(number, len(LIST_FIGURES) - 1))
        flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
        self.selectionModel().select(chosen, flag)
        if chosen.indexes():
            self.selectionModel().setCurrentIndex(
                chosen.indexes()[0], QItemSelectionModel.SelectionFlag.NoUpdate
            )

    def edit_title(self) -> None:
        """Type another title for the outing that is current, in its place."""
        row = self.currentIndex().row()
        if row < 0 and len(self.picked) == 1:
            row = self.selectionModel().selectedRows()[0].row()
        if row >= 0:
            index = self.rows.index(row, TITLE)
            self.setCurrentIndex(index)
            self.edit(index)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self.rows.rows:
            paint_nothing(self, tr("No outing to show: import recordings, drop a folder here, or show all."))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.state() is QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.picked:
            self.open_requested.emit(self.picked[0])
            return
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.picked:
            self.removal_wanted.emit()
            return
        if not take_current(self, event):
            super().keyPressEvent(event)

    def _catch_up(self, _editor: QWidget, _hint: QAbstractItemDelegate.EndEditHint) -> None:
        if self._late:
            QTimer.singleShot(0, self, self._show)

    def _show(self) -> None:
        if self.state() is QAbstractItemView.State.EditingState:
            # Filling the list would throw away what is being typed.
            self._late = True
            return
        self._late = False
        before, few = self.picked, len(self.rows.rows) < MEASURED_ROWS
        at = self.verticalScrollBar().value()
        self.rows.set_rows(self._outings.shown.rows)
        self.verticalHeader().setDefaultSectionSize(row_height(self))
        if before:
            self.pick(before)
        self.verticalScrollBar().setValue(at)
        if few:
            self._fit_columns()
        self.picked_changed.emit()

    def _fit_columns(self) -> None:
        cells, heads = self.fontMetrics(), self.horizontalHeader().fontMetrics()
        if theme.text_share != 1.0:
            heads = head_metrics()
        for number, column in enumerate(LIST_FIGURES):
            # The arrow of the sorted column needs a little room as well.
            widths = [heads.horizontalAdvance(line) + 6 for line in column.header.split("\n")]
            widths += [
                cells.horizontalAdvance(column.text_of(0, row)) for row in self.rows.rows[:MEASURED_ROWS]
            ]
            self.setColumnWidth(number, min(max(widths) + CELL_ROOM_PX, WIDEST_PX))

    def _open_index(self, index: QModelIndex) -> None:
        self.open_requested.emit(self.rows.rows[index.row()].outing.identity)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask for the menu of what is picked."""
        if self.picked:
            self.menu_requested.emit(event.globalPos())

    @property
    def picked_rows(self) -> tuple[OutingRow, ...]:
        """The selected outings, from top to bottom."""
        picked = self.picked
        return tuple(row for row in self.rows.rows if row.outing.identity in picked)

    def _tell_picked(self) -> None:
        self.picked_changed.emit()
