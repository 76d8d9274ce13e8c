"""The way of an outing: where it went, a point every ten metres, and what was measured between them."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.codec import Instant
from slopebeat.model.track import Array

POINT_M = 10.0
"""Points of a way lie so far apart: less than positions are off on most days [project choice]."""


@dataclass(frozen=True)
class Box:
    """The degrees a way lies between."""

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float


@dataclass(frozen=True)
class WayFacts:
    """What of an outing is told beside a pass over a place; None where unknown.

    Attributes
    ----------
    kind : key of what was done. sport : the word of :class:`slopebeat.model.recording.Sport`.
    work_source : key of where the work rate comes from.
    """

    start_utc: Instant
    utc_offset_s: float | None
    kind: str
    sport: str
    on_bike: bool
    work_source: str | None
    temperature_c: float | None


@dataclass(frozen=True, eq=False)
class WayPoints:
    """Where an outing went: arrays (n,), without points where the recording has no positions.

    Attributes
    ----------
    lat_deg, lon_deg : every :data:`POINT_M` along the way.
    piece : (n,) number of the unbroken piece a point is of; nothing is known of the way between two pieces.
    """

    lat_deg: Array
    lon_deg: Array
    piece: NDArray[np.int64]

    def __len__(self) -> int:
        return int(self.lat_deg.size)

    def part(self, first: int, last: int) -> WayPoints:
        """The points from ``first`` to ``last``, both among them."""
        here = slice(first, last + 1)
        return WayPoints(self.lat_deg[here], self.lon_deg[here], self.piece[here])

    @property
    def box(self) -> Box | None:
        """The degrees it lies between; None without points."""
        if not len(self):
            return None
        south, north = float(self.lat_deg.min()), float(self.lat_deg.max())
        return Box(south, float(self.lon_deg.min()), north, float(self.lon_deg.max()))


@dataclass(frozen=True, eq=False)
class WayValues:
    """What was measured on a way: arrays (n,) beside its points, NaN where unknown.

    Attributes
    ----------
    t_s : when a point was passed, seconds from the first record, never falling.
    moving_s : of the time to the next point, recorded and going.
    elevation_m : smoothed, at the point.
    hr_bpm : trusted heart rate while going on to the next point.
    work_w_per_kg : work rate as a heart answers it, late and smoothed, in the same time.
    load_kg : carried at the point.
    """

    t_s: Array
    moving_s: Array
    elevation_m: Array
    hr_bpm: Array
    work_w_per_kg: Array
    load_kg: Array

    def part(self, first: int, last: int) -> WayValues:
        """The values from point ``first`` to ``last``, both among them."""
        return WayValues(*(getattr(self, each.name)[first : last + 1] for each in fields(self)))


@dataclass(frozen=True, eq=False)
class Way:
    """The way of an outing with all that is told of it."""

    points: WayPoints
    values: WayValues
    facts: WayFacts

    def __len__(self) -> int:
        return len(self.points)


def no_points() -> WayPoints:
    """The way of a recording without positions."""
    return WayPoints(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))
