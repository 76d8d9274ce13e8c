"""The way of an outing: where it went, a point every ten metres, and what was measured between them.

Ground that was gone before is kept as places, with what was measured each time one was gone over.
"""

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
    """What is shown of an outing beside a pass over a place; None where unknown.

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
    """The way of an outing with everything measured on it."""

    points: WayPoints
    values: WayValues
    facts: WayFacts

    def __len__(self) -> int:
        return len(self.points)


def no_points() -> WayPoints:
    """The way of a recording without positions."""
    return WayPoints(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))


CLIMB, STRETCH = "climb", "stretch"
"""Kinds of places: up by so much that it is a climb, or any other way."""


@dataclass(frozen=True)
class Place:
    """A climb or a stretch of way that an athlete went more than once, always in one direction.

    Attributes
    ----------
    identity : number in the library; it says nothing of where the place is.
    gain_m : how much higher its end is than its beginning; None where the elevation is not known.
    """

    identity: int
    kind: str
    length_m: float
    gain_m: float | None


@dataclass(frozen=True)
class PassFigures:
    """A place gone over once; None where the recording does not tell.

    Attributes
    ----------
    start_s : into the outing, seconds from its first record. elapsed_s : until its end was reached.
    moving_s : of that, recorded and going. heart_s : of that, with trusted heart rate after the first minute.
    hr_bpm, work_w_per_kg : mean heart rate and mean work as a heart answers it, of those seconds.
    speed_mps : length over moving time. climb_m_per_h : the same for the gain.
    load_kg : carried. from_ends_m : how near the place comes to where the outing began or ended.
    """

    start_s: float
    elapsed_s: float
    moving_s: float
    heart_s: float
    hr_bpm: float | None
    work_w_per_kg: float | None
    speed_mps: float | None
    climb_m_per_h: float | None
    load_kg: float
    from_ends_m: float

    @property
    def stopped_s(self) -> float:
        """Standing, pauses and holes in the recording on the way."""
        return max(self.elapsed_s - self.moving_s, 0.0)
