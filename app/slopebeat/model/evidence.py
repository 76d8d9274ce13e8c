"""What is kept of one outing: compact records that can be recomputed from the file.

``PastOuting`` is the few numbers that tell of the next outing: heart rate, ground, time.
``OutingEvidence`` is what it teaches for those to come. ``OutingSummary`` is what the months keep of one
reviewed outing, a row of numbers.
"""

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
        """Whether mean and spread of the heart rate are known."""
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


RIDE, RUN, WALK, MIXED = "ride", "run", "walk", "mixed"
"""Keys of what was done that has a work rate; what has none carries another key."""

POWER, MODELLED = "power", "model"
"""Keys of where the work rate comes from: a meter, or speed and ground."""

INPUT_NAMES = ("work", "up", "down", "slow", "hours")
"""Columns of lagged inputs: work rate W/kg, climbing and sinking speed m/s, the slow part of the work
rate beyond the quick one W/kg, hours since the first record."""


@dataclass(frozen=True, eq=False)
class InputSums:
    """Half-minute means of one outing summed up, so that outings can be fitted together without their files.

    Attributes
    ----------
    gram : (7, 7) weighted sums of products of one, the inputs of :data:`INPUT_NAMES`, and heart rate.
    low, high : (5,) 0.5 and 99.5 percentile of each input.
    """

    gram: Array
    low: Array
    high: Array

    def __post_init__(self) -> None:
        _shape(self, gram=(7, 7), low=(5,), high=(5,))

    @property
    def count(self) -> float:
        """Weight of all half-minutes together."""
        return float(self.gram[0, 0])

    @property
    def means(self) -> Array:
        """(6,) mean inputs and mean heart rate."""
        return np.asarray(self.gram[0, 1:] / self.gram[0, 0])

    @property
    def within(self) -> Array:
        """(6, 6) sums of products about the outing's own means."""
        return np.asarray(self.gram[1:, 1:] - np.outer(self.gram[0, 1:], self.gram[0, 1:]) / self.gram[0, 0])


@dataclass(frozen=True, eq=False)
class FitEvidence:
    """An outing's own fit of its heart rate, with no knowledge of drift from elsewhere.

    Attributes
    ----------
    coefficients, covariance : (5,) and (5, 5): heart rate at the centre (bpm), drift (bpm/h), beats per
        W/kg, per m/s climbed and per m/s sunk.
    centre_h : hours since the first record at the centre. centre : (3,) work, climbing, sinking there.
    residual_bpm : root mean square of what half-minutes are off the line. used_s : seconds fitted.
    usable : whether the fit may be read as a drift of the heart.
    """

    coefficients: Array
    covariance: Array
    centre_h: float
    centre: Array
    tau_s: float
    residual_bpm: float
    used_s: float
    usable: bool

    def __post_init__(self) -> None:
        _shape(self, coefficients=(5,), covariance=(5, 5), centre=(3,))


@dataclass(frozen=True, eq=False)
class OutingEvidence:
    """One outing as far as it teaches; None where unknown.

    Attributes
    ----------
    kind : what was done, one of :data:`RIDE` and the others where there is a work rate.
    work_source : :data:`POWER` or :data:`MODELLED`; None without a work rate.
    coverage : share of the recorded time with trusted heart rate.
    trusted_s : moving with trusted heart rate and a work rate.
    mean_work_w_per_kg : while moving. work_variation : coefficient of variation of its minute means.
    mean_hr_bpm, hr_sd_bpm : of all trusted heart rate.
    past : what plans of ways read.
    span_s : from the first record to the last, pauses among them; None in records of earlier versions.
    """

    start_utc: Instant
    kind: str
    sport: str
    on_bike: bool
    work_source: str | None
    device: str
    coverage: float
    recorded_s: float
    moving_s: float
    trusted_s: float
    mean_work_w_per_kg: float | None
    work_variation: float | None
    mean_hr_bpm: float | None
    hr_sd_bpm: float | None
    load_kg: float
    temperature_c: float | None
    fit: FitEvidence | None
    sums: InputSums | None
    past: PastOuting | None = None
    span_s: float | None = None


def _shape(record: FitEvidence | InputSums, **shapes: tuple[int, ...]) -> None:
    """Give the arrays their shapes, which files do not keep; ValueError for too many or too few numbers."""
    for name, shape in shapes.items():
        object.__setattr__(record, name, np.reshape(getattr(record, name), shape))


EDGE_OFF_BPM = 3
"""An edge is moved by so much, either way, to show what hangs on it [project choice]."""


@dataclass(frozen=True)
class OutingSummary:
    """One outing in numbers: seconds, metres, beats per minute; None where unknown.

    Attributes
    ----------
    start_utc : aware, UTC. utc_offset_s : local minus UTC where the file has it.
    recorded_s : without pauses and gaps; in_band_s, above_s, below_s, no_hr_s its parts.
    yield_share : in_band_s over the time with trusted heart rate; None where that is under half of it.
    steep_share : share of moving time on grades over 3 %, up or down: how much terrain there was.
    pace_percent, work_percent : plain decoupling rows.
    terrain_fair_percent, _low, _high : the row that may be compared across terrain, with its interval, as the
        outing alone has it: without what is known of drifts beforehand.
    drift_bpm_per_h : drift of the heart rate at equal work, in the same way.
    mid_band_speed_mps, _low, _high : flat-equivalent speed whose steady heart rate is the band's middle.
    above_upper_down_s, above_upper_up_s : what above_s would be with the upper edge ``EDGE_OFF_BPM`` lower
        and higher; below_lower_down_s, below_lower_up_s : the same of below_s and the lower edge.
    doubts : marks nobody has decided on. doubtful_s : of heart rate under marks that count.
    day : key that the parts of one outing share, None where the recording is one by itself. It hangs on the
        other recordings, so it is no part of what is computed of this one.
    """

    start_utc: Instant
    utc_offset_s: float | None
    sport: str
    on_bike: bool
    title: str
    recorded_s: float
    moving_s: float
    distance_m: float | None
    ascent_m: float | None
    load_kg: float
    band_lower_bpm: int | None
    band_upper_bpm: int | None
    in_band_s: float | None
    above_s: float | None
    below_s: float | None
    no_hr_s: float | None
    yield_share: float | None
    steep_share: float | None
    pace_percent: float | None
    work_percent: float | None
    terrain_fair_percent: float | None
    terrain_fair_low: float | None
    terrain_fair_high: float | None
    drift_bpm_per_h: float | None
    mid_band_speed_mps: float | None
    mid_band_speed_low_mps: float | None
    mid_band_speed_high_mps: float | None
    above_upper_down_s: float | None = None
    above_upper_up_s: float | None = None
    below_lower_down_s: float | None = None
    below_lower_up_s: float | None = None
    doubts: int | None = None
    doubtful_s: float | None = None
    day: str | None = None
