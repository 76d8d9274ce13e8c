"""Two ways side by side: the stretches they go together in the same direction."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.windows import samples_of
from slopebeat.analysis.ground.plane import Plane
from slopebeat.model.track import Array
from slopebeat.model.way import POINT_M, WayPoints

Indices = NDArray[np.intp]

REACH_M = 40.0
"""Two points nearer than this may be one place: twice what receivers are off in woods [project choice]."""

SAME_TURN_COS = 0.5
"""... when they are gone through in directions less than 60 degrees apart [project choice]."""

BREAK_POINTS = 8
"""Points without a partner, 80 m, that end a stretch [project choice]."""

BACK_POINTS, AHEAD_POINTS = 2, 4
"""The partner of a later point may lie so many points back, and so many more ahead than the point itself
[project choice]: the next leg of a switchback lies further ahead."""

RUN_GAP_POINTS = 3
"""Points of the other way within reach, so many apart, are of one passing by [project choice]."""

MEDIAN_APART_M = 22.0
"""The middle distance over a stretch gone together [project choice]."""

MEDIAN_ASIDE_M = 15.0
"""The middle distance to one side; more is a path beside this one [project choice]."""

PARTNERED_SHARE = 0.85
"""Of the points of a stretch, with a partner [project choice]."""

LENGTHS = (0.88, 1.14)
"""One length over the other of a stretch gone together [project choice]."""


@dataclass(frozen=True, eq=False)
class DirectedPoints:
    """Points of a way on a plane with the direction they are gone through, arrays (n,)."""

    x_m: Array
    y_m: Array
    cos: Array
    sin: Array
    piece: NDArray[np.int64]

    def __len__(self) -> int:
        return int(self.x_m.size)

    @classmethod
    def of(cls, points: WayPoints, plane: Plane) -> DirectedPoints:
        """The direction at a point is that from two points before to two points behind it."""
        x, y = plane.metres(points.lat_deg, points.lon_deg)
        own = np.arange(x.size)
        first = np.searchsorted(points.piece, points.piece)
        last = np.searchsorted(points.piece, points.piece, side="right") - 1
        before, behind = np.maximum(own - 2, first), np.minimum(own + 2, last)
        over, up = x[behind] - x[before], y[behind] - y[before]
        length = np.maximum(np.hypot(over, up), 1e-6)
        return cls(x, y, over / length, up / length, points.piece)


@dataclass(frozen=True, eq=False)
class SharedStretch:
    """A stretch gone together, point by point: arrays (m,).

    Attributes
    ----------
    one, other : numbers of the points on the two ways, never falling.
    apart_m : how far apart they are. aside_m : the same to the left of the one way.
    """

    one: Indices
    other: Indices
    apart_m: Array
    aside_m: Array

    @property
    def length_m(self) -> float:
        """Along the one way."""
        return POINT_M * float(self.one[-1] - self.one[0])

    def part(self, first: int, last: int) -> SharedStretch:
        """From one pair to another, both in it."""
        here = slice(first, last + 1)
        return SharedStretch(self.one[here], self.other[here], self.apart_m[here], self.aside_m[here])


def together(one: WayPoints, other: WayPoints, least_m: float) -> tuple[SharedStretch, ...]:
    """The stretches of at least ``least_m`` that a way, or a part of one, and another go together."""
    if not len(one) or not len(other):
        return ()
    plane = Plane.around(one.lat_deg, one.lon_deg)
    x, y = plane.metres(one.lat_deg, one.lon_deg)
    their_x, their_y = plane.metres(other.lat_deg, other.lon_deg)
    # Most of a long way is far from a short part of another.
    inside = (their_x >= x.min() - REACH_M) & (their_x <= x.max() + REACH_M)
    near = np.flatnonzero(inside & (their_y >= y.min() - REACH_M) & (their_y <= y.max() + REACH_M))
    if not near.size:
        return ()
    first, last = max(int(near[0]) - 2, 0), min(int(near[-1]) + 2, len(other) - 1)
    found = shared_stretches(
        DirectedPoints.of(one, plane), DirectedPoints.of(other.part(first, last), plane), least_m
    )
    return tuple(replace(each, other=each.other + first) for each in found)


def shared_stretches(one: DirectedPoints, other: DirectedPoints, least_m: float) -> tuple[SharedStretch, ...]:
    """The stretches of at least ``least_m`` that two ways on one plane go together in the same direction.

    Points within reach that are gone through the same way make runs of neighbours on the other way; the
    nearest of a run is where it was passed. Passings are chained with rising numbers on both ways, so that a
    lap gives a stretch of its own, and a way there and back meets each of its halves once.
    """
    pairs = _near(one, other)
    if pairs[0].size < 0.5 * least_m / POINT_M:
        return ()
    at, beside, apart = _passings(*pairs)
    found = []
    for chain in _chains(at, beside, apart, one.piece, other.piece):
        i, j = at[chain], np.maximum.accumulate(beside[chain])
        over, up = other.x_m[j] - one.x_m[i], other.y_m[j] - one.y_m[i]
        stretch = SharedStretch(i, j, apart[chain], one.cos[i] * up - one.sin[i] * over)
        sound = _sound(stretch, least_m)
        if sound is not None:
            found.append(sound)
    return tuple(found)


def _near(one: DirectedPoints, other: DirectedPoints) -> tuple[Indices, Indices, Array]:
    """All pairs within reach that are gone through in one direction, in order of both numbers."""
    if not len(one) or not len(other):
        return np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0)
    row, column = _squares(other)
    key = _key(row, column)
    order = np.argsort(key, kind="stable")
    key = key[order]
    row, column = _squares(one)
    first, last = [], []
    for up in (-1, 0, 1):
        # Three squares of a row are neighbours in the order of keys.
        first.append(np.searchsorted(key, _key(row + up, column - 1)))
        last.append(np.searchsorted(key, _key(row + up, column + 1), side="right"))
    own, at = samples_of(np.concatenate(first), np.concatenate(last))
    i, j = own % len(one), order[at]
    apart = np.hypot(one.x_m[i] - other.x_m[j], one.y_m[i] - other.y_m[j])
    along = one.cos[i] * other.cos[j] + one.sin[i] * other.sin[j]
    kept = np.flatnonzero((apart <= REACH_M) & (along > SAME_TURN_COS))
    kept = kept[np.lexsort((j[kept], i[kept]))]
    return i[kept], j[kept], apart[kept]


def _squares(way: DirectedPoints) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    return tuple(np.floor(each / REACH_M).astype(np.int64) for each in (way.y_m, way.x_m))  # type: ignore[return-value]


def _key(row: NDArray[np.int64], column: NDArray[np.int64]) -> NDArray[np.int64]:
    return row * 2**24 + column


def _passings(i: Indices, j: Indices, apart: Array) -> tuple[Indices, Indices, Array]:
    """The nearest pair of each run of neighbours on the other way."""
    begins = np.flatnonzero(np.append(True, (np.diff(i) != 0) | (np.diff(j) > RUN_GAP_POINTS)))
    run = np.zeros(i.size, dtype=np.intp)
    run[begins[1:]] = 1
    run = np.cumsum(run)
    nearest = np.lexsort((apart, run))[begins]
    return i[nearest], j[nearest], apart[nearest]


def _chains(
    i: Indices, j: Indices, apart: Array, piece_one: NDArray[np.int64], piece_other: NDArray[np.int64]
) -> list[list[int]]:
    """Numbers of the passings that follow one another on both ways, chain by chain.

    One that is far off is only followed in step: in a bend it may lie on the next leg.
    """
    chains: list[list[int]] = []
    live: list[tuple[int, int, int, int, list[int]]] = []
    far = (apart > MEDIAN_APART_M).tolist()
    rows = zip(i.tolist(), j.tolist(), far, piece_one[i].tolist(), piece_other[j].tolist(), strict=True)
    for number, (at, beside, is_far, here, there) in enumerate(rows):
        if live and at - live[0][0] > BREAK_POINTS:
            live = [each for each in live if at - each[0] <= BREAK_POINTS]
        best, best_off = -1, 10**9
        for place, (last, other, piece, other_piece, _) in enumerate(live):
            step, beyond = at - last, beside - other
            follows = step > 0 and -BACK_POINTS <= beyond <= step + AHEAD_POINTS
            follows = follows and not (is_far and abs(beyond - step) > 1)
            if follows and piece == here and other_piece == there and abs(beyond - step) < best_off:
                best, best_off = place, abs(beyond - step)
        chain = live[best][4] if best >= 0 else []
        if best < 0:
            chains.append(chain)
        chain.append(number)
        state = (at, beside, here, there, chain)
        if best >= 0:
            del live[best]
        live.append(state)  # In order of their last points: the oldest ends first.
    return chains


def _sound(stretch: SharedStretch, least_m: float) -> SharedStretch | None:
    """The stretch without ends that merely run near; None where it is too short, too far off or aside."""
    if stretch.length_m < least_m:
        return None
    near = np.flatnonzero(stretch.apart_m <= MEDIAN_APART_M)
    if near.size < 3:
        return None
    stretch = stretch.part(int(near[0]), int(near[-1]))
    points = int(stretch.one[-1] - stretch.one[0])
    if points * POINT_M < least_m or stretch.one.size < PARTNERED_SHARE * points:
        return None
    if np.median(stretch.apart_m) > MEDIAN_APART_M or abs(np.median(stretch.aside_m)) > MEDIAN_ASIDE_M:
        return None
    ratio = float(stretch.other[-1] - stretch.other[0]) / points
    return stretch if LENGTHS[0] <= ratio <= LENGTHS[1] else None
