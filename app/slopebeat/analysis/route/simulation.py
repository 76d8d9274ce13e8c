"""Outings drawn along a way: when each place is reached, and what the heart does there.

Every run takes its time, its mean heart rate and its spread from the forecast; the ground, through the pace
by grade and the answer of the heart that earlier outings taught, says where along the way they are spent.
The spread of the runs is the interval of the plan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slopebeat.analysis.response.grid import DELAY_STEPS, TAU_S
from slopebeat.analysis.response.lag import lag_states
from slopebeat.analysis.response.prediction import SLOPE_MEAN, SLOPE_SD, SLOW_ERROR_BPM, EarlierFits
from slopebeat.analysis.response.priors import SLOW_S
from slopebeat.analysis.route.forecast import Forecast
from slopebeat.analysis.route.past import PaceCurve
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.analysis.route.work import Going
from slopebeat.model.evidence import GRADES
from slopebeat.model.track import Array

RUNS = 400
"""Outings drawn: an 80 % interval then has a standard error of 2 points [project choice]."""

TIME_STEP_S = 5.0
"""Step of the heart-rate course, that of the fit."""

SLOW_ERROR_TAU_S = 300.0
"""Memory of what neither ground nor time explains [project choice, measured on real outings]."""

HEAT_PER_C, HEAT_FROM_C, HEAT_TO_C = 0.014, 21.0, 35.0
"""Heart rate at one oxygen uptake rises by 1.4 % per degree of dry bulb between 21 and 35 degrees C
(Ergonomics 1975;18:539, doi:10.1080/00140137508931489; four men, so rough)."""


@dataclass(frozen=True)
class Conditions:
    """What is known of the day.

    Attributes
    ----------
    load_kg : carried until ``load_until_m`` along the way, or throughout where that is None.
    hours_out : hours already on the way before the start; the heart has drifted that long.
    temperature_c : of the air; None = unknown, taken as mild.
    """

    load_kg: float = 0.0
    load_until_m: float | None = None
    hours_out: float = 0.0
    temperature_c: float | None = None

    @property
    def heat_factor(self) -> float:
        """Factor of the heart rate for warm air."""
        if self.temperature_c is None:
            return 1.0
        return 1.0 + HEAT_PER_C * (min(max(self.temperature_c, HEAT_FROM_C), HEAT_TO_C) - HEAT_FROM_C)

    def load_at(self, distance_m: Array) -> Array:
        until = np.inf if self.load_until_m is None else self.load_until_m
        return np.where(distance_m < until, self.load_kg, 0.0)


@dataclass(frozen=True, eq=False)
class Slopes:
    """Answer of the heart to each of ``model.evidence.INPUT_NAMES``, its covariance, and the wander."""

    mean: Array
    covariance: Array
    slow_error_bpm: float

    @classmethod
    def of(cls, learnt: EarlierFits | None, on_bike: bool) -> Slopes:
        """As earlier outings taught, else as is known of anybody."""
        if learnt is None:
            return cls(SLOPE_MEAN[on_bike], np.diag(SLOPE_SD[on_bike] ** 2), SLOW_ERROR_BPM)
        return cls(learnt.coefficients, learnt.covariance, learnt.spread_bpm)

    def draw(self, count: int, rng: np.random.Generator) -> Array:
        """(count, 5) draws; more work never lowers a heart rate."""
        drawn = rng.multivariate_normal(self.mean, self.covariance, count)
        drawn[:, 0] = np.maximum(drawn[:, 0], 0.0)
        return np.asarray(drawn)


@dataclass(frozen=True, eq=False)
class Runs:
    """m outings over n steps of ground, the heart rate on k even steps of time.

    Attributes
    ----------
    ground_share : how far the ground explains the spread of the heart rate that is predicted, 0 to 1.
    reach_s : (m, n + 1) when each end of a step is reached, the timer running; standing is spread evenly.
    speed_mps : (m, n) while moving. moving_share : (m,) of the time.
    hr_bpm, place_m : (m, k) every ``TIME_STEP_S``; NaN after the end.
    """

    reach_s: Array
    speed_mps: Array
    moving_share: Array
    hr_bpm: Array
    place_m: Array
    ground_share: float

    @property
    def total_s(self) -> Array:
        return np.asarray(self.reach_s[:, -1])

    @cached_property
    def lasts_s(self) -> Array:
        """(m, k) seconds each time step counts for."""
        left = self.total_s[:, None] - TIME_STEP_S * np.arange(self.hr_bpm.shape[1])
        return np.clip(left, 0.0, TIME_STEP_S)


def simulate(
    ground: RouteGround,
    going: Going,
    cast: Forecast,
    curve: PaceCurve,
    slopes: Slopes,
    load_kg: Array,
    slower: Array,
    seed: int,
    runs: int = RUNS,
    progress: Callable[[float], None] | None = None,
) -> Runs:
    """Draw ``runs`` outings of a forecast along the way.

    Parameters
    ----------
    load_kg, slower : (n,) load on each step, and factor on the time there. progress : called with the share
        done; what it raises stops the work.
    """
    tell = progress or (lambda share: None)
    rng = np.random.default_rng(seed)
    moving = cast.moving_s[:runs]
    speed = _speeds(ground, moving, curve, slower, rng)
    share = moving / cast.total_s[:runs]
    steps = ground.step_m / speed / share[:, None]
    reach = np.hstack([np.zeros((speed.shape[0], 1)), np.cumsum(steps, axis=1)])
    tell(0.2)
    work = going.work_w_per_kg(speed, ground.grade, load_kg)
    tell(0.4)
    place, step = _places(ground, reach)
    course = _course(work, speed * ground.grade, step, slopes, rng)
    tell(0.8)
    course[TIME_STEP_S * np.arange(course.shape[1]) >= reach[:, -1:]] = np.nan
    spread = cast.spread_bpm[:runs]
    explained = min(1.0, float(np.median(_spread(course) / spread)) ** 2)
    course += slopes.slow_error_bpm * _wander(course.shape, rng)
    hr = _as_predicted(course, cast.mean_bpm[:runs], spread, explained)
    tell(1.0)
    return Runs(reach, speed, share, hr, place, explained)


def _speeds(
    ground: RouteGround, moving_s: Array, curve: PaceCurve, slower: Array, rng: np.random.Generator
) -> Array:
    """(m, n) moving speed on each step; each run takes its own time in all."""
    drawn = rng.multivariate_normal(curve.log_pace, curve.covariance, moving_s.size)
    place = np.clip((ground.grade - GRADES[0]) / (GRADES[1] - GRADES[0]), 0, GRADES.size - 1.001)
    low = place.astype(int)
    log_pace = drawn[:, low] + (place - low) * (drawn[:, low + 1] - drawn[:, low])
    lasts = np.exp(log_pace) * slower
    return np.asarray(ground.step_m / lasts * lasts.sum(axis=1, keepdims=True) / moving_s[:, None])


def _places(ground: RouteGround, reach: Array) -> tuple[Array, np.ndarray]:
    """(m, k) place along the way, and step of it, on even steps of time."""
    t = TIME_STEP_S * np.arange(int(np.ceil(reach[:, -1].max() / TIME_STEP_S)) + 1)
    place = np.array([np.interp(t, each, ground.distance_m) for each in reach])
    step = np.minimum((place / ground.step_m).astype(int), ground.grade.size - 1)
    return place, step


def _course(work: Array, rise: Array, step: np.ndarray, slopes: Slopes, rng: np.random.Generator) -> Array:
    """(m, k) what the ground and the hours do to the heart rate, in bpm."""
    gain, up, down, slow, hourly = slopes.draw(work.shape[0], rng).T[:, :, None]
    here, climb = (np.take_along_axis(values, step, axis=1) for values in (work, rise))
    # What comes late is what the slow answer has over the quick one, so the quick one is taken once of both.
    direct = (gain - slow) * here + up * np.maximum(climb, 0.0) + down * np.maximum(-climb, 0.0)
    hr = lag_states(direct.T, TIME_STEP_S, TAU_S).T + slow * lag_states(here.T, TIME_STEP_S, SLOW_S).T
    hr[:, DELAY_STEPS:] = hr[:, :-DELAY_STEPS].copy()
    return np.asarray(hr + hourly * TIME_STEP_S * np.arange(hr.shape[1]) / 3600.0)


def _wander(shape: tuple[int, ...], rng: np.random.Generator) -> Array:
    """Ornstein-Uhlenbeck courses of spread one."""
    # scipy.signal is slow to load, so it waits for the first plan.
    from scipy.signal import lfilter

    keep = np.exp(-TIME_STEP_S / SLOW_ERROR_TAU_S)
    white = rng.standard_normal(shape)
    white[:, 1:] *= np.sqrt(1.0 - keep**2)
    return np.asarray(lfilter([1.0], [1.0, -keep], white, axis=1))


def _spread(course: Array) -> Array:
    return np.asarray(np.nanstd(course, axis=1))


def _as_predicted(course: Array, mean_bpm: Array, spread_bpm: Array, explained: float) -> Array:
    """The courses with the mean drawn for each, and its spread as far as the ground leaves it open."""
    about = course - np.nanmean(course, axis=1, keepdims=True)
    factor = (spread_bpm / np.maximum(_spread(about), 1e-6)) ** (1.0 - explained)
    return np.asarray(mean_bpm[:, None] + about * factor[:, None])
