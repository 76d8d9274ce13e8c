"""The heart rate of an outing from earlier ones of its kind: what their slopes and levels lead to expect.

Slopes are pooled within outings, so that a good day does not pass for easy work; the level of each outing
follows its mean work and the source of its work rate, and otherwise the day. Recent outings count more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from slopebeat.analysis.response.grid import STEP_S, make_grid
from slopebeat.analysis.response.teaching import work_source
from slopebeat.model.evidence import POWER, OutingEvidence
from slopebeat.model.track import Array, Track

LEAST_OUTINGS, LEAST_HOURS = 3, 2.0
"""Earlier outings and fitted hours under which nothing is predicted [project choice]."""

HALF_LIFE_DAYS = 60.0
"""Age at which an outing counts half as much as the latest one [project choice, measured on real runs]."""

SLOPE_MEAN = {False: np.array([6.0, 0.0, 0.0, 1.0, 3.0]), True: np.array([15.0, 0.0, 0.0, 2.0, 3.0])}
SLOPE_SD = {False: np.array([8.0, 60.0, 60.0, 3.0, 6.0]), True: np.array([12.0, 40.0, 40.0, 6.0, 4.0])}
"""By on_bike, of an athlete of whom nothing is known: beats per unit of each input [project choice]."""

MEAN_WORK_SD = {False: 5.0, True: 15.0}
"""By on_bike: how much more, bpm per W/kg, a hard outing lies above an easy one than the slope within
outings says; computed work is noisy from minute to minute, its mean is not [project choice]."""

SOURCE_SD_BPM = 4.0
"""How far levels by recorded power and by computed work may lie apart [project choice]."""

DAY_SD_BPM, DAY_PRIOR_OUTINGS = 5.5, 4.0
"""Spread of the level from day to day while little is known, and how many outings that counts as
[project choice, measured on real runs]."""

SLOW_ERROR_BPM, SPELL_BINS = 8.0, 20.0
"""Heart rate about the line within an outing, and half-minutes it is remembered for [project choice]."""

CHANGE_BPM_PER_ROOT_WEEK = 1.2
"""How quickly the level becomes uncertain after the last outing [project choice]."""

EDGE_SHARE, EDGE_HOURS = 0.15, 0.25
"""How far beyond the work and climb seen, as a share of the range, and the hours seen a prediction still
reaches [project choice]."""

MOST_DAY_SDS, SETTLED_S, SPELL_S = 1.5, 300.0, 600.0
"""A day's own level counts up to so many usual spreads, is read after this time, from spells this long
[project choice]."""


@dataclass(frozen=True, eq=False)
class EarlierFits:
    """What earlier outings of one kind say of the next.

    Attributes
    ----------
    coefficients, covariance : (5,), (5, 5) beats per unit of :data:`slopebeat.model.evidence.INPUT_NAMES`.
    level, level_covariance : (3,), (3, 3) heart rate without any input at the usual mean work, its change
        per W/kg of mean work, and what recorded power adds.
    usual_work_w_per_kg : weighted mean of the outings' mean work.
    day_sd_bpm : spread of levels from day to day. spread_bpm : of half-minutes about the day's line.
    low, high : (5,) inputs seen. outings : how many taught.
    """

    on_bike: bool
    coefficients: Array
    covariance: Array
    level: Array
    level_covariance: Array
    usual_work_w_per_kg: float
    day_sd_bpm: float
    spread_bpm: float
    low: Array
    high: Array
    outings: int

    def level_at(self, mean_work_w_per_kg: float, with_power: bool) -> tuple[float, float]:
        """Expected level of an outing and its standard deviation, days included, in bpm."""
        at = np.array([1.0, mean_work_w_per_kg - self.usual_work_w_per_kg, float(with_power)])
        variance = float(at @ self.level_covariance @ at) + self.day_sd_bpm**2
        return float(at @ self.level), float(np.sqrt(variance))

    def known(self, inputs: Array) -> np.ndarray:
        """(n,) whether inputs (n, 5) are such as the athlete's outings held."""
        edge = EDGE_SHARE * (self.high - self.low)
        inside = (inputs >= self.low - edge) & (inputs <= self.high + edge)
        return np.asarray(inside[:, :3].all(axis=1) & (inputs[:, 4] <= 1.25 * self.high[4] + EDGE_HOURS))


def learn(outings: Sequence[OutingEvidence], now: datetime) -> EarlierFits | None:
    """What outings of one kind say of one at ``now``; None where they are too few.

    Parameters
    ----------
    outings : those that teach (:func:`slopebeat.analysis.response.teaching.why_not`), of one kind.
    """
    rows = [(one, one.sums) for one in outings if one.sums is not None]
    hours = sum(sums.count for _, sums in rows) / 120.0
    if len(rows) < LEAST_OUTINGS or hours < LEAST_HOURS:
        return None
    on_bike = rows[-1][0].on_bike
    age_days = np.array([(now - one.start_utc).total_seconds() / 86400.0 for one, _ in rows])
    recent = np.exp2(-(age_days - age_days.min()) / HALF_LIFE_DAYS)
    slopes, covariance = _slopes([sums.within for _, sums in rows], recent, on_bike)
    means = np.array([sums.means for _, sums in rows])
    levels = means[:, 5] - means[:, :5] @ slopes
    power = np.array([one.work_source == POWER for one, _ in rows], dtype=float)
    usual = float(np.average(means[:, 0], weights=recent))
    design = np.column_stack([np.ones(len(rows)), means[:, 0] - usual, power])
    counts = np.array([sums.count for _, sums in rows])
    level, level_covariance, day_sd = _levels(levels, design, counts, recent, on_bike)
    gap_weeks = max(age_days.min(), 0.0) / 7.0
    level_covariance[0, 0] += CHANGE_BPM_PER_ROOT_WEEK**2 * gap_weeks
    low, high = _range([sums.low for _, sums in rows], [sums.high for _, sums in rows])
    return EarlierFits(
        on_bike=on_bike,
        coefficients=slopes,
        covariance=covariance,
        level=level,
        level_covariance=level_covariance,
        usual_work_w_per_kg=usual,
        day_sd_bpm=day_sd,
        spread_bpm=_spread([sums.within / sums.count for _, sums in rows], slopes),
        low=low,
        high=high,
        outings=len(rows),
    )


