"""From a track to what is drawn along it: where a moment lies, lines broken where nothing was recorded,
and its way from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.measures import GROUND, HEIGHT, figure
from slopebeat.model.numerics import EARTH_RADIUS_M
from slopebeat.model.track import Array, Track


def break_after(track: Track) -> NDArray[np.intp]:
    """Indices of the samples followed by a pause or a gap, where a line must break."""
    return np.flatnonzero((track.pause_s > 0.0) | (track.gap_s > 0.0))


def broken(values: Array, after: NDArray[np.intp]) -> Array:
    """``values`` with a NaN put in after each index."""
    return np.insert(values.astype(float), after + 1, np.nan)


def broken_x(x: Array, after: NDArray[np.intp]) -> Array:
    """``x`` with each broken place's own x repeated, to go with :func:`broken`."""
    return np.insert(x.astype(float), after + 1, x[after])


def only(values: Array, state: NDArray[np.int8], wanted: BandState) -> Array:
    """``values`` where the line from a sample to the next has the wanted state, NaN elsewhere.

    A line belongs to the state of the sample it starts from, so each run keeps one sample more.
    """
    here = state == wanted
    kept = here.copy()
    kept[1:] |= here[:-1]
    return np.where(kept, values, np.nan)


@dataclass(frozen=True, eq=False)
class XScale:
    """Seconds to chart x and back; x is seconds, or metres when ``distance_m`` is given.

    Attributes
    ----------
    t_s : (n,) strictly rising. distance_m : (n,) never falling, or None.
    """

    t_s: Array
    distance_m: Array | None = None

    @property
    def along_distance(self) -> bool:
        return self.distance_m is not None

    def to_x(self, t_s: Array | float) -> Array:
        if self.distance_m is None:
            return np.asarray(t_s, dtype=float)
        return np.asarray(np.interp(t_s, self.t_s, self.distance_m))

    def to_seconds(self, x: float, *, last: bool = False) -> float:
        """The moment at ``x``; where the outing stood still, its first or ``last`` moment there."""
        if self.distance_m is None:
            return float(x)
        d, n = self.distance_m, self.t_s.size
        i = int(np.searchsorted(d, x, side="right" if last else "left"))
        if i <= 0:
            return float(self.t_s[0])
        if i >= n:
            return float(self.t_s[-1])
        run = d[i] - d[i - 1]
        part = (x - d[i - 1]) / run if run > 0 else 0.0
        return float(self.t_s[i - 1] + part * (self.t_s[i] - self.t_s[i - 1]))


def middle_of(lat_deg: Array, lon_deg: Array) -> tuple[float, float] | None:
    """Mean latitude and longitude of a track, which its plan is drawn about; None without positions."""
    if not np.isfinite(lat_deg).any():
        return None
    return float(np.nanmean(lat_deg)), float(np.nanmean(lon_deg))


def local_metres(
    lat_deg: Array, lon_deg: Array, about: tuple[float, float] | None = None
) -> tuple[Array, Array]:
    """East and north of a place, by default of the middle of the track, in metres.

    Equirectangular about the mean latitude: over an outing's tens of kilometres the error stays
    under the width of the line drawn.
    """
    about = about or middle_of(lat_deg, lon_deg)
    if about is None:
        return np.full(lat_deg.shape, np.nan), np.full(lat_deg.shape, np.nan)
    lat0, lon0 = about
    north = np.radians(lat_deg - lat0) * EARTH_RADIUS_M
    east = np.radians(lon_deg - lon0) * EARTH_RADIUS_M * math.cos(math.radians(lat0))
    return east, north


def _apart(east: Array, north: Array, least_m: float) -> NDArray[np.bool_]:
    """Those ``least_m`` along the track from the last, and the last of all."""
    step = np.hypot(np.diff(east, prepend=east[:1]), np.diff(north, prepend=north[:1]))
    along = np.floor(np.cumsum(np.nan_to_num(step)) / least_m)
    keep = np.diff(along, prepend=-1.0) > 0
    keep[-1:] = True
    return np.asarray(keep)


