"""Time, mean and spread of the heart rate on a way, from earlier outings of one sport.

How hard one goes decides most: first the mean heart rate ``m``, then the time given ``m``, then the spread.

    m              as usual: as earlier ones on such ground; held: the one to hold, give or take a day
    log moving s = log of the way at own pace + c + beta (m - usual) + lambda (length) + ground + e
    log spread   = c + kappa log unrest + e
    share in band  from m, the spread and the shapes of earlier outings' heart rate

Everything is linear with stated priors and Student errors; outings from the same start count three times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.price.draws import DAY_BPM, DAY_DF, MOST_SHAPES, shares_of_time_below
from slopebeat.analysis.regression import fit_line, next_draws
from slopebeat.analysis.route.past import PaceCurve, grade_bin, own_pace, unrest_of
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.model.bands import Band
from slopebeat.model.evidence import GRADES, PastOuting
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.track import Array

LEAST_OUTINGS = 5
"""With fewer outings of the sport there is no plan [measured: fewer do not beat a rule of thumb]."""

HALF_LIFE = 15.0
"""Outings after which one counts half [project choice; from 8 to 40 no difference was measured]."""

SAME_START_M, SAME_START_COUNTS = 500.0, 3.0
"""An outing started this near counts so many times: often it is the same round [project choice]."""

PER_BPM = (-0.009, 0.003)
"""Log time per bpm of mean heart rate and its doubt: speed goes with the heart rate over the one standing,
110 +- 35 bpm [project choice]."""

PER_LENGTH = (0.02, 0.02)
"""Log pace per log length at one heart rate; at racing effort 0.06 (Riegel 1981, from memory)."""

TIME_PER_GROUND = ((0.0, 0.5), (0.0, 0.5))
MEAN_PER_GROUND = ((0.0, 150.0), (0.0, 150.0))
SPREAD_PER_UNREST = (0.1, 0.15)
"""Mean and doubt beforehand: log time and bpm per mean grade climbed and sunk, log spread per log unrest
[project choice]."""

DAY_LOG_TIME, DAY_LOG_TIME_BLIND, DAY_MEAN_BPM, DAY_LOG_SPREAD = 0.08, 0.12, 9.0, 0.30
"""Spread between outings known beforehand: of the log time, of the same without heart rate, of the mean and
of the log spread [project choice]."""

HELD_LOG_SD, HELD_PER_BPM = 0.03, 0.003
"""Doubt about the time at a heart rate that is held: the slope seen between outings is that of good and bad
days, not of holding, the more so the further from the usual [project choice; records cannot tell]."""

LEAST_UNREST = 0.01

DRAWS, SEED = 4000, 20260711
"""One plan asked for twice gives one answer."""


@dataclass(frozen=True)
class DayShift:
    """How many times as high, and how much higher, the heart rate at one effort is on the day."""

    heart_factor: float = 1.0
    heart_bpm: float = 0.0


@dataclass(frozen=True, eq=False)
class Forecast:
    """Draws (m,) of one outing on a way.

    Attributes
    ----------
    moving_s, standing_s, pause_s : times; the standing with the timer running is no pause.
    mean_bpm, spread_bpm, shape : of the heart rate; NaN where earlier outings hold too little of it.
    shapes : those ``shape`` counts; one past the last is the normal one.
    """

    moving_s: Array
    standing_s: Array
    pause_s: Array
    mean_bpm: Array
    spread_bpm: Array
    shape: NDArray[np.int_]
    shapes: tuple[Array, ...]

    @property
    def total_s(self) -> Array:
        """Timer running."""
        return self.moving_s + self.standing_s

    @property
    def has_heart(self) -> bool:
        return bool(np.isfinite(self.mean_bpm).all())

    def sides_s(self, band: Band) -> tuple[Array, Array, Array]:
        """(m,) seconds below, in and above a band."""
        edges = (band.lower_bpm - 0.5, band.upper_bpm + 0.5)
        under, upto = (
            shares_of_time_below(edge, self.mean_bpm, self.spread_bpm, self.shapes, self.shape)
            for edge in edges
        )
        total = self.total_s
        return total * under, total * (upto - under), total * (1.0 - upto)


@dataclass(frozen=True, eq=False)
class ForecastInputs:
    """Earlier outings made ready for one way; arrays of the outings (n,), the way apart.

    Attributes
    ----------
    curve : own pace. weight : how much each outing counts. base : log time by the curve, the way last.
    ground : (n + 1, 3) mean grade climbed and sunk, log unrest, about their usual. share : (n + 1, k) of
    the time on each grade. length : (n + 1,) log time by the curve about its usual.
    """

    past: tuple[PastOuting, ...]
    curve: PaceCurve
    weight: Array
    base: Array
    ground: Array
    share: Array
    length: Array

    @property
    def heart(self) -> NDArray[np.bool_]:
        """(n,) which outings know their heart rate."""
        return np.array([one.has_heart for one in self.past])

    @property
    def usual_bpm(self) -> float | None:
        """Weighted mean of the outings' mean heart rates; None where fewer than ``LEAST_OUTINGS`` know it."""
        if self.heart.sum() < LEAST_OUTINGS:
            return None
        means = np.array([one.mean_bpm for one in self.past])
        return float(np.average(means[self.heart], weights=self.weight[self.heart]))


