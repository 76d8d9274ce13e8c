"""A sortable table of rows: widths, keys, and what is painted of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QApplication, QTableView, QWidget

from slopebeat.plots.theme import theme
from slopebeat.window.widgets.rows import Column, RowsModel

CELL_ROOM_PX, HEAD_ROOM_PX = 15, 10
"""Room beside the words of a cell and of a header [project choice]."""

ALL_MEASURED, SOME_MEASURED = 120, 40
"""Rows whose words decide the column widths: all of a table of so many, else some from its whole length,
enough to be right, few enough to be quick [project choice]."""

LEAST_ROW_PX, ROW_ROOM_PX, LEAST_PX = 26, 10, 40
"""Of a row and the room in it, and of a table where the window is low [project choice]."""

HEAD_POINT = 8.5


def row_height(view: QWidget) -> int:
    """Height of a row that goes with the text size."""
    return max(LEAST_ROW_PX, view.fontMetrics().height() + ROW_ROOM_PX)


class RowsTable(QTableView):
    """One row selected at a time; keys and mouse pick it, the headers sort."""

    spreads = True
    """Whether the columns share all the width there is."""

    made_of: type[RowsModel] = RowsModel
    """The model that holds the rows."""

    def __init__(self, name: str, columns: Sequence[Column]) -> None:
        super().__init__()
        self.nothing = ""
        self._columns = tuple(columns)
        self._words_px: dict[int, int] = {}
        self._by_hand = self._stays = False
        self.rows = self.made_of(columns)
        # Goes with its table, not before it.
        self.rows.setParent(self)
        self.setModel(self.rows)
        self.setAccessibleName(name)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSortingEnabled(True)
        self.sortByColumn(0, Qt.SortOrder.AscendingOrder)
        self.setShowGrid(False)
        self.setMinimumHeight(LEAST_PX)
        self.setWordWrap(False)
        # Tab goes on to the next control; rows are walked through with the arrows.
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(row_height(self))
        header = self.horizontalHeader()
        header.setStretchLastSection(False)
        header.setHighlightSections(False)
        header.sectionResized.connect(self._resized)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def set_rows(self, rows: Sequence[Any], keep_widths: bool = False) -> None:
        """Show these rows, columns as wide as their words need, or as they are while a hand moves them."""
        if keep_widths:
            self._change_rows(rows)
            return
        self.rows.set_rows(rows)
        self.verticalHeader().setDefaultSectionSize(row_height(self))
        cells, heads = self.fontMetrics(), self.horizontalHeader().fontMetrics()
        if theme.text_share != 1.0:
            # The sheet sets the font of headers behind the back of the view's own.
            font = QFont()
            font.setPointSizeF(HEAD_POINT * theme.text_share)
            heads = QFontMetrics(font)
        count = len(rows)
        measured = range(0, count, 1 if count <= ALL_MEASURED else -(-count // SOME_MEASURED))
        for number, column in enumerate(self._columns):
            widths = [heads.horizontalAdvance(line) + HEAD_ROOM_PX for line in column.header.split("\n")]
            shown = {column.shown(at, rows[at]) for at in measured}
            widths += [cells.horizontalAdvance(words) + CELL_ROOM_PX for words in shown]
            self._words_px[number] = max(widths)
        self._share_width()

    def _change_rows(self, rows: Sequence[Any]) -> None:
        """Paint only the cells that say something else, where no row in sight comes or goes."""
        first, last = self.rowAt(0), self.rowAt(self.viewport().height() - 1)
        self._stays = 0 <= last < len(rows)
        seen = range(max(first, 0), last + 1 if self._stays else len(rows))
        changed = self.rows.change_rows(rows, seen)
        self.executeDelayedItemsLayout()  # Later it would be painted twice.
        self.rows.tell_changed(changed)
        self._stays = False

    def doItemsLayout(self) -> None:
        """Take the length of the whole; all is painted anew but where nothing in sight has moved."""
        if self._stays:
            self.updateGeometries()
        else:
            super().doItemsLayout()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._share_width()

    def _share_width(self) -> None:
        """Use the width there is: columns stand wider apart where room is left."""
        if not self._words_px or self._by_hand:
            return
        left = self.viewport().width() - sum(self._words_px.values())
        each = max(left // len(self._words_px), 0) if self.spreads else 0
        for number, words in self._words_px.items():
            self.setColumnWidth(number, words + each)

    def _resized(self, _number: int, _before: int, _now: int) -> None:
        """Columns that a hand made wider or narrower stay so."""
        held = bool(QApplication.mouseButtons()) and self.horizontalHeader().underMouse()
        self._by_hand = self._by_hand or held

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """An arrow selects the current row: tabbing in makes one current and selects nothing."""
        arrow = event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up) and not event.modifiers()
        if arrow and self.currentIndex().isValid() and not self.selectionModel().hasSelection():
            self.selectRow(self.currentIndex().row())
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Say in the middle of an empty table why it is empty."""
        super().paintEvent(event)
        if self.nothing and not self.rows.rows:
            painter = QPainter(self.viewport())
            painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
            how = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(self.viewport().rect().adjusted(20, 0, -20, 0), int(how), self.nothing)
            painter.end()

    def picked_row(self) -> int | None:
        """Number of the selected row in the order it was given."""
        chosen = self.selectionModel().selectedRows()
        return self.rows.order[chosen[0].row()] if chosen else None

    def pick(self, row: int) -> None:
        """Select a row by its number in the order it was given."""
        self.selectRow(self.rows.order.index(row))


class EditedTable(RowsTable):
    """Some cells are typed in: the table is filled anew only once nothing is, which that would lose."""

    def __init__(
        self, name: str, columns: Sequence[Column], delegate: QAbstractItemDelegate | None = None
    ) -> None:
        super().__init__(name, columns)
        self._late = False
        if delegate is not None:
            delegate.setParent(self)
            self.setItemDelegate(delegate)
        self.itemDelegate().closeEditor.connect(self._catch_up)

    @property
    def typing(self) -> bool:
        return self.state() is QAbstractItemView.State.EditingState

    def fill(self) -> None:
        """Read the rows anew."""
        raise NotImplementedError

    def _show(self) -> None:
        self._late = self.typing
        if not self._late:
            self.fill()

    def _catch_up(self, _editor: QWidget, _hint: QAbstractItemDelegate.EndEditHint) -> None:
        if self._late:
            QTimer.singleShot(0, self, self._show)
