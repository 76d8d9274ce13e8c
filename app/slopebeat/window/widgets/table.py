"""A sortable table of rows described by columns as data."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, QTimer
from PySide6.QtGui import QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QAbstractItemView, QApplication, QTableView, QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import Measure
from slopebeat.plots.theme import theme
from slopebeat.review.present.figure import Figure, On, shown_on

Index = QModelIndex | QPersistentModelIndex
CELL_ROOM_PX, HEAD_ROOM_PX = 15, 10
"""Room beside the words of a cell and of a header [project choice]."""

ALL_MEASURED, SOME_MEASURED = 120, 40
"""Rows whose words decide the column widths: all of a table of so many, else some from its whole length,
enough to be right, few enough to be quick [project choice]."""

LEAST_ROW_PX, ROW_ROOM_PX, LEAST_PX = 26, 10, 40
"""Of a row and the room in it, and of a table where the window is low [project choice]."""

HEAD_POINT = 8.5

ANSWERED = frozenset({Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.TextAlignmentRole})


@dataclass(frozen=True)
class Column:
    """A column: name, explanation, the value to sort by, its text, whether it is words, and its unit.

    Name and explanation are marked texts; they are looked up when they are shown. The unit is one for
    all, or a measure, whose unit can change while the table is there.
    """

    name: str
    tip: str
    value: Callable[[int, Any], float | str | None]
    text: Callable[[Any], str]
    left: bool = False
    unit: str | Measure = ""
    words: Callable[[Any], str] | None = None
    """The text from the row, where it is more than the value."""

    def shown(self, at: int, row: Any) -> str:
        """The text of a cell."""
        return self.text(self.value(at, row)) if self.words is None else self.words(row)

    @property
    def header(self) -> str:
        """The name in the language in force, with its unit under it."""
        unit = self.unit.unit if isinstance(self.unit, Measure) else self.unit
        return f"{tr(self.name)}\n{unit}" if unit else tr(self.name)

    @property
    def alignment(self) -> int:
        side = Qt.AlignmentFlag.AlignLeft if self.left else Qt.AlignmentFlag.AlignRight
        return int(side | Qt.AlignmentFlag.AlignVCenter)


def words_column(name: str, tip: str, words: Callable[[Any], str]) -> Column:
    """A column of what a row says in words."""
    return Column(name, tip, lambda _at, row: words(row), str, left=True)


def columns_of(figures: Sequence[Figure], of: Callable[[Any], Any] = lambda row: row) -> tuple[Column, ...]:
    """The columns of those figures that are shown in the window; ``of`` takes what they are of from a row."""

    def value_of(figure: Figure) -> Callable[[int, Any], Any]:
        return lambda index, row: figure.value(index, of(row))

    def words_of(figure: Figure) -> Callable[[Any], str] | None:
        write = figure.words
        return None if write is None else lambda row: write(of(row))

    return tuple(
        Column(
            *(each.name, each.line, value_of(each), each.kind.write, each.kind.words, each.kind.unit),
            words_of(each),
        )
        for each in shown_on(On.WINDOW, figures)
    )


def row_height(view: QWidget) -> int:
    """Height of a row that goes with the text size."""
    return max(LEAST_ROW_PX, view.fontMetrics().height() + ROW_ROOM_PX)


class RowsModel(QAbstractTableModel):
    """Rows of any kind, read only, sorted by a column as it is read.

    ``rows`` stand in the order they were given; ``order`` tells which of them each line shows. A sorting
    model on top of this one would ask it for cells and sizes a thousand times a frame.
    """

    def __init__(self, columns: Sequence[Column]) -> None:
        super().__init__()
        self._columns = tuple(columns)
        self._sorted_by, self._falling = 0, False
        self.rows: tuple[Any, ...] = ()
        self.order: list[int] = []

    def set_rows(self, rows: Sequence[Any]) -> None:
        self.beginResetModel()
        self.rows = tuple(rows)
        self.order = self._sorted()
        self.endResetModel()

    def change_rows(self, rows: Sequence[Any], seen: range) -> None:
        """Show these instead, mostly the same: a view stays where it is and paints only what is new.

        ``seen`` are the lines in sight.
        """
        before, after = len(self.rows), len(rows)
        seen = range(seen.start, min(seen.stop, before, after))
        said = self._said(seen)
        if after > before:
            self.beginInsertRows(QModelIndex(), before, after - 1)
        elif after < before:
            self.beginRemoveRows(QModelIndex(), after, before - 1)
        self.rows = tuple(rows)
        self.order = self._sorted()
        if after > before:
            self.endInsertRows()
        elif after < before:
            self.endRemoveRows()
        for cell, words in self._said(seen).items():
            if words != said[cell]:
                changed = self.index(*cell)
                self.dataChanged.emit(changed, changed)

    def _said(self, lines: range) -> dict[tuple[int, int], str]:
        """What the cells of these lines say, by line and column."""
        return {
            (line, number): column.shown(self.order[line], self.row_at(line))
            for line in lines
            for number, column in enumerate(self._columns)
        }

    def row_at(self, line: int) -> Any:
        """What a line shows."""
        return self.rows[self.order[line]]

    def sort_value(self, column: int, at: int) -> float | str | None:
        """What a row goes by in a column."""
        return self._columns[column].value(at, self.rows[at])

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        self._sorted_by, self._falling = column, order is Qt.SortOrder.DescendingOrder
        self.layoutAboutToBeChanged.emit()
        before, self.order = self.order, self._sorted()
        held = self.persistentIndexList()
        lines = {at: line for line, at in enumerate(self.order)}
        moved = [self.index(lines[before[index.row()]], index.column()) for index in held]
        self.changePersistentIndexList(held, moved)
        self.layoutChanged.emit()

    def _sorted(self) -> list[int]:
        """What is unknown comes last either way; without a column the rows stay as they were given."""
        places = list(range(len(self.rows)))
        if not 0 <= self._sorted_by < len(self._columns):
            return places
        values: list[Any] = [self.sort_value(self._sorted_by, at) for at in places]
        # NaN is the one value that differs from itself.
        known = [at for at in places if values[at] is not None and values[at] == values[at]]
        unknown = [at for at in places if values[at] is None or values[at] != values[at]]
        return sorted(known, key=values.__getitem__, reverse=self._falling) + unknown

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._columns)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        # Most of what a view asks of a cell has no answer here: that is checked first.
        if role not in ANSWERED:
            return None
        column = self._columns[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return column.alignment
        at = self.order[index.row()]
        return column.shown(at, self.rows[at])

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._columns[section].header
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return self._columns[section].alignment
        return tr(self._columns[section].tip) if role == Qt.ItemDataRole.ToolTipRole else None


class RowsTable(QTableView):
    """One row selected at a time; keys and mouse pick it, the headers sort."""

    spreads = True
    """Whether the columns share all the width there is."""

    def __init__(
        self,
        name: str,
        columns: Sequence[Column],
        parent: QWidget | None = None,
        model: Callable[[Sequence[Column]], RowsModel] = RowsModel,
    ) -> None:
        super().__init__(parent)
        self.nothing = ""
        self._columns = tuple(columns)
        self._words_px: dict[int, int] = {}
        self._by_hand = self._stays = False
        self.rows = model(columns)
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
        self.rows.change_rows(rows, range(max(first, 0), last + 1 if self._stays else len(rows)))
        self.executeDelayedItemsLayout()  # Later it would be painted twice.
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
        self,
        name: str,
        columns: Sequence[Column],
        parent: QWidget | None,
        model: Callable[[Sequence[Column]], RowsModel],
        delegate: QAbstractItemDelegate | None = None,
    ) -> None:
        super().__init__(name, columns, parent, model)
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
