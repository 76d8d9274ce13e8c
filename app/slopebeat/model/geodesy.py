"""Distances on the Earth's surface."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the Earth (GRS 80: R1 = (2a + b)/3)."""


def great_circle_m(
    lat1_deg: ArrayLike, lon1_deg: ArrayLike, lat2_deg: ArrayLike, lon2_deg: ArrayLike
) -> NDArray[np.float64]:
    """Great-circle distance by the haversine formula on a sphere of mean radius, in metres.

    Within 0.6 % of the ellipsoid's; NaN where a coordinate is NaN.
    """
    lat1, lon1, lat2, lon2 = (
        np.radians(np.asarray(x, dtype=float)) for x in (lat1_deg, lon1_deg, lat2_deg, lon2_deg)
    )
    half = np.sin((lat2 - lat1) / 2) ** 2 + np.cos(lat1) * np.cos(lat2) * np.sin((lon2 - lon1) / 2) ** 2
    return np.asarray(2.0 * EARTH_RADIUS_M * np.arcsin(np.sqrt(np.clip(half, 0.0, 1.0))))
