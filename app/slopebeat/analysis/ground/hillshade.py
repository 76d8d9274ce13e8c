"""Light and shade on the ground, lit from the north-west as on maps."""

from __future__ import annotations

import numpy as np

from slopebeat.model.track import Array

AZIMUTH_DEG, ALTITUDE_DEG = 315.0, 45.0
"""Where the light comes from: north-west, half up (common practice in maps; Horn 1981 uses the same)."""


def hillshade(elevation_m: Array, east_m: float, north_m: float) -> Array:
    """Share of the light that falls on the ground, 0 in the shade to 1 facing the light.

    Parameters
    ----------
    elevation_m : (n, m) rows from north to south, columns from west to east; NaN where unknown.
    east_m, north_m : from one column, and from one row, to the next.

    Returns
    -------
    (n, m), NaN where an elevation around is unknown; at the rim the slope is that inside it.

    Source
    ------
    Slope by third-order differences, Horn 1981, "Hill shading and the reflectance map", Proc. IEEE 69,
    doi:10.1109/PROC.1981.11918; the light on it by the cosine law (Lambert).
    """
    z = np.pad(elevation_m, 1, mode="edge")
    north, middle, south = z[:-2], z[1:-1], z[2:]
    west = north[:, :-2] + 2 * middle[:, :-2] + south[:, :-2]
    east = north[:, 2:] + 2 * middle[:, 2:] + south[:, 2:]
    above = north[:, :-2] + 2 * north[:, 1:-1] + north[:, 2:]
    below = south[:, :-2] + 2 * south[:, 1:-1] + south[:, 2:]
    rise_east, rise_north = (east - west) / (8 * east_m), (above - below) / (8 * north_m)
    azimuth, altitude = np.radians(AZIMUTH_DEG), np.radians(ALTITUDE_DEG)
    # The light as a vector to the east, the north and up, and the ground's normal beside it.
    light = np.array([np.sin(azimuth), np.cos(azimuth)]) * np.cos(altitude)
    lit = np.sin(altitude) - rise_east * light[0] - rise_north * light[1]
    return np.asarray(np.clip(lit / np.sqrt(1.0 + rise_east**2 + rise_north**2), 0.0, 1.0))
