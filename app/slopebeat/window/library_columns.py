"""The columns of the outings list, and the model that holds ten thousand rows without a pause.

Rows are sorted here by plain Python keys, made once per sort: asking a proxy model for every comparison
would stop the window for a second.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from operator import itemgetter
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt

from slopebeat.analysis.weeks import terrain_of
from slopebeat.library.outings import StoredOuting
from slopebeat.model.summary import OutingSummary
from slopebeat.model.units import MISSING, clock, percent
from slopebeat.session.display import number
from slopebeat.session.library_open import OutingRow

Index = QModelIndex | QPersistentModelIndex
Key = float | str | None


@dataclass(frozen=True)
class ListColumn:
    """A column: header, explanation, what to sort by (None goes last), and the text of a cell."""

    header: str
    tip: str
    key: Callable[[OutingRow], Key]
    text: Callable[[OutingRow], str]
    left: bool = False

    @property
    def alignment(self) -> int:
        side = Qt.AlignmentFlag.AlignLeft if self.left else Qt.AlignmentFlag.AlignRight
        return int(side | Qt.AlignmentFlag.AlignVCenter)


def local_start(outing: StoredOuting) -> datetime:
    """Start where the outing was, if its file knows; else in this computer's time zone."""
    if outing.utc_offset_s is None:
        return outing.start_utc.astimezone()
    return outing.start_utc + timedelta(seconds=outing.utc_offset_s)


def terrain_fair_words(summary: OutingSummary) -> str:
    """The figure with its 95 % interval."""
    if summary.terrain_fair_percent is None:
        return MISSING
    figure = number(summary.terrain_fair_percent, 1)
    if summary.terrain_fair_low is None or summary.terrain_fair_high is None:
        return figure
    return f"{figure}  ({number(summary.terrain_fair_low, 1)} to {number(summary.terrain_fair_high, 1)})"


def _of(value: Callable[[OutingSummary], Any]) -> Callable[[OutingRow], Any]:
    return lambda row: None if row.summary is None else value(row.summary)


def _words(text: Callable[[OutingSummary], str]) -> Callable[[OutingRow], str]:
    return lambda row: MISSING if row.summary is None else text(row.summary)


LIST_COLUMNS: tuple[ListColumn, ...] = (
    ListColumn(
        "Date",
        "Local date and time of the start, where the outing was.",
        lambda row: row.outing.start_utc.timestamp(),
        lambda row: f"{local_start(row.outing):%Y-%m-%d  %H:%M}",
        left=True,
    ),
    ListColumn(
        "Title",
        "The name the file gives the outing.",
        lambda row: row.outing.title.casefold(),
        lambda row: row.outing.title,
        left=True,
    ),
    ListColumn("Sport", "As the file says.", lambda r: r.outing.sport, lambda r: r.outing.sport, left=True),
    ListColumn(
        "Recorded",
        "Without pauses and gaps, h:mm:ss.",
        _of(lambda s: s.recorded_s),
        _words(lambda s: clock(s.recorded_s)),
    ),
    ListColumn(
        "In band\nmin",
        "Minutes inside the band that was in force on the day.",
        _of(lambda s: s.in_band_s),
        _words(lambda s: number(s.in_band_s, 0, 1 / 60)),
    ),
    ListColumn(
        "Yield",
        "Share of recorded time in band.",
        _of(lambda s: s.yield_share),
        _words(lambda s: percent(s.yield_share)),
    ),
    ListColumn(
        "Band\nbpm",
        "The band it was reviewed with.",
        _of(lambda s: s.band_lower_bpm),
        _words(lambda s: MISSING if s.band_lower_bpm is None else f"{s.band_lower_bpm}–{s.band_upper_bpm}"),
    ),
    ListColumn(
        "Terrain",
        "By the share of moving time on grades over 3 %: gentle under 20 %, steep from 60 %.",
        _of(lambda s: s.steep_share),
        _words(lambda s: str(terrain_of(s) or MISSING)),
        left=True,
    ),
    ListColumn(
        "Ascent\nm",
        "Smoothed, counted in steps of 2 m.",
        _of(lambda s: s.ascent_m),
        _words(lambda s: number(s.ascent_m)),
    ),
    ListColumn(
        "Load\nkg",
        "Load carried at the start.",
        lambda row: row.outing.load_kg,
        lambda row: number(row.outing.load_kg, 1) if row.outing.load_kg else MISSING,
    ),
    ListColumn(
        "Terrain-fair\ndecoupling, %",
        "With its 95 % interval. The one decoupling row that may be compared across terrain.",
        _of(lambda s: s.terrain_fair_percent),
        _words(terrain_fair_words),
    ),
)


class OutingsModel(QAbstractTableModel):
    """The rows of the list, sorted, read only."""

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
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        column = LIST_COLUMNS[section]
        values = {
            Qt.ItemDataRole.DisplayRole: column.header,
            Qt.ItemDataRole.TextAlignmentRole: column.alignment,
            Qt.ItemDataRole.ToolTipRole: column.tip,
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
