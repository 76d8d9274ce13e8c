"""Squares of the ground a way goes through, with the direction: what tells quickly where two may meet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.ground.align import REACH_M, DirectedPoints
from slopebeat.analysis.ground.plane import DEGREE_M, Plane
from slopebeat.model.track import Array
from slopebeat.model.way import WayPoints

Cells = NDArray[np.uint32]

CELL_M = 100.0
"""Side of a square [project choice]."""

SECTORS = 8
"""Directions kept apart, 45 degrees each [project choice]."""

_PRIMES = (73_856_093, 19_349_663, 83_492_791)
"""Spread rows, columns and directions over 32 bits (Teschner 2003, Optimized Spatial Hashing)."""


def cells_of(points: WayPoints) -> Cells:
    """Keys of the squares and directions a way goes through, each once, rising."""
    return _cells(points, ((0.0, 0.0, 0.0),))


def cells_around(points: WayPoints) -> Cells:
    """The same with all squares and directions another recording of this way may have gone through."""
    sides = (-REACH_M, REACH_M)
    return _cells(points, tuple((x, y, turn) for x in sides for y in sides for turn in (-0.5, 0.5)))


def _cells(points: WayPoints, shifts: tuple[tuple[float, float, float], ...]) -> Cells:
    if not len(points):
        return np.zeros(0, dtype=np.uint32)
    headed = DirectedPoints.of(points, Plane.around(points.lat_deg, points.lon_deg))
    sector = np.arctan2(headed.sin, headed.cos) / (2.0 * np.pi) * SECTORS
    keys = [_keys(points.lat_deg, points.lon_deg, sector, *shift) for shift in shifts]
    return np.unique(np.concatenate(keys))


def _keys(lat: Array, lon: Array, sector: Array, x_m: float, y_m: float, turn: float) -> Cells:
    """A square is known by the point alone: its columns are as wide as they are on its own row."""
    row = np.floor((lat * DEGREE_M + y_m) / CELL_M)
    east_m = DEGREE_M * np.cos(np.radians(np.clip((row + 0.5) * CELL_M / DEGREE_M, -89.9, 89.9)))
    column = np.floor((lon * east_m + x_m) / CELL_M)
    rows, columns = row.astype(np.int64), column.astype(np.int64)
    turned = np.floor(sector + turn).astype(np.int64) % SECTORS
    mixed = rows * _PRIMES[0] ^ columns * _PRIMES[1] ^ turned * _PRIMES[2]
    return np.asarray(mixed & 0xFFFFFFFF, dtype=np.uint32)


class CellIndex:
    """The cells of many ways or places, to count quickly which have some in common with another."""

    _SLOTS = 2**20

    def __init__(self) -> None:
        self.identities: list[int] = []
        self._starts: list[int] = []
        self._cells: Cells = np.zeros(0, dtype=np.uint32)
        self._size = 0

    def add(self, identity: int, cells: Cells) -> None:
        """Take in one more; one without cells meets nobody."""
        if not cells.size:
            return
        if self._size + cells.size > self._cells.size:
            grown = np.zeros(2 * (self._size + cells.size), dtype=np.uint32)
            grown[: self._size] = self._cells[: self._size]
            self._cells = grown
        self._cells[self._size : self._size + cells.size] = cells
        self.identities.append(identity)
        self._starts.append(self._size)
        self._size += cells.size

    def fill(self, identities: Sequence[int], sizes: NDArray[np.intp], cells: Cells) -> None:
        """Take in many at once, in place of what is there.

        Parameters
        ----------
        sizes : (k,) how many cells each has. cells : of all of them, one after the other.
        """
        some = np.flatnonzero(sizes)
        self.identities = [identities[at] for at in some.tolist()]
        self._starts = (np.cumsum(sizes) - sizes)[some].tolist()
        self._cells, self._size = cells, int(cells.size)

    def in_common(self, asked: Cells) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """How many of its cells each one has in common with those asked for, and how many it has.

        A few may be counted that only fall into the same slot of a table; what is found is looked at closely.
        """
        if not self._starts:
            return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
        table = np.zeros(self._SLOTS, dtype=np.int8)
        table[asked % self._SLOTS] = 1
        hits = table[self._cells[: self._size] % self._SLOTS]
        starts = np.array(self._starts, dtype=np.intp)
        return np.add.reduceat(hits, starts, dtype=np.intp), np.diff(starts, append=self._size)
