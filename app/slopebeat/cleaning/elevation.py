"""Smoothed elevation and the ascent read from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slopebeat.model.track import Array


@dataclass(frozen=True, eq=False)
class Elevation:
    """Elevation as the analysis reads it.

    Attributes
    ----------
    smoothed_m : (n,) smoothed elevation, NaN throughout where the file has none.
    noise_m : estimated noise of the recorded elevation from sample to sample.
    window_s : width of the smoothing that noise called for.
    ascent_m, descent_m : by hysteresis at the default threshold; None without elevation.
    ascent_by_threshold_m : ascent at 1, 2 and 5 m, to show how far it hangs on the threshold.
    """

    smoothed_m: Array
    noise_m: float
    window_s: float
    ascent_m: float | None
    descent_m: float | None
    ascent_by_threshold_m: Mapping[float, float]
