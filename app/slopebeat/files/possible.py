"""What of a record can be meant: values within wide bounds, and a distance that goes with the positions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.geodesy import great_circle_m

Values = NDArray[np.float64]

HR_ABSENT_BPM = (0.0, 255.0)
"""Heart rates that mean "no value": 255 is the invalid uint8 of the FIT protocol; devices also write 0."""

BOUNDS: dict[str, tuple[float, float]] = {
    "hr_bpm": (0.0, 1_000.0),
    "elevation_m": (-1_000.0, 10_000.0),
    "distance_m": (-1e7, 1e7),
    "speed_mps": (0.0, 150.0),
    "lat_deg": (-90.0, 90.0),
    "lon_deg": (-180.0, 180.0),
    "cadence_rpm": (0.0, 1_000.0),
    "power_w": (0.0, 10_000.0),
    "temperature_c": (-100.0, 100.0),
}
"""Values outside were not measured on an outing [project choice, but for the latitude and the longitude]:
wide, because cleaning marks what is only doubtful. Ground lies between -430 m and 8,849 m."""

FAR_SHARE = 0.75
"""Share of the positions that may be nearer to the middle than the recording reached: the rest may be wrong
[project choice]."""

MOVED_M = 100.0
"""Positions spread over less than this may stand still [project choice]."""

STANDING_SHARE = 0.5
"""A way is never shorter than the positions lie apart; less than this share of it is no way at all
[project choice]."""


def possible(name: str, values: Values) -> tuple[Values, int]:
    """A column with NaN for what cannot be meant, and how many values were beyond its bounds.

    A heart rate that says "none" is absent and not counted.
    """
    low, high = BOUNDS[name]
    with np.errstate(invalid="ignore"):
        inside = (values >= low) & (values <= high)
    beyond = int(np.count_nonzero(np.isfinite(values) & ~inside))
    if name == "hr_bpm":
        inside &= ~np.isin(values, HR_ABSENT_BPM)
    return np.where(inside, values, np.nan), beyond


def distance_stands_still(distance_m: Values, lat_deg: Values, lon_deg: Values) -> bool:
    """Whether a recorded distance does not move while the positions do; arrays of shape (n,)."""
    known = np.isfinite(lat_deg) & np.isfinite(lon_deg)
    walked = distance_m[np.isfinite(distance_m)]
    if not walked.size or not known.any():
        return False
    lat, lon = lat_deg[known], lon_deg[known]
    # Longitudes from the first one, so that the middle is right across the 180th meridian too.
    east = (lon - lon[0] + 180.0) % 360.0 - 180.0
    apart = great_circle_m(lat, lon, np.median(lat), lon[0] + np.median(east))
    reached = float(np.quantile(apart, FAR_SHARE))
    return reached > MOVED_M and float(np.ptp(walked)) < STANDING_SHARE * reached
