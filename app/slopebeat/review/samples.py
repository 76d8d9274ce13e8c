"""The samples of a review: what the file says of each, and what cleaning and analysis made of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from slopebeat.analysis.account.causes import NOT_OUT, ORDER
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.review.outing import Review

_STATES = {
    BandState.BELOW: "below",
    BandState.IN_BAND: "in band",
    BandState.ABOVE: "above",
    BandState.NO_HEART_RATE: "no heart rate",
}


@dataclass(frozen=True)
class SampleColumn:
    """A column of the samples.

    Attributes
    ----------
    name : with its unit, as tables in Python have it, SI. csv : its header in CSV.
    csv_factor : what a value is multiplied with there.
    get : its (n,) values; None where the review knows none without a band.
    """

    name: str
    csv: str
    get: Callable[[Review], Sequence[Any] | np.ndarray | None]
    csv_factor: float = 1.0


def _recorded(name: str, csv: str) -> SampleColumn:
    return SampleColumn(name, csv, lambda review: review.recording.samples[name])


def _of_track(name: str, csv: str, field: str, csv_factor: float = 1.0) -> SampleColumn:
    return SampleColumn(name, csv, lambda review: np.asarray(getattr(review.track, field)), csv_factor)


def _states(review: Review) -> list[str] | None:
    band = review.aim.band
    if band is None:
        return None
    return [_STATES[BandState(int(state))] for state in band_state(review.track.hr_bpm, band)]


def _causes(review: Review) -> list[str] | None:
    if review.causes is None:
        return None
    return ["" if code == NOT_OUT else ORDER[code].value for code in review.causes.code.tolist()]


SAMPLE_COLUMNS: tuple[SampleColumn, ...] = (
    _recorded("t_s", "time (s)"),
    _recorded("hr_bpm", "heart rate (bpm)"),
    _recorded("elevation_m", "elevation (m)"),
    _recorded("distance_m", "distance (m)"),
    _recorded("speed_mps", "speed (m/s)"),
    _recorded("lat_deg", "latitude (deg)"),
    _recorded("lon_deg", "longitude (deg)"),
    _recorded("cadence_rpm", "cadence (rpm)"),
    _recorded("power_w", "power (W)"),
    _recorded("temperature_c", "temperature (°C)"),
    _of_track("recorded_s", "recorded (s)", "recorded_s"),
    _of_track("pause_s", "pause (s)", "pause_s"),
    _of_track("gap_s", "gap (s)", "gap_s"),
    _of_track("trusted_hr_bpm", "trusted heart rate (bpm)", "hr_bpm"),
    _of_track("smoothed_elevation_m", "smoothed elevation (m)", "elevation_m"),
    _of_track("ground_distance_m", "distance along the ground (m)", "distance_m"),
    _of_track("smoothed_speed_mps", "smoothed speed (m/s)", "speed_mps"),
    _of_track("grade", "grade (%)", "grade", 100.0),
    _of_track("vertical_speed_mps", "vertical speed (m/h)", "vertical_speed_mps", 3600.0),
    SampleColumn("work_w_per_kg", "work rate (W/kg)", lambda review: review.work_w_per_kg),
    _of_track("moving", "moving", "moving"),
    SampleColumn("band_state", "band state", _states),
    SampleColumn("cause", "cause", _causes),
)
"""Every column in its order; absent numbers are NaN."""
