"""The answers of one outing: kinetics and errors on a small grid, each pair solved in closed form.

For one pair of kinetics (time constant, delay) and one shape of error the model is linear with Gaussian
priors, so its posterior and its evidence are a six-by-six solve (Bishop 2006, Pattern Recognition and Machine
Learning, 3.3 and 3.5 - from memory). The pairs are mixed by evidence times prior: the spread between their
answers is part of the interval.

The heart answers work, climbing and sinking delayed and lagged, and work with a slow part, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.grid import STEP_S, Grid
from slopebeat.analysis.response.lag import lag_at, lag_means
from slopebeat.analysis.response.mixture import COEFFICIENTS, Mixture
from slopebeat.analysis.response.priors import (
    DELAYS_S,
    DOUBT_FLOOR,
    DOUBT_OF_GROUND,
    DOUBT_PER_H,
    FIRST_NOISE,
    INFORMED,
    NOISES,
    OWN,
    SLOW_S,
    TAUS_S,
    WITHOUT_DRIFT,
    Knowledge,
    Noise,
    PriorScale,
    inner_products,
    log_prior_of_tau,
    prior,
)
from slopebeat.model.track import Array


class LaggedInputs:
    """Lagged inputs for some time constants, all computed at once.

    ``means`` is (m, time constants, 4), as means of each step: work, climbing, sinking, and the slow part
    ``L200[work] - L[work]``.
    """

    def __init__(self, inputs: Array, taus_s: Iterable[float] = TAUS_S) -> None:
        taus = [float(tau_s) for tau_s in taus_s]
        self.number = {tau_s: number for number, tau_s in enumerate(taus)}
        each = inputs.shape[1]
        columns = np.column_stack([np.tile(inputs, (1, len(taus))), inputs[:, 0]])
        lagged = lag_means(columns, STEP_S, np.append(np.repeat(taus, each), SLOW_S))
        self.means = np.empty((len(inputs), len(taus), each + 1))
        self.means[:, :, :each] = lagged[:, :-1].reshape(-1, len(taus), each)
        self.means[:, :, each] = lagged[:, -1:] - self.means[:, :, 0]


def lagged_at(inputs: Array, tau_s: float, delay_s: float, t_s: Array) -> Array:
    """(n, 4) the same columns at any times ``t_s``, for (m, 3) inputs on steps of ``STEP_S``."""
    at = np.maximum(t_s - delay_s, 0.0)
    quick = lag_at(inputs, STEP_S, tau_s, at)
    slow = lag_at(inputs[:, 0], STEP_S, SLOW_S, at)
    return np.column_stack([quick, slow - quick[:, 0]])


MOST_KINETICS, KINETICS_MARGIN = 6, 5.0  # pairs kept for all shapes of error, log units under the best
LEAST_VARIANCE_BPM2 = 0.01  # error no recording goes under: keeps noise-free data regular [project choice]
RIDGE = 1e-6  # share of its own size that keeps an input nobody moved from being singular


@dataclass(frozen=True, eq=False)
class FitHalves:
    """Mean time (s) of the first and the second half of what is fitted, and weights (n,) of the means."""

    first_s: float
    second_s: float
    first_weight: Array
    second_weight: Array


class Bins:
    """Half-minute means of one grid: times, heart rate and lagged inputs (n bins)."""

    def __init__(self, grid: Grid, lagged: LaggedInputs, on_bike: bool) -> None:
        means = grid.binned(np.column_stack([grid.middle_s, grid.hr_bpm, grid.inputs[:, 0]]))
        self.t_s, self.hr_bpm, work = np.ascontiguousarray(means.T)
        self.seconds = grid.bin_seconds
        self.scale = PriorScale(
            on_bike, float(self.hr_bpm.mean()), float(work.mean()), float(self.t_s.mean())
        )
        self._number, self._delays = lagged.number, DELAYS_S
        self._late = grid.binned_late(lagged.means, [round(delay_s / STEP_S) for delay_s in self._delays])

    def inputs(self, pairs: Sequence[tuple[float, float]]) -> Array:
        """(n, k, 4) lagged inputs for each pair of time constant and delay."""
        each = self._late.reshape(len(self._late), -1, self._late.shape[-1])
        taus = len(self._number)
        return each.take(
            [self._delays.index(delay_s) * taus + self._number[tau_s] for tau_s, delay_s in pairs], axis=1
        )

    @property
    def halves(self) -> FitHalves:
        """The fitted seconds cut in two."""
        total = self.seconds.sum()
        share = np.clip((np.cumsum(self.seconds) - 0.5 * total) / self.seconds, 0.0, 1.0)
        first, second = self.seconds * (1.0 - share), self.seconds * share
        first, second = first / first.sum(), second / second.sum()
        return FitHalves(float(first @ self.t_s), float(second @ self.t_s), first, second)


@dataclass(frozen=True, eq=False)
class Kinetics:
    """Pairs tried (k): time constants, delays, and their centred lagged inputs (n, k, 4) with the means."""

    tau_s: Array
    delay_s: Array
    inputs: Array
    centre: Array

    def some(self, which: NDArray[np.int_]) -> Kinetics:
        return Kinetics(
            self.tau_s[which], self.delay_s[which], self.inputs.take(which, axis=1), self.centre[which]
        )


@dataclass(frozen=True, eq=False)
class Answers:
    """The mixtures of one outing under the three states of knowledge."""

    informed: Mixture
    without_drift: Mixture
    own: Mixture


def find_answers(bins: Bins) -> Answers:
    """Compare all kinetics under one error, then mix the likely ones over all errors."""
    tried = _kinetics(bins, [(float(tau), delay) for tau in TAUS_S for delay in DELAYS_S])
    grams = _Grams(bins, tried, [FIRST_NOISE])
    score = grams.solve(INFORMED).score
    best = np.argsort(-score)[:MOST_KINETICS]
    likely = tried.some(best[score[best] > score.max() - KINETICS_MARGIN])
    grams = _Grams(bins, likely, list(NOISES))
    return Answers(*(_mixed(bins, likely, grams.solve(known)) for known in (INFORMED, WITHOUT_DRIFT, OWN)))


def first_residuals(bins: Bins) -> Array:
    """(n,) residuals of a plain first fit: the best of few kinetics under one error."""
    tried = _kinetics(bins, [(float(tau), 5.0) for tau in TAUS_S[::2]])
    solved = _Grams(bins, tried, [FIRST_NOISE]).solve(OWN)
    best = int(np.argmax(solved.score))
    design = np.column_stack([np.ones_like(bins.t_s), bins.t_s - bins.t_s.mean(), tried.inputs[:, best]])
    return np.asarray(bins.hr_bpm - design @ solved.beta[best])


def _kinetics(bins: Bins, pairs: list[tuple[float, float]]) -> Kinetics:
    inputs = bins.inputs(pairs)
    centre = inputs.mean(axis=0)
    tau, delay = np.array(pairs).T
    return Kinetics(tau, delay, inputs - centre, centre)


@dataclass(frozen=True, eq=False)
class _Solved:
    """One answer for each error and kinetics, flat (k): log score, coefficients, covariance, kinetics."""

    score: Array
    beta: Array
    covariance: Array
    kinetics: NDArray[np.int_]


class _Grams:
    """Inner products under each error, shared by all states of knowledge.

    Each is (7, 7): the heart rate and six columns of one pair of kinetics, the quick error of unit variance.
    """

    def __init__(self, bins: Bins, kinetics: Kinetics, noises: list[Noise]) -> None:
        count, n = len(kinetics.tau_s), bins.t_s.size
        self._bins, self._made = bins, kinetics
        steady = np.column_stack([bins.hr_bpm, np.ones(n), bins.t_s - bins.t_s.mean()])
        gram, log_det = inner_products(bins.t_s, steady, kinetics.inputs, noises)
        self._gram = gram.reshape(-1, *gram.shape[2:])
        self._log_det = np.repeat(log_det, count)
        self._kinetics = np.tile(np.arange(count), len(noises))
        self._variance = _error_variance(self._gram, n)

    def solve(self, known: Knowledge) -> _Solved:
        """Posterior and evidence of each pair, the variance of the error taken from weak least squares."""
        n, variance = self._bins.t_s.size, self._variance
        precision, pull = prior(known, self._bins.scale, self._made.centre)
        precision, pull = precision[self._kinetics], pull[self._kinetics]
        design, cross, total = _parts(self._gram)
        root = np.linalg.cholesky(design / variance[:, None, None] + precision)
        inverse = np.linalg.inv(root)
        covariance = inverse.swapaxes(1, 2) @ inverse
        beta = np.einsum("kij,kj->ki", covariance, cross / variance[:, None] + pull)
        inside = np.einsum("ki,kij,kj->k", beta, design, beta)
        misfit = (total - 2.0 * np.einsum("ki,ki->k", beta, cross) + inside) / variance
        misfit += np.einsum("ki,kij,kj->k", beta, precision, beta) - 2.0 * np.einsum("ki,ki->k", beta, pull)
        size = 2.0 * np.log(np.einsum("kii->ki", root)).sum(axis=1)
        evidence = -0.5 * (self._log_det + n * np.log(variance) + misfit + size)
        score = evidence + log_prior_of_tau(self._made.tau_s)[self._kinetics]
        return _Solved(score, beta, covariance, self._kinetics)


def _parts(gram: Array) -> tuple[Array, Array, Array]:
    return gram[:, 1:, 1:], gram[:, 1:, 0], gram[:, 0, 0]


def _error_variance(gram: Array, n: int) -> Array:
    design, cross, total = _parts(gram)
    ridge = RIDGE * np.einsum("kii->ki", design) + 1e-8
    solved = np.linalg.solve(design + ridge[:, :, None] * np.eye(COEFFICIENTS), cross[:, :, None])[:, :, 0]
    left = total - np.einsum("ki,ki->k", solved, cross)
    return np.asarray(np.maximum(left, 1e-9) / (n - COEFFICIENTS) + LEAST_VARIANCE_BPM2)


def _mixed(bins: Bins, kinetics: Kinetics, solved: _Solved) -> Mixture:
    weight = np.exp(solved.score - solved.score.max())
    which = solved.kinetics
    mixture = Mixture(
        weight / weight.sum(),
        kinetics.tau_s[which],
        kinetics.delay_s[which],
        solved.beta,
        solved.covariance,
        float(bins.t_s.mean()),
        kinetics.centre[which],
    )
    return _with_doubt(bins, kinetics, mixture, which)


def _with_doubt(bins: Bins, kinetics: Kinetics, mixture: Mixture, which: NDArray[np.int_]) -> Mixture:
    """What the scatter cannot show, as points of decoupling."""
    halves = bins.halves
    moved = np.tensordot(halves.second_weight - halves.first_weight, kinetics.inputs, 1)
    level = mixture.mean[0] + mixture.mean[1] * (halves.second_s - mixture.centre_t_s)
    of_ground = 100.0 * float(mixture.weight @ np.einsum("ki,ki->k", moved[which], mixture.beta[:, 2:]))
    hours = float(bins.t_s[-1] - bins.t_s[0]) / 3600.0
    parts = (DOUBT_FLOOR, DOUBT_PER_H * hours, DOUBT_OF_GROUND * of_ground / level)
    return replace(mixture, doubt_percent=float(np.sqrt(np.sum(np.square(parts)))))
