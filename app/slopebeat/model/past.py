"""One outing in the few numbers that tell of the next: heart rate, ground, time; small enough to be kept."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slopebeat.model.codec import Instant
from slopebeat.model.track import LEAST_COVERAGE, Array

GRADE_STEP = 0.02
"""Width of a grade bin [project choice]."""

GRADES: Array = GRADE_STEP * np.arange(-20.0, 21.0)
"""Middles of the grade bins; steeper ground falls into the outermost, near the edge of the cost curves."""

LEVEL = GRADES.size // 2
"""The bin of level ground."""

LEAST_HEART_S = 600.0
"""With less trusted heart rate an outing has no mean and no spread of its own [project choice]."""

LEAST_SPREAD_BPM = 3.0
"""Nobody's heart rate is steadier over an outing [project choice]."""

SHAPE_POINTS = 101
"""Quantiles that describe the shape of an outing's heart rate."""


@dataclass(frozen=True)
class PastOuting:
    """One outing as it teaches the next; None where unknown.

    Attributes
    ----------
    start_utc : aware, UTC. on_bike : else on foot.
    recorded_s : timer running; moving_s its part; pause_s : timer off or no records.
    distance_m, ascent_m : of the whole outing.
    hr_from_bpm, hr_seconds : seconds with trusted heart rate at ``hr_from_bpm``, one more, ... bpm.
    work_variation : standard deviation of the minutes' work over their mean.
    grade_seconds, grade_metres : moving on each of :data:`GRADES`; empty without elevation or distance.
    unrest : standard deviation of the grade, quick changes left out.
    start_lat_deg, start_lon_deg : where it began, rounded.
    """

    start_utc: Instant
    on_bike: bool
    recorded_s: float
    moving_s: float
    pause_s: float
    distance_m: float | None
    ascent_m: float | None
    hr_from_bpm: int
    hr_seconds: tuple[float, ...]
    work_variation: float | None
    grade_seconds: tuple[float, ...] = ()
    grade_metres: tuple[float, ...] = ()
    unrest: float | None = None
    start_lat_deg: float | None = None
    start_lon_deg: float | None = None

    @cached_property
    def heart_s(self) -> float:
        """Time with trusted heart rate."""
        return float(sum(self.hr_seconds))

    @property
    def has_heart(self) -> bool:
        """Whether mean and spread of the heart rate are told."""
        return self.heart_s >= max(LEAST_HEART_S, LEAST_COVERAGE * self.recorded_s)

    @property
    def has_ground(self) -> bool:
        """Whether time and length on each grade are known."""
        return len(self.grade_metres) == GRADES.size and sum(self.grade_metres) > 0.0

    @cached_property
    def mean_bpm(self) -> float:
        """Mean of the trusted heart rate, NaN where there is none."""
        return float(np.average(self._bpm, weights=self.hr_seconds)) if self.heart_s > 0.0 else np.nan

    @cached_property
    def spread_bpm(self) -> float:
        """Standard deviation of the trusted heart rate, NaN where there is none."""
        if self.heart_s <= 0.0:
            return np.nan
        variance = np.average((self._bpm - self.mean_bpm) ** 2, weights=self.hr_seconds)
        return max(float(np.sqrt(variance)), LEAST_SPREAD_BPM)

    @cached_property
    def shape(self) -> Array:
        """(SHAPE_POINTS,) quantiles of the heart rate less its mean, in spreads."""
        below = np.cumsum([0.0, *self.hr_seconds]) / self.heart_s
        edges = self.hr_from_bpm - 0.5 + np.arange(below.size)
        at = np.interp(np.linspace(0.0, 1.0, SHAPE_POINTS), below, edges)
        return np.asarray((at - self.mean_bpm) / self.spread_bpm)

    def share_in(self, lower_bpm: float, upper_bpm: float) -> float:
        """Share of the trusted time from one heart rate to another, both inside; NaN without any."""
        inside = (self._bpm >= lower_bpm) & (self._bpm <= upper_bpm)
        return float(np.sum(np.asarray(self.hr_seconds)[inside])) / self.heart_s if self.heart_s else np.nan

    @cached_property
    def _bpm(self) -> Array:
        return np.asarray(self.hr_from_bpm + np.arange(len(self.hr_seconds)), dtype=float)
