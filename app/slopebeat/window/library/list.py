"""The list of outings: sort by headers, open by Enter or double click, pick two to compare.

It holds ten thousand rows without a pause: its model sorts plain values, read once per sort. Asking a proxy
model for every comparison would stop the window for a second.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any

from PySide6.QtCore import QItemSelection, QItemSelectionModel, QPoint, Qt, Signal
from PySide6.QtGui import QColor, QContextMenuEvent, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from slopebeat.model.language import tr
from slopebeat.plots.theme import theme
from slopebeat.review.present.listed import LIST_FIGURES, name_of
from slopebeat.session.library.filter import ShownOutings
from slopebeat.session.library.rows import OutingRow
from slopebeat.window.widgets.rows import Index, RowsModel, columns_of
from slopebeat.window.widgets.table import EditedTable, row_height

TITLE = [figure.key for figure in LIST_FIGURES].index("list.title")
"""This column takes the room that is left, and can be changed in place."""


class OutingsModel(RowsModel):
    """The rows of the list; a title that was typed is reported, and kept by whoever listens."""

    title_typed = Signal(str, str)
    """Identity of an outing and what was typed."""

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role == Qt.ItemDataRole.EditRole and index.column() == TITLE:
            return name_of(self.row_at(index.row()).outing)
        return super().data(index, role)

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = super().flags(index)
        return flags | Qt.ItemFlag.ItemIsEditable if index.column() == TITLE else flags

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole or index.column() != TITLE:
            return False
        outing = self.row_at(index.row()).outing
        if value != name_of(outing):
            self.title_typed.emit(outing.identity, value)
        return True


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
        index: Index,
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


FEW_ROWS = 30
"""With fewer the columns may still be too narrow for what comes [project choice]."""


class OutingsTable(EditedTable):
    """Shows the outings that passed the filter; what was picked stays picked when the list is read again."""

    spreads = False  # The title takes what is left.
    made_of = OutingsModel

    open_requested = Signal(str)
    """Identity of an outing to look at."""

    title_typed = Signal(str, str)
    """Identity of an outing and what was typed as its title."""

    removal_wanted = Signal()

    menu_requested = Signal(QPoint)
    """Where on the screen; what is picked is what the menu is about."""

    picked_changed = Signal()

    def __init__(self, outings: ShownOutings) -> None:
        super().__init__(tr("Outings"), columns_of(LIST_FIGURES))
        self._outings = outings
        self.nothing = tr("No outing to show: import recordings, drop a folder here, or show all.")
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.sortByColumn(0, Qt.SortOrder.DescendingOrder)
        self.setItemDelegateForColumn(0, TogetherLine(self, lambda line: self.rows.row_at(line).day))
        # Sorting fills the list anew; a title that is being typed is kept first.
        self.horizontalHeader().sectionPressed.connect(lambda _column: self.setFocus())
        self.horizontalHeader().setSectionResizeMode(TITLE, QHeaderView.ResizeMode.Stretch)
        self.doubleClicked.connect(
            lambda index: self.open_requested.emit(self.rows.row_at(index.row()).outing.identity)
        )
        self.selectionModel().selectionChanged.connect(lambda *_: self.picked_changed.emit())
        assert isinstance(self.rows, OutingsModel)
        self.rows.title_typed.connect(self.title_typed)
        outings.changed.connect(self._show)

    @property
    def picked(self) -> tuple[str, ...]:
        """Identities of the selected outings, from top to bottom."""
        return tuple(row.outing.identity for row in self.picked_rows)

    @property
    def picked_rows(self) -> tuple[OutingRow, ...]:
        """The selected outings, from top to bottom."""
        chosen = sorted(index.row() for index in self.selectionModel().selectedRows())
        return tuple(map(self.rows.row_at, chosen))

    def pick_outings(self, identities: tuple[str, ...]) -> None:
        """Select outings by identity; those not shown are passed over."""
        wanted, chosen = set(identities), QItemSelection()
        for line in range(len(self.rows.rows)):
            if self.rows.row_at(line).outing.identity in wanted:
                chosen.select(self.rows.index(line, 0), self.rows.index(line, len(LIST_FIGURES) - 1))
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

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.picked and not self.typing:
            self.open_requested.emit(self.picked[0])
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.picked and not self.typing:
            self.removal_wanted.emit()
        else:
            super().keyPressEvent(event)

    def fill(self) -> None:
        before, few = self.picked, len(self.rows.rows) < FEW_ROWS
        at = self.verticalScrollBar().value()
        if few:
            self.set_rows(self._outings.shown.rows)
        else:
            self.rows.set_rows(self._outings.shown.rows)
            self.verticalHeader().setDefaultSectionSize(row_height(self))
        if before:
            self.pick_outings(before)
        self.verticalScrollBar().setValue(at)
        self.picked_changed.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Ask for the menu of what is picked."""
        if self.picked:
            self.menu_requested.emit(event.globalPos())
