"""A figure over weeks that depends on known things, wanders, and differs from day to day.

``y_i = x_i g + u(t_i) + e_i``: x what is known of outing i, u a course that wanders and forgets (Ornstein and
Uhlenbeck) or one that wanders on (Wiener), e_i the day's own difference, Student with four degrees of
freedom. How far days differ and how much the course wanders is not known: a grid of both, weighted by
restricted likelihood and a prior, so that the interval knows it too. Time and memory grow with n only.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from slopebeat.model.track import Array

DAY_SHARES = np.geomspace(0.25, 3.0, 9)
COURSE_SHARES = (0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1.0, 1.4, 2.0)
MEMORY_WEEKS = (3.0, 6.0, 12.0)
"""The grid: day-to-day spread and wander as shares of the usual day-to-day spread [project choice]."""

DAY_LOG_SD, USUAL_COURSE_SHARE, COURSE_LOG_SD, USUAL_MEMORY_WEEKS, MEMORY_LOG_SD = 0.5, 0.5, 0.6, 6.0, 0.6
"""The prior on it, log-normal throughout. A course that does not wander at all is not on the grid: with it
intervals held in 84 % of simulated months in which fitness wanders [project choice, measured]."""

DAY_FREEDOM, ROUNDS = 4.0, 3
"""Degrees of freedom of days; rounds of weighing odd days less."""

NEGLIGIBLE_WEIGHT = 1e-5


@dataclass(frozen=True, eq=False)
class CourseGrid:
    """Grids of a course: (k,) standard deviations bpm of days and of the course, and its memory in weeks.

    A memory of infinity is a course that wanders on from ``start_week`` by ``wander`` per root week.
    """

    day: Array
    wander: Array
    memory: Array
    log_prior: Array
    start_week: float = 0.0


@dataclass(frozen=True, eq=False)
class Answer:
    """What the figures say of one contrast: a mixture of k normal answers.

    Attributes
    ----------
    weight, mean, sd : (k,). trust : (n,) weight of each outing against the usual one, little for an odd day.
    day_sd : expected spread from day to day. coefficients : (p,) of what is known.
    """

    weight: Array
    mean: Array
    sd: Array
    trust: Array
    day_sd: float
    coefficients: Array

    @property
    def value(self) -> float:
        return float(self.weight @ self.mean)

    @property
    def spread(self) -> float:
        return float(np.sqrt(self.weight @ (self.sd**2 + (self.mean - self.value) ** 2)))

    def interval(self, level: float = 0.95) -> tuple[float, float]:
        """Quantiles of the mixture."""
        from scipy.optimize import brentq
        from scipy.special import ndtr

        keep = self.weight > NEGLIGIBLE_WEIGHT
        weight, mean, sd = self.weight[keep] / self.weight[keep].sum(), self.mean[keep], self.sd[keep]

        def quantile(p: float) -> float:
            reach = 12.0 * self.spread + 1e-9
            ends = self.value - reach, self.value + reach
            return float(brentq(lambda x: float(weight @ ndtr((x - mean) / sd)) - p, *ends, xtol=1e-5))

        return quantile(0.5 - level / 2.0), quantile(0.5 + level / 2.0)


def mean_reverting_grid(scale: float) -> CourseGrid:
    """The grid for a lasting change: what wanders and comes back counts as noise.

    ``scale`` is the usual day-to-day spread of the figure.
    """
    day, wander, memory = np.array(list(product(DAY_SHARES, COURSE_SHARES, MEMORY_WEEKS))).T
    of_day = (np.log(day) / DAY_LOG_SD) ** 2
    of_wander = (np.log(wander / USUAL_COURSE_SHARE) / COURSE_LOG_SD) ** 2
    of_memory = (np.log(memory / USUAL_MEMORY_WEEKS) / MEMORY_LOG_SD) ** 2
    return CourseGrid(day * scale, wander * scale, memory, -0.5 * (of_day + of_wander + of_memory))


def random_walk_grid(scale: float, per_root_week: float, start_week: float) -> CourseGrid:
    """The grid for now against then: the step is given, for estimating it would shrink real changes away."""
    day = DAY_SHARES * scale
    prior = -0.5 * (np.log(DAY_SHARES) / DAY_LOG_SD) ** 2
    return CourseGrid(day, np.full(day.size, per_root_week), np.full(day.size, np.inf), prior, start_week)


def contrast_of_known(
    week: Array, y: Array, variance: Array, known: Array, precision: Array, contrast: Array, grid: CourseGrid
) -> Answer:
    """Contrast ``contrast @ g`` of the coefficients of what is known.

    Parameters
    ----------
    week, y, variance : (n,) time in order, the figure and the variance it was read with. known : (n, p).
    precision : (p,) prior precisions about zero of its coefficients.
    """
    _, solved, weight, trust = _solved(week, y, variance, known, precision, grid)
    mean = solved.mean @ contrast
    sd = np.sqrt(np.einsum("i,kij,j->k", contrast, solved.covariance, contrast))
    return Answer(weight, mean, sd, trust, float(weight @ grid.day), weight @ solved.mean)


def contrast_of_course(
    week: Array,
    y: Array,
    variance: Array,
    known: Array,
    precision: Array,
    then: Array,
    now: Array,
    grid: CourseGrid,
) -> Answer:
    """Mean of the course at the weeks ``now`` less its mean at ``then``; other parameters as above.

    The first column of ``known`` is the level the course starts from.
    """
    at = np.concatenate([then, now]) - grid.start_week
    share = np.concatenate([np.full(then.size, -1.0 / then.size), np.full(now.size, 1.0 / now.size)])
    per_week = grid.wander[0] ** 2
    ties = per_week * np.minimum((week - grid.start_week)[:, None], at) @ share
    whole = float(per_week * share @ np.minimum(at[:, None], at) @ share)
    gram, solved, weight, trust = _solved(week, y, variance, known, precision, grid, ties)
    p = known.shape[1]
    of_known, of_y, of_ties = gram[:, p + 1, :p], gram[:, p + 1, p], gram[:, p + 1, p + 1]
    mean = of_y - np.einsum("ki,ki->k", of_known, solved.mean)
    variance_left = whole - of_ties + np.einsum("ki,kij,kj->k", of_known, solved.covariance, of_known)
    sd = np.sqrt(np.maximum(variance_left, 1e-9))
    return Answer(weight, mean, sd, trust, float(weight @ grid.day), weight @ solved.mean)


def whitened(week: Array, grid: CourseGrid, noise: Array, rows: Array) -> tuple[Array, Array]:
    """``rows' C^-1 rows`` (k, m, m) and ``log det C`` (k,) of ``C = course + diag(noise)``, by a filter.

    Parameters
    ----------
    week : (n,) in order. noise : (k, n) variances. rows : (n, m).
    """
    k, (n, m) = grid.day.size, rows.shape
    state, variance = np.zeros((k, m)), _start(grid, week)
    gram, log_det = np.zeros((k, m, m)), np.zeros(k)
    for i in range(n):
        if i:
            keep, fresh = _step(grid, week[i] - week[i - 1])
            state, variance = state * keep[:, None], variance * keep**2 + fresh
        total = variance + noise[:, i]
        off = rows[i] - state
        gram += off[:, :, None] * off[:, None, :] / total[:, None, None]
        log_det += np.log(total)
        gain = variance / total
        state, variance = state + gain[:, None] * off, variance * (1.0 - gain)
    return gram, log_det


def smoothed(week: Array, grid: CourseGrid, k: int, noise: Array, left: Array) -> tuple[Array, Array]:
    """(n,) expected course and its variance at the outings for point k of the grid, from what is left."""
    at = slice(k, k + 1)
    one = CourseGrid(grid.day[at], grid.wander[at], grid.memory[at], grid.log_prior[at], grid.start_week)
    state, variance = 0.0, float(_start(one, week)[0])
    n = left.size
    before, after, keeps = np.zeros((n, 2)), np.zeros((n, 2)), np.ones(n)
    for i in range(n):
        if i:
            keep, fresh = (float(each[0]) for each in _step(one, week[i] - week[i - 1]))
            state, variance, keeps[i] = state * keep, variance * keep**2 + fresh, keep
        before[i] = state, variance
        gain = variance / (variance + noise[i])
        state, variance = state + gain * (left[i] - state), variance * (1.0 - gain)
        after[i] = state, variance
    for i in range(n - 2, -1, -1):
        back = after[i, 1] * keeps[i + 1] / max(before[i + 1, 1], 1e-12)
        after[i, 0] += back * (after[i + 1, 0] - before[i + 1, 0])
        after[i, 1] += back**2 * (after[i + 1, 1] - before[i + 1, 1])
    return after[:, 0], np.maximum(after[:, 1], 0.0)


def _start(grid: CourseGrid, week: Array) -> Array:
    on = np.isinf(grid.memory)
    return np.asarray(grid.wander**2 * np.where(on, week[0] - grid.start_week, 1.0))


def _step(grid: CourseGrid, weeks: float) -> tuple[Array, Array]:
    """What is kept of the course over some weeks, and the variance that comes new."""
    keep = np.exp(-weeks / grid.memory)
    fresh = np.where(np.isinf(grid.memory), weeks, -np.expm1(-2.0 * weeks / grid.memory))
    return keep, grid.wander**2 * fresh


@dataclass(frozen=True, eq=False)
class _CourseAnswer:
    mean: Array
    covariance: Array
    misfit: Array
    log_det: Array


def _solve(gram: Array, precision: Array) -> _CourseAnswer:
    """Coefficients of what is known, given ``[known y]' C^-1 [known y]``."""
    inner = gram[:, :-1, :-1] + np.diag(precision)
    cross, square = gram[:, :-1, -1], gram[:, -1, -1]
    covariance = np.asarray(np.linalg.inv(inner), dtype=float)
    mean = np.einsum("kij,kj->ki", covariance, cross)
    misfit = square - np.einsum("ki,ki->k", cross, mean)
    log_det = np.asarray(np.linalg.slogdet(inner)[1], dtype=float)
    return _CourseAnswer(mean, covariance, misfit, log_det)


