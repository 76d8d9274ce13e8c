"""A way planned before the outing: where it goes and how high, without anybody having walked it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.message import Message
from slopebeat.model.track import Array


@dataclass(frozen=True, eq=False)
class Route:
    """A planned way: arrays of one shape (n,), n at least 2.

    Attributes
    ----------
    distance_m : from the start along the plan, never falling.
    elevation_m : as the file gives it, NaN where it gives none.
    lat_deg, lon_deg : position, NaN throughout for a way known by its profile only.
    title : the name the file gives it, or the file's own.
    warnings : one per thing found in the file.
    """

    distance_m: Array
    elevation_m: Array
    lat_deg: Array
    lon_deg: Array
    title: str = ""
    file_name: str = ""
    warnings: tuple[Message, ...] = ()

    def __len__(self) -> int:
        return int(self.distance_m.size)

    @property
    def length_m(self) -> float:
        return float(self.distance_m[-1])

    @property
    def has_elevation(self) -> bool:
        """Whether enough points carry one for grades to mean anything: two, and half of all."""
        known = int(np.count_nonzero(np.isfinite(self.elevation_m)))
        return known >= 2 and known >= len(self) / 2

    @classmethod
    def of_profile(cls, distance_m: Array, elevation_m: Array, title: str = "") -> Route:
        """A way known by its profile only."""
        nowhere = np.full(distance_m.shape, np.nan)
        return cls(distance_m, elevation_m, nowhere, nowhere, title)


@dataclass(frozen=True)
class Waypoint:
    """A named place on a route, for a device or a map; texts are plain, not markup."""

    lat_deg: float
    lon_deg: float
    elevation_m: float | None
    name: str
    description: str
