"""The columns of the outings list, and the model that holds ten thousand rows without a pause.

Rows are sorted here by plain Python keys, made once per sort: asking a proxy model for every comparison
would stop the window for a second.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from operator import itemgetter
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from slopebeat.analysis.months.weeks import terrain_of
from slopebeat.library.outings import StoredOuting
from slopebeat.model.language import mark, tr
from slopebeat.model.local_time import local_start
from slopebeat.model.measures import HEIGHT, MASS, Measure, number
from slopebeat.model.summary import OutingSummary
from slopebeat.model.titles import shown_title
from slopebeat.model.units import MISSING, clock, percent
from slopebeat.review.help.explanations import hint
from slopebeat.review.words.names import key_name, sport_name
from slopebeat.session.library.opened import OutingRow

Index = QModelIndex | QPersistentModelIndex
Key = float | str | None


@dataclass(frozen=True)
class ListColumn:
    """A column: name and explanation as marked texts, what to sort by (None goes last), a cell's text."""

    name: str
    tip: str
    key: Callable[[OutingRow], Key]
    text: Callable[[OutingRow], str]
    left: bool = False
    unit: str | Measure = ""

    @property
    def header(self) -> str:
        """The name in the language in force, with its unit under it."""
        unit = self.unit.unit if isinstance(self.unit, Measure) else self.unit
        return f"{tr(self.name)}\n{unit}" if unit else tr(self.name)

    @property
    def alignment(self) -> int:
        side = Qt.AlignmentFlag.AlignLeft if self.left else Qt.AlignmentFlag.AlignRight
        return int(side | Qt.AlignmentFlag.AlignVCenter)


def start_of(outing: StoredOuting) -> datetime:
    """Start where the outing was, if its file knows; else in this computer's time zone."""
    return local_start(outing.start_utc, outing.utc_offset_s)


def name_of(outing: StoredOuting) -> str:
    """What an outing is called in the list."""
    return shown_title(outing.title, outing.file_name)


def terrain_fair_words(summary: OutingSummary) -> str:
    """The figure with its 95 % interval."""
    if summary.terrain_fair_percent is None:
        return MISSING
    figure = number(summary.terrain_fair_percent, 1)
    if summary.terrain_fair_low is None or summary.terrain_fair_high is None:
        return figure
    low, high = number(summary.terrain_fair_low, 1), number(summary.terrain_fair_high, 1)
    return f"{figure}  ({tr('{low} to {high}').format(low=low, high=high)})"


def terrain_words(summary: OutingSummary) -> str:
    terrain = terrain_of(summary)
    return MISSING if terrain is None else key_name(terrain)


def _of(value: Callable[[OutingSummary], Any]) -> Callable[[OutingRow], Any]:
    return lambda row: None if row.summary is None else value(row.summary)


def _words(text: Callable[[OutingSummary], str]) -> Callable[[OutingRow], str]:
    return lambda row: MISSING if row.summary is None else text(row.summary)


LIST_COLUMNS: tuple[ListColumn, ...] = (
    ListColumn(
        mark("Date"),
        hint("list.date"),
        lambda row: row.outing.start_utc.timestamp(),
        lambda row: f"{start_of(row.outing):%Y-%m-%d  %H:%M}",
        left=True,
    ),
    ListColumn(
        mark("Title"),
        hint("list.title"),
        lambda row: name_of(row.outing).casefold(),
        lambda row: name_of(row.outing),
        left=True,
    ),
    ListColumn(
        mark("Sport"),
        hint("list.sport"),
        lambda row: sport_name(row.outing.sport),
        lambda row: sport_name(row.outing.sport),
        left=True,
    ),
    ListColumn(
        mark("Recorded"),
        hint("list.recorded"),
        _of(lambda s: s.recorded_s),
        _words(lambda s: clock(s.recorded_s)),
    ),
    ListColumn(
        mark("In band"),
        hint("list.in_band"),
        _of(lambda s: s.in_band_s),
        _words(lambda s: number(s.in_band_s, 0, 1 / 60)),
        unit="min",
    ),
    ListColumn(
        mark("Yield"),
        hint("yield"),
        _of(lambda s: s.yield_share),
        _words(lambda s: percent(s.yield_share)),
    ),
    ListColumn(
        mark("Band"),
        hint("list.band"),
        _of(lambda s: s.band_lower_bpm),
        _words(lambda s: MISSING if s.band_lower_bpm is None else f"{s.band_lower_bpm}–{s.band_upper_bpm}"),
        unit="bpm",
    ),
    ListColumn(
        mark("Terrain"),
        hint("list.terrain"),
        _of(lambda s: s.steep_share),
        _words(lambda s: terrain_words(s)),
        left=True,
    ),
    ListColumn(
        mark("Ascent"),
        hint("ascent"),
        _of(lambda s: s.ascent_m),
        _words(lambda s: HEIGHT.figure(s.ascent_m)),
        unit=HEIGHT,
    ),
    ListColumn(
        mark("Load"),
        hint("list.load"),
        lambda row: row.outing.load_kg,
        lambda row: MASS.figure(row.outing.load_kg) if row.outing.load_kg else MISSING,
        unit=MASS,
    ),
    ListColumn(
        mark("Terrain-fair\ndecoupling, %"),
        hint("list.terrain_fair"),
        _of(lambda s: s.terrain_fair_percent),
        _words(terrain_fair_words),
    ),
)


TITLE = [column.name for column in LIST_COLUMNS].index("Title")
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
        return 0 if parent.isValid() else len(LIST_COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        column = LIST_COLUMNS[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return column.alignment
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text(self.rows[index.row()])
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
        column = LIST_COLUMNS[section]
        values = {
            Qt.ItemDataRole.DisplayRole: column.header,
            Qt.ItemDataRole.TextAlignmentRole: column.alignment,
            Qt.ItemDataRole.ToolTipRole: tr(column.tip),
        }
        return values.get(Qt.ItemDataRole(role))

    def _sorted(self, rows: Sequence[OutingRow]) -> list[OutingRow]:
        """By the key of the column; what is unknown comes last either way."""
        if not 0 <= self._column < len(LIST_COLUMNS):
            return list(rows)
        key = LIST_COLUMNS[self._column].key
        known: list[tuple[Any, OutingRow]] = []
        unknown: list[OutingRow] = []
        for row in rows:
            value = key(row)
            # NaN is the one value that differs from itself.
            if value is None or value != value:
                unknown.append(row)
            else:
                known.append((value, row))
        known.sort(key=itemgetter(0), reverse=self._order is Qt.SortOrder.DescendingOrder)
        return [row for _, row in known] + unknown
