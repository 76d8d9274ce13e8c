"""Outing summaries with stated figures, for tests of the months."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Prescription

PLAIN = OutingSummary(
    start_utc=datetime(2026, 1, 5, 8, 0, tzinfo=UTC),
    utc_offset_s=0.0,
    sport="hiking",
    on_bike=False,
    title="",
    recorded_s=7200.0,
    moving_s=7000.0,
    distance_m=9000.0,
    ascent_m=400.0,
    load_kg=0.0,
    band_lower_bpm=112,
    band_upper_bpm=131,
    in_band_s=3600.0,
    above_s=2400.0,
    below_s=1200.0,
    no_hr_s=0.0,
    yield_share=0.5,
    steep_share=0.4,
    pace_percent=9.0,
    work_percent=7.0,
    terrain_fair_percent=3.0,
    terrain_fair_low=2.0,
    terrain_fair_high=4.0,
    drift_bpm_per_h=3.0,
    mid_band_speed_mps=1.5,
    mid_band_speed_low_mps=1.4,
    mid_band_speed_high_mps=1.6,
)
"""A hike on Monday 5 January 2026, the first day of ISO week 2026-W02."""


def outing(**figures: Any) -> OutingSummary:
    """The plain hike with other figures."""
    return replace(PLAIN, **figures)


def asked(
    minutes: float | None = None, sessions: int | None = None, most_above: float | None = None
) -> Callable[[date], Prescription]:
    """The same prescription on all days."""
    return lambda day: Prescription("", date.min, minutes, sessions, most_above)
