"""Recordings made of plain functions of time, for tests that know the truth beforehand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np

from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import counted_time, sample_table
from slopebeat.model.spans import Spans
from slopebeat.model.track import Track

Profile = Callable[[np.ndarray], np.ndarray]


def recording(
    t_s: np.ndarray,
    hr: Profile | float = 120.0,
    elevation: Profile | float = 500.0,
    speed: float = 1.2,
    sport: Sport = Sport.HIKING,
    pauses: Spans | None = None,
    **columns: np.ndarray,
) -> Recording:
    """A recording sampled at ``t_s`` from functions of time; constant speed unless distance is given."""
    t = np.asarray(t_s, dtype=float)
    values = {
        "t_s": t,
        "hr_bpm": hr(t) if callable(hr) else np.full(t.shape, hr),
        "elevation_m": elevation(t) if callable(elevation) else np.full(t.shape, elevation),
        "distance_m": speed * t,
        **columns,
    }
    start = datetime(2026, 7, 11, 6, 0, tzinfo=UTC)
    return Recording(sample_table(values), start, sport, pauses=pauses or Spans.empty())


def track(
    t_s: np.ndarray,
    hr: np.ndarray | float = 120.0,
    grade: np.ndarray | float = 0.0,
    speed: np.ndarray | float = 1.2,
    elevation: np.ndarray | None = None,
    on_bike: bool = False,
    moving: np.ndarray | None = None,
) -> Track:
    """A track as cleaning would hand it over, straight from arrays or constants."""
    t = np.asarray(t_s, dtype=float)
    counted = counted_time(t, Spans.empty())
    speeds, grades = (
        np.broadcast_to(speed, t.shape).astype(float),
        np.broadcast_to(grade, t.shape).astype(float),
    )
    distance = np.concatenate(([0.0], np.cumsum(speeds[:-1] * np.diff(t))))
    height = np.concatenate(([0.0], np.cumsum((speeds * grades)[:-1] * np.diff(t))))
    return Track(
        t_s=t,
        recorded_s=counted.recorded_s,
        pause_s=counted.pause_s,
        gap_s=counted.gap_s,
        hr_bpm=np.broadcast_to(hr, t.shape).astype(float),
        elevation_m=height if elevation is None else elevation,
        distance_m=distance,
        speed_mps=speeds,
        grade=grades,
        vertical_speed_mps=speeds * grades,
        moving=np.ones(t.shape, dtype=bool) if moving is None else moving,
        power_w=np.full(t.shape, np.nan),
        on_bike=on_bike,
    )
