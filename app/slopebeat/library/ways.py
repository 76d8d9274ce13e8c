"""The ways of outings: one stored line per outing, with what was measured on it.

Columns are packed into bytes: whole steps of a unit, as differences, deflated. Coordinates stay here: no
archive, report or table of figures takes them out of a library.
"""

from __future__ import annotations

import sqlite3
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slopebeat.library.connections import LibraryTable
from slopebeat.library.integrity import from_us, lost
from slopebeat.model.codec import decode, encode
from slopebeat.model.track import Array
from slopebeat.model.way import Box, Way, WayFacts, WayPoints, WayValues

DEGREE = 1e-5
"""Step of a coordinate, a metre: under what receivers are off [project choice]."""

VALUE_STEPS = (1.0, 0.1, 0.5, 0.5, 0.1, 0.5)
"""Steps of the columns of :class:`WayValues` in their order: seconds, metres, beats, W/kg, kilograms
[project choice]: a pass over a place is a mean over dozens of them."""

_UNKNOWN = np.iinfo(np.int32).min
_LARGEST = np.iinfo(np.int32).max


def points_packed(points: WayPoints) -> bytes:
    """A way's points as bytes, to a metre."""
    return _packed([points.lat_deg / DEGREE, points.lon_deg / DEGREE, points.piece])


def points_of(packed: bytes) -> WayPoints:
    """The points back; ValueError for other bytes."""
    lat, lon, piece = _columns(packed, 3)
    if not (np.isfinite(lat).all() and np.isfinite(lon).all() and np.isfinite(piece).all()):
        raise ValueError("a point without a place")
    return WayPoints(lat * DEGREE, lon * DEGREE, piece.astype(np.int64))


def values_packed(values: WayValues) -> bytes:
    """What was measured on a way as bytes, to :data:`VALUE_STEPS`."""
    columns = (values.t_s, values.moving_s, values.elevation_m)
    rest = (values.hr_bpm, values.work_w_per_kg, values.load_kg)
    return _packed([each / step for each, step in zip((*columns, *rest), VALUE_STEPS, strict=True)])


def values_of(packed: bytes) -> WayValues:
    """What was measured, back; ValueError for other bytes."""
    columns = _columns(packed, len(VALUE_STEPS))
    return WayValues(*(each * step for each, step in zip(columns, VALUE_STEPS, strict=True)))


def _packed(columns: Sequence[Array | NDArray[np.int64]]) -> bytes:
    rows = _differences(np.array(columns, dtype=float))
    # Byte by byte: the high bytes of small differences are all alike and cost next to nothing. Only such runs
    # are looked for: all that zlib can find takes six times as long and saves a fifth.
    deflate = zlib.compressobj(strategy=zlib.Z_RLE)
    plain = rows.astype("<i4").view(np.uint8).reshape(-1, 4).T.tobytes()
    return deflate.compress(plain) + deflate.flush()


def _differences(columns: Array) -> NDArray[np.int64]:
    """(c, n) whole numbers less the last known one before; a mark of its own where nothing is known."""
    known = np.isfinite(columns)
    whole = np.rint(np.where(known, columns, 0.0)).astype(np.int64)
    if whole.size and np.abs(whole).max() > _LARGEST // 2:
        raise ValueError("a way holds a number that is too large")
    found = np.diff(whole, axis=1, prepend=0)
    for row in np.flatnonzero(~known.all(axis=1)):
        here = known[row]
        found[row] = _UNKNOWN
        found[row, here] = np.diff(whole[row, here], prepend=0)
    return found


def _columns(packed: bytes, count: int) -> list[Array]:
    try:
        raw = zlib.decompress(packed)
    except zlib.error as problem:
        raise ValueError("a way is damaged") from problem
    if len(raw) % (4 * count):
        raise ValueError("a way is damaged")
    numbers = np.ascontiguousarray(np.frombuffer(raw, np.uint8).reshape(4, -1).T).view("<i4").ravel()
    return [_summed(row) for row in numbers.reshape(count, -1)]


def _summed(differences: NDArray[np.int32]) -> Array:
    known = differences != _UNKNOWN
    found = np.full(differences.shape, np.nan)
    found[known] = np.cumsum(differences[known].astype(np.int64))
    return found


@dataclass(frozen=True, eq=False)
class KeptLine:
    """Where an outing of the library went. ``outing`` is its identity."""

    outing: str
    start_utc: datetime
    on_bike: bool
    points: WayPoints