def usable(past: Sequence[PastOuting]) -> tuple[PastOuting, ...]:
    """Outings that know the time they took and the ground they went over, in order of time."""
    kept = [one for one in past if one.has_ground and one.moving_s > 0.0]
    return tuple(sorted(kept, key=lambda one: one.start_utc))


def forecast_inputs(
    ground: RouteGround,
    past: Sequence[PastOuting],
    start_deg: tuple[float, float] | None = None,
    slower: Array | float = 1.0,
) -> ForecastInputs:
    """Earlier outings of one sport beside the way to come.

    Parameters
    ----------
    past : as of :func:`usable`, not empty. start_deg : where the way begins, latitude and longitude.
    slower : (n,) factor on the time on each step of the way.
    """
    curve = own_pace(past, past[-1].on_bike)
    pace = np.exp(curve.log_pace)
    way = np.bincount(
        grade_bin(ground.grade), ground.step_m * np.broadcast_to(slower, ground.grade.shape), 41
    )
    each = np.array([*(one.grade_metres for one in past), way]) * pace
    base = np.log(each.sum(axis=1))
    share = each / each.sum(axis=1, keepdims=True)
    weight = _weights(past, start_deg)
    moving = np.array([one.moving_s for one in past])
    scale = float(np.exp(np.median(np.log(moving) - base[:-1])))
    lasts = scale * pace[grade_bin(ground.grade)] * ground.step_m
    unrest = np.array([*(one.unrest or 0.0 for one in past), unrest_of(ground.grade, lasts)])
    climbed, sunk = share @ np.maximum(GRADES, 0.0), share @ np.maximum(-GRADES, 0.0)
    terms = np.column_stack([climbed, sunk, np.log(np.maximum(unrest, LEAST_UNREST))])
    return ForecastInputs(
        past=tuple(past),
        curve=curve,
        weight=weight,
        base=base,
        ground=terms - np.average(terms[:-1], axis=0, weights=weight),
        share=share,
        length=base - np.average(base[:-1], weights=weight),
    )