def _solved(
    week: Array,
    y: Array,
    variance: Array,
    known: Array,
    precision: Array,
    grid: CourseGrid,
    *beside: Array,
) -> tuple[Array, _CourseAnswer, Array, Array]:
    """What is known, the figure and more columns (n,) whitened; the answers, their weights, and trust.

    Trust is (n,) Student's weights of the days at the likeliest point of the grid.
    """
    rows, p, trust = np.column_stack([known, y, *beside]), known.shape[1], np.ones(y.size)
    for turn in range(ROUNDS):
        noise = (variance + grid.day[:, None] ** 2) / trust
        gram, log_det = whitened(week, grid, noise, rows)
        solved = _solve(gram[:, : p + 1, : p + 1], precision)
        score = grid.log_prior - 0.5 * (log_det + solved.misfit + solved.log_det)
        weight = np.exp(score - score.max())
        weight = weight / weight.sum()
        if turn < ROUNDS - 1:
            k = int(weight.argmax())
            left = y - known @ solved.mean[k]
            course, doubt = smoothed(week, grid, k, noise[k], left)
            size = ((left - course) ** 2 + doubt) / (variance + grid.day[k] ** 2)
            trust = (DAY_FREEDOM + 1.0) / (DAY_FREEDOM + size)
    return gram, solved, weight, trust
