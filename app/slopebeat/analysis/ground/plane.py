"""Degrees on the Earth as metres on a plane that touches it, for ways of some dozen kilometres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.numerics import EARTH_RADIUS_M
from slopebeat.model.track import Array

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
        return cls(float(np.median(lat_deg)), float(lon_deg[lon_deg.size // 2]))

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
