"""Rows of any kind as a table shows them: columns described as data, and the sorted rows to read from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from slopebeat.model.language import tr
from slopebeat.model.measures import Measure
from slopebeat.review.present.figure import Figure, On, shown_on

Index = QModelIndex | QPersistentModelIndex
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

    def change_rows(self, rows: Sequence[Any], seen: range) -> list[tuple[int, int]]:
        """Show these instead, mostly the same: a view stays where it is and paints only what is new.

        ``seen`` are the lines in sight. Returned are the cells in them that say something else: for
        :meth:`tell_changed`, once the view has laid itself out, which does not listen before.
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
        return [cell for cell, words in self._said(seen).items() if words != said[cell]]

    def tell_changed(self, cells: Sequence[tuple[int, int]]) -> None:
        """These cells, by line and column, are to be painted anew."""
        for cell in cells:
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