def _slopes(within: list[Array], recent: Array, on_bike: bool) -> tuple[Array, Array]:
    """Slopes pooled within outings, with the prior, and their covariance."""
    total = np.tensordot(recent, np.array(within), axes=1) / (SPELL_BINS * SLOW_ERROR_BPM**2)
    prior = np.diag(SLOPE_SD[on_bike] ** -2.0)
    covariance: Array = np.asarray(np.linalg.inv(total[:5, :5] + prior), dtype=float)
    return covariance @ (total[:5, 5] + prior @ SLOPE_MEAN[on_bike]), covariance


def _levels(
    levels: Array, design: Array, counts: Array, recent: Array, on_bike: bool
) -> tuple[Array, Array, float]:
    """Level by mean work and source, Student's weights for odd days; covariance; day-to-day spread."""
    prior = np.diag(np.array([1e3, MEAN_WORK_SD[on_bike], SOURCE_SD_BPM]) ** -2.0)
    read = SLOW_ERROR_BPM**2 / np.maximum(counts / SPELL_BINS, 1.0)
    trust, day = np.ones_like(levels), DAY_SD_BPM**2
    found, covariance = np.zeros(3), np.zeros((3, 3))
    for _ in range(8):
        weight = recent * trust / (day + read)
        covariance = np.asarray(np.linalg.inv((design.T * weight) @ design + prior), dtype=float)
        found = covariance @ (design.T @ (weight * levels))
        left = (levels - design @ found) ** 2
        trust = 5.0 / (4.0 + left / (day + read))
        seen = np.sum(recent * trust * np.maximum(left - read, 0.0))
        day = (DAY_PRIOR_OUTINGS * DAY_SD_BPM**2 + seen) / (DAY_PRIOR_OUTINGS + recent.sum())
    # A spread weighted by trust leaves the tails out; days have them (Student, four degrees of freedom).
    return found, covariance, float(np.sqrt(1.2 * day))


def _spread(within: list[Array], slopes: Array) -> float:
    """Usual root mean square of half-minutes about their outing's line."""
    ahead = np.append(-slopes, 1.0)
    return float(np.sqrt(np.median([max(float(ahead @ one @ ahead), 0.0) for one in within])))


def _range(lows: list[Array], highs: list[Array]) -> tuple[Array, Array]:
    """Inputs seen; where there are four outings or more the most extreme one is not believed alone."""
    low, high = np.sort(np.array(lows), axis=0), np.sort(np.array(highs), axis=0)
    second = 1 if len(lows) >= 4 else 0
    least, most = low[second].copy(), high[-1 - second].copy()
    most[4] = high[-1, 4]
    return least, most


@dataclass(frozen=True, eq=False)
class Prediction:
    """The heart rate earlier outings lead to expect.

    Attributes
    ----------
    hr_bpm : (n,) at every sample. known : (n,) False beyond the work, climb and hours seen.
    sd_bpm : of a half-minute about ``hr_bpm``.
    """

    hr_bpm: Array
    known: np.ndarray
    sd_bpm: float


def predict(learnt: EarlierFits, track: Track, work_w_per_kg: Array, own_day: bool = False) -> Prediction:
    """What earlier outings lead to expect of an outing.

    Parameters
    ----------
    work_w_per_kg : (n,) as for the fit. own_day : take the day's level from the outing itself, as far as
        days usually differ; else nothing of its heart rate is read.
    """
    grid = make_grid(track, work_w_per_kg)
    inputs = grid.lagged.copy()
    known = learnt.known(inputs)
    inputs[:, 4] = np.minimum(inputs[:, 4], learnt.high[4])
    moving = np.isfinite(work_w_per_kg) & track.moving
    at = np.clip((track.t_s // STEP_S).astype(int), 0, len(inputs) - 1)
    weight = np.bincount(at, np.where(moving, track.recorded_s, 0.0), minlength=len(inputs))
    mean_work = (
        float(weight @ inputs[:, 0] / weight.sum()) if weight.sum() > 0.0 else learnt.usual_work_w_per_kg
    )
    level, level_sd = learnt.level_at(mean_work, work_source(track) == POWER)
    steps = level + inputs @ learnt.coefficients
    hr = np.interp(track.t_s + 0.5 * track.recorded_s, grid.middle_s, steps)
    day = _day(learnt, track, hr, level_sd) if own_day else 0.0
    spread = learnt.spread_bpm if own_day else float(np.hypot(learnt.spread_bpm, level_sd))
    return Prediction(hr + day, known[at], spread)


def _day(learnt: EarlierFits, track: Track, hr: Array, level_sd: float) -> float:
    read = np.isfinite(track.hr_bpm) & (track.recorded_s > 0.0) & (track.t_s > SETTLED_S)
    spells = float(track.recorded_s[read].sum()) / SPELL_S
    if spells < 0.5:
        return 0.0
    off = float(np.median((track.hr_bpm - hr)[read]))
    shrunk = off / (1.0 + (learnt.spread_bpm / level_sd) ** 2 / spells)
    return float(np.clip(shrunk, -MOST_DAY_SDS * level_sd, MOST_DAY_SDS * level_sd))
