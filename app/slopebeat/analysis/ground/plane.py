"""Ways on a plane that touches the Earth, as points every ten metres.

Standing adds no way; jumps and holes are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.numerics import EARTH_RADIUS_M, median
from slopebeat.model.track import Array
from slopebeat.model.way import POINT_M, WayPoints, no_points

DEGREE_M = EARTH_RADIUS_M * np.pi / 180.0
"""Length of a degree of latitude on a sphere of the Earth's mean radius."""


@dataclass(frozen=True)
class Plane:
    """A plane that touches the Earth: x metres east, y metres north of one point.

    Two ways on one plane are as far apart as they are; a length 100 km north or south of the point is wrong
    by 2 %.
    """

    lat_deg: float
    lon_deg: float

    @classmethod
    def around(cls, lat_deg: Array, lon_deg: Array) -> Plane:
        """The plane at the middle of some points, at least one."""
        return cls(median(lat_deg), float(lon_deg[lon_deg.size // 2]))

    def metres(self, lat_deg: Array, lon_deg: Array) -> tuple[Array, Array]:
        """x and y of points; across the 180th meridian as elsewhere."""
        east = (lon_deg - self.lon_deg + 180.0) % 360.0 - 180.0
        return east * self._east_m, (lat_deg - self.lat_deg) * DEGREE_M

    def degrees(self, x_m: Array, y_m: Array) -> tuple[Array, Array]:
        """Latitude and longitude of points of the plane."""
        lon = (self.lon_deg + x_m / self._east_m + 180.0) % 360.0 - 180.0
        return self.lat_deg + y_m / DEGREE_M, lon

    @property
    def _east_m(self) -> float:
        return float(DEGREE_M * max(np.cos(np.radians(self.lat_deg)), 1e-6))


MOVED_M = 8.0
"""A fix nearer than this to the last one kept is standing, or the receiver's own wander [project choice]."""

HOLE_M, HOLE_S = 150.0, 15.0
"""A step longer than both is a hole: the way between is not known [project choice]."""

LONGEST_STEP_M = 600.0
"""A step longer than this is a hole however quick it was [project choice]."""

FASTEST_MPS, WRONG_FOR_S = 30.0, 60.0
"""A fix that would take a quicker step is a jump, unless fixes stay there for so long [project choice]."""

LEAST_POINTS = 5
"""Shorter pieces are left out: they have no direction [project choice]."""


@dataclass(frozen=True, eq=False)
class WayLine:
    """Points of a way and when each was passed, seconds from the first record."""

    points: WayPoints
    t_s: Array


def thinned_line(t_s: Array, lat_deg: Array, lon_deg: Array) -> WayLine:
    """The way through the positions of a recording.

    Parameters
    ----------
    t_s : (n,) rising. lat_deg, lon_deg : (n,) degrees, NaN where no position is known or it is doubted.

    Returns
    -------
    Points every :data:`slopebeat.model.way.POINT_M` in pieces, numbered along the way; none where positions
    are missing.
    """
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg) & ((lat_deg != 0.0) | (lon_deg != 0.0))
    t, lat, lon = t_s[known], lat_deg[known], lon_deg[known]
    if t.size < 2:
        return WayLine(no_points(), np.zeros(0))
    plane = Plane.around(lat, lon)
    x, y = plane.metres(lat, lon)
    kept = _went(t, x, y)
    t, x, y = t[kept], x[kept], y[kept]
    step_m, step_s = np.hypot(np.diff(x), np.diff(y)), np.diff(t)
    holes = np.flatnonzero((step_m > HOLE_M) & (step_s > HOLE_S) | (step_m > LONGEST_STEP_M)) + 1
    pieces = [_even(t[part], x[part], y[part]) for part in np.split(np.arange(t.size), holes)]
    pieces = [piece for piece in pieces if piece.shape[1] >= LEAST_POINTS]
    if not pieces:
        return WayLine(no_points(), np.zeros(0))
    passed_s, x, y = np.hstack(pieces)
    lat, lon = plane.degrees(x, y)
    number = np.repeat(np.arange(len(pieces)), [piece.shape[1] for piece in pieces])
    return WayLine(WayPoints(lat, lon, number), passed_s)


def _went(t_s: Array, x_m: Array, y_m: Array) -> NDArray[np.intp]:
    """Numbers of the fixes at which somebody has gone on from the one before."""
    times, xs, ys = t_s.tolist(), x_m.tolist(), y_m.tolist()
    kept = [0]
    at_t, at_x, at_y = times[0], xs[0], ys[0]
    for number, (t, x, y) in enumerate(zip(times, xs, ys, strict=True)):
        east, north = x - at_x, y - at_y
        away_squared = east * east + north * north
        if away_squared < MOVED_M * MOVED_M:
            continue
        took = t - at_t
        if away_squared > (FASTEST_MPS * took) ** 2 and took <= WRONG_FOR_S:
            continue
        kept.append(number)
        at_t, at_x, at_y = t, x, y
    return np.array(kept, dtype=np.intp)


def _even(t_s: Array, x_m: Array, y_m: Array) -> Array:
    """(3, m) when, and where on the plane, every so many metres of one piece were reached."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x_m), np.diff(y_m)))])
    at = np.arange(0.0, along[-1], POINT_M)
    x, y = np.interp(at, along, x_m), np.interp(at, along, y_m)
    if at.size >= LEAST_POINTS:
        # Over 30 m: the jitter of single fixes makes a way neither longer nor turns it.
        x[1:-1], y[1:-1] = (np.convolve(each, np.ones(3) / 3.0, "valid") for each in (x, y))
    return np.vstack([np.interp(at, along, t_s), x, y])