@dataclass(frozen=True)
class WayEnds:
    """First and last place of an outing: latitude and longitude in degrees."""

    first: tuple[float, float]
    last: tuple[float, float]


def put_way(connection: sqlite3.Connection, outing: str, way: Way | None) -> None:
    """Keep the way of an outing in the transaction under way, or that it has none.

    One that is as it was stays, and with it what was found along it.
    """
    row = None if way is None else _row(way)
    query = "SELECT facts, line, along FROM way WHERE outing = ?"
    here = connection.execute(query, (outing,)).fetchone()
    if here is not None and row is not None and _same(tuple(here), row[-3:]):
        return
    connection.execute("DELETE FROM way WHERE outing = ?", (outing,))
    if row is not None:
        connection.execute(
            "INSERT INTO way (outing, searched, points, south_deg, west_deg, north_deg, east_deg, facts, "
            "line, along) VALUES (?, 0, ?, ?, ?, ?, ?, ?, ?, ?)",
            (outing, *row),
        )


def _same(here: tuple[str, bytes, bytes], now: tuple[str, bytes, bytes]) -> bool:
    """Whether facts, line and what was measured are the same, whichever version packed them."""
    try:
        return here[0] == now[0] and all(
            one == other or zlib.decompress(one) == zlib.decompress(other)
            for one, other in zip(here[1:], now[1:], strict=True)
        )
    except (zlib.error, TypeError):
        return False  # What is here is damaged.


def _row(way: Way) -> tuple[Any, ...]:
    box = way.points.box
    degrees = (None,) * 4 if box is None else (box.south_deg, box.west_deg, box.north_deg, box.east_deg)
    return len(way), *degrees, encode(way.facts), points_packed(way.points), values_packed(way.values)


_lost = lost("library.lost_way", title="title")


class WayTable(LibraryTable):
    """The ways kept in a library."""

    def of(self, outing: str) -> Way | None:
        """The way of an outing; None while it was not reviewed or where what is kept cannot be read."""
        query = (
            "SELECT line, along, facts, title FROM way JOIN outing ON outing.identity = outing "
            "WHERE outing = ?"
        )
        found = self._readable(query, (outing,), way_of_row, _lost)
        return found[0] if found else None

    def ends(self, outings: Iterable[str]) -> dict[str, WayEnds]:
        """Where outings began and ended; those without positions are left out."""
        query = (
            "SELECT line, title FROM way JOIN outing ON outing.identity = outing "
            "WHERE outing = ? AND points > 0"
        )
        found: dict[str, WayEnds] = {}
        for identity in outings:
            for points in self._readable(query, (identity,), lambda row: points_of(row["line"]), _lost):
                places = zip(points.lat_deg[[0, -1]], points.lon_deg[[0, -1]], strict=True)
                first, last = ((float(lat), float(lon)) for lat, lon in places)
                found[identity] = WayEnds(first, last)
        return found

    def count(self, athlete: str) -> int:
        """How many of an athlete's outings were looked at, whether they have positions or not."""
        return self._count("way JOIN outing ON outing.identity = outing WHERE athlete = ?", athlete)

    def lines(self, athlete: str, box: Box | None = None) -> tuple[KeptLine, ...]:
        """Where an athlete's outings went, the earliest first; only those that meet the box, if there is one.

        Outings without positions are not among them.
        """
        query = (
            "SELECT outing.identity, start_us, on_bike, line, title FROM way "
            "JOIN outing ON outing.identity = outing WHERE athlete = ? AND points > 0"
        )
        values: tuple[object, ...] = (athlete,)
        if box is not None:
            query += " AND north_deg >= ? AND south_deg <= ? AND east_deg >= ? AND west_deg <= ?"
            values = (athlete, box.south_deg, box.north_deg, box.west_deg, box.east_deg)
        query += " ORDER BY start_us, outing.identity"
        return tuple(self._readable(query, values, _kept_line, _lost))


def way_of_row(row: sqlite3.Row) -> Way:
    """The way of a row that holds its line, what was measured and its facts; ValueError for a damaged one."""
    points, values = points_of(row["line"]), values_of(row["along"])
    if values.t_s.size != len(points):
        raise ValueError("a way is damaged")
    return Way(points, values, decode(row["facts"], WayFacts))


def _kept_line(row: sqlite3.Row) -> KeptLine:
    points = points_of(row["line"])
    return KeptLine(row["identity"], from_us(row["start_us"]), bool(row["on_bike"]), points)