def forecast(
    inputs: ForecastInputs,
    hold_bpm: float | None = None,
    day: DayShift | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Forecast:
    """Draws of the outing as usual, or with the mean heart rate held at ``hold_bpm``."""
    rng, day = np.random.default_rng(seed), day or DayShift()
    usual = inputs.usual_bpm
    mean, effort = _means(inputs, hold_bpm, day, draws, rng)
    log_moving = _log_moving(inputs, effort, hold_bpm is not None and usual is not None, rng)
    moving = np.exp(log_moving)
    stops = np.array([one.recorded_s / one.moving_s - 1.0 for one in inputs.past])
    pauses = np.array([one.pause_s / one.moving_s for one in inputs.past])
    which = rng.choice(stops.size, (2, draws), p=inputs.weight / inputs.weight.sum())
    known = [one for one in inputs.past if one.has_heart][-MOST_SHAPES:] if usual is not None else []
    return Forecast(
        moving_s=moving,
        standing_s=moving * stops[which[0]],
        pause_s=moving * pauses[which[1]],
        mean_bpm=mean,
        spread_bpm=_spreads(inputs, draws, rng) if usual is not None else np.full(draws, np.nan),
        shape=rng.integers(0, len(known) + 1, draws),
        shapes=tuple(one.shape for one in known),
    )


def _weights(past: Sequence[PastOuting], start_deg: tuple[float, float] | None) -> Array:
    """(n,) recency, and the same start; the heaviest counts one."""
    weight = 0.5 ** (np.arange(len(past))[::-1] / HALF_LIFE)
    if start_deg is not None:
        near = [
            one.start_lat_deg is not None
            and one.start_lon_deg is not None
            and bool(great_circle_m(one.start_lat_deg, one.start_lon_deg, *start_deg) < SAME_START_M)
            for one in past
        ]
        weight = weight * np.where(near, SAME_START_COUNTS, 1.0)
    return np.asarray(weight / weight.max())


def _means(
    inputs: ForecastInputs, hold_bpm: float | None, day: DayShift, draws: int, rng: np.random.Generator
) -> tuple[Array, Array]:
    """Mean heart rates, and the same less what the day adds to them: what the effort is."""
    if inputs.usual_bpm is None:
        return np.full(draws, np.nan), np.full(draws, np.nan)
    heart = inputs.heart
    if hold_bpm is not None:
        mean = hold_bpm + DAY_BPM * rng.standard_t(DAY_DF, draws)
        return mean, (mean - day.heart_bpm) / day.heart_factor
    means = np.array([one.mean_bpm for one in inputs.past])[heart]
    prior = _prior(*MEAN_PER_GROUND)
    ground, way = inputs.ground[:-1, :2][heart], inputs.ground[-1, :2]
    effort = next_draws(means, ground, way, prior, inputs.weight[heart], DAY_MEAN_BPM, rng, draws)
    return effort * day.heart_factor + day.heart_bpm, effort


def _log_moving(inputs: ForecastInputs, effort: Array, held: bool, rng: np.random.Generator) -> Array:
    """Log of the moving time given the effort; without heart rates from length alone."""
    y = np.log([one.moving_s for one in inputs.past]) - inputs.base[:-1]
    usual, draws = inputs.usual_bpm, effort.size
    if usual is None:
        rows, prior = inputs.length[:-1, None], _prior(PER_LENGTH)
        line = fit_line(y, rows, *prior, inputs.weight, DAY_LOG_TIME_BLIND)
        new = np.column_stack([np.ones(draws), np.full(draws, inputs.length[-1])])
    else:
        heart = inputs.heart
        means = np.array([one.mean_bpm for one in inputs.past])[heart]
        ground = inputs.ground[:, :2]
        rows = np.column_stack([means - usual, inputs.length[:-1][heart], ground[:-1][heart]])
        prior = _prior(PER_BPM, PER_LENGTH, *TIME_PER_GROUND)
        line = fit_line(y[heart], rows, *prior, inputs.weight[heart], DAY_LOG_TIME)
        way = np.append(inputs.length[-1], ground[-1])
        new = np.column_stack([np.ones(draws), effort - usual, np.tile(way, (draws, 1))])
    apart = inputs.share[-1] - np.average(inputs.share[:-1], axis=0, weights=inputs.weight)
    variance = np.einsum("ij,jk,ik->i", new, line.covariance, new) + line.day_sd**2
    variance = variance + apart @ inputs.curve.covariance @ apart
    if held and usual is not None:
        variance = variance + HELD_LOG_SD**2 + (HELD_PER_BPM * (float(np.median(effort)) - usual)) ** 2
    spread = np.sqrt(variance) * rng.standard_t(line.freedom, draws)
    return np.asarray(inputs.base[-1] + new @ line.coefficients + spread)


def _spreads(inputs: ForecastInputs, draws: int, rng: np.random.Generator) -> Array:
    heart = inputs.heart
    y = np.log([one.spread_bpm for one, known in zip(inputs.past, heart, strict=True) if known])
    unrest, way = inputs.ground[:-1, 2:][heart], inputs.ground[-1, 2:]
    weight = inputs.weight[heart]
    return np.exp(next_draws(y, unrest, way, _prior(SPREAD_PER_UNREST), weight, DAY_LOG_SPREAD, rng, draws))


def _prior(*terms: tuple[float, float]) -> tuple[Array, Array]:
    mean, sd = np.array(terms, dtype=float).T
    return mean, sd