def _with_changes(keep: NDArray[np.bool_], state: NDArray[np.int8]) -> NDArray[np.bool_]:
    """These and every change of state."""
    both = keep.copy()
    both[1:] |= state[1:] != state[:-1]
    return both


def extent_m(east: Array, north: Array) -> float:
    """The longer side of the track's frame, at least a metre."""
    known = np.isfinite(east) & np.isfinite(north)
    if not known.any():
        return 1.0
    return max(1.0, float(np.ptp(east[known])), float(np.ptp(north[known])))


def round_length(room_m: float) -> tuple[float, str]:
    """The longest round length that has room, in m, and its words in the unit in force."""
    long = GROUND if GROUND.shown(room_m) >= 1.0 else HEIGHT
    room = long.shown(room_m)
    power = 10.0 ** math.floor(math.log10(room))
    length = max(f * power for f in (1, 2, 5) if f * power <= room)
    return long.si(length), f"{figure(length, 0 if length >= 1 else 1)} {long.unit}"


THIN_SHARE = 1 / 500
"""Points nearer to the last one drawn than this share of the plan's extent are left out: about a
pixel [project choice]."""

APART_PX = 3.0
"""A line lies so far to the right of where it was gone, so there and back are twice as far apart, which
leaves the widest of them a gap [project choice]."""

REACH_PX = 6.0
"""The direction of travel is that of so much way before and behind: steps of a pixel point anywhere
[project choice]."""


@dataclass(frozen=True, eq=False)
class Line:
    """What is drawn of a way: samples (n,) in order, their place in metres and state of the band.

    ``breaks`` are the numbers among them after which nothing was recorded for a while.
    """

    sample: NDArray[np.intp]
    east_m: Array
    north_m: Array
    state: NDArray[np.int8]
    breaks: NDArray[np.intp]

    def broken(self, x: Array, y: Array) -> tuple[NDArray[np.int8], Array, Array]:
        """States and places (n,) of the line, each with one more where nothing was recorded."""
        states = np.insert(self.state, self.breaks + 1, self.state[self.breaks])
        return states, broken(x, self.breaks), broken(y, self.breaks)


class Places:
    """All places of a track (n,), of which a line is drawn; what no band changes is found once."""

    def __init__(self, east_m: Array, north_m: Array, break_after: NDArray[np.intp]) -> None:
        self.east_m, self.north_m, self._break_after = east_m, north_m, break_after
        self._known = np.isfinite(east_m) & np.isfinite(north_m)
        self._apart = _apart(east_m, north_m, THIN_SHARE * extent_m(east_m, north_m))

    def line(self, state: NDArray[np.int8]) -> Line:
        """The line through all of them, thinned; ``state`` (n,) is that of the band."""
        kept = np.flatnonzero(_with_changes(self._apart, state) & self._known)
        breaks = np.searchsorted(kept, self._break_after, side="right") - 1
        breaks = np.unique(breaks[(breaks >= 0) & (breaks < kept.size)])
        return Line(kept, self.east_m[kept], self.north_m[kept], state[kept], breaks)


NO_PLACES = Places(np.zeros(0), np.zeros(0), np.zeros(0, np.intp))


def to_the_right(east_m: Array, north_m: Array, metres_per_px: float) -> tuple[Array, Array]:
    """How far east and north each place of a way (n,) is drawn beside itself, in metres.

    The places are known ones in the order of travel. Where the way does not go anywhere the shift is zero.
    """
    if east_m.size < 2:
        return np.zeros(east_m.shape), np.zeros(east_m.shape)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_m), np.diff(north_m)))])
    reach, own = REACH_PX * metres_per_px, np.arange(along.size)
    behind = np.minimum(np.searchsorted(along, along - reach), np.maximum(own - 1, 0))
    ahead = np.searchsorted(along, along + reach, side="right") - 1
    ahead = np.maximum(ahead, np.minimum(own + 1, along.size - 1))
    over_m, up_m = east_m[ahead] - east_m[behind], north_m[ahead] - north_m[behind]
    length = np.hypot(over_m, up_m)
    share = np.divide(APART_PX * metres_per_px, length, out=np.zeros(length.shape), where=length > 0.0)
    return up_m * share, -over_m * share
