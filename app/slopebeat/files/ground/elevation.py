"""A grid of elevations cut out of a file, and which part of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.files.progress import Progress as Progress
from slopebeat.model.track import Array
from slopebeat.model.way import Box

MOST_CELLS = 1200
"""Along each side of what is cut out: finer than a plan shows [project choice]."""


@dataclass(frozen=True, eq=False)
class ElevationGrid:
    """Elevations over even steps of latitude and longitude.

    Attributes
    ----------
    north_deg, west_deg : of the first post, row 0 and column 0. step_lat_deg, step_lon_deg : from one post to
        the next, southward and eastward, positive.
    elevation_m : (rows, columns) from north to south and west to east, NaN where unknown.
    """

    north_deg: float
    west_deg: float
    step_lat_deg: float
    step_lon_deg: float
    elevation_m: Array

    @property
    def box(self) -> Box:
        """From the first post to the last."""
        rows, columns = self.elevation_m.shape
        south = self.north_deg - (rows - 1) * self.step_lat_deg
        return Box(south, self.west_deg, self.north_deg, self.west_deg + (columns - 1) * self.step_lon_deg)


@dataclass(frozen=True)
class Window:
    """Which posts of a whole grid lie in a box, every ``step``-th of them; ends are past the last."""

    top: int
    bottom: int
    left: int
    right: int
    step: int

    @property
    def empty(self) -> bool:
        return self.bottom - self.top < 2 or self.right - self.left < 2

    def unknown(self) -> Array:
        """All posts between the ends, NaN."""
        return np.full((self.bottom - self.top, self.right - self.left), np.nan)

    def put(self, found: Array, part: Array, top: int, left: int) -> None:
        """Put what of a part, whose first post is in row ``top`` and column ``left`` of all, lies inside."""
        up, down = max(self.top, top), min(self.bottom, top + part.shape[0])
        west, east = max(self.left, left), min(self.right, left + part.shape[1])
        if up < down and west < east:
            here = part[up - top : down - top, west - left : east - left]
            found[up - self.top : down - self.top, west - self.left : east - self.left] = here

    def grid(
        self, posts: Array, north_deg: float, west_deg: float, step_deg: tuple[float, float]
    ) -> ElevationGrid | None:
        """Every ``step``-th of these posts between the ends, the whole grid as for :func:`window_of`.

        None where nothing of them is known.
        """
        thin, (lat, lon) = posts[:: self.step, :: self.step], step_deg
        if min(thin.shape) < 2 or not np.isfinite(thin).any():
            return None
        north, west = north_deg - self.top * lat, west_deg + self.left * lon
        return ElevationGrid(north, west, lat * self.step, lon * self.step, thin)


def window_of(
    box: Box, north_deg: float, west_deg: float, step_deg: tuple[float, float], shape: tuple[int, int]
) -> Window:
    """The posts of a grid of ``shape`` (rows, columns) that lie in a box, with one more around it."""
    lat, lon = step_deg
    top = max(int(np.floor((north_deg - box.north_deg) / lat)), 0)
    bottom = min(int(np.ceil((north_deg - box.south_deg) / lat)) + 1, shape[0])
    left = max(int(np.floor((box.west_deg - west_deg) / lon)), 0)
    right = min(int(np.ceil((box.east_deg - west_deg) / lon)) + 1, shape[1])
    return Window(top, bottom, left, right, max(-(-max(bottom - top, right - left) // MOST_CELLS), 1))
