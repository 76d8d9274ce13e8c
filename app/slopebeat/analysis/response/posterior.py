"""What the data say of the response once time constant and error model are unknown too.

Each pair of a time constant and an error model gives one least-squares answer; the answers are mixed by how
well each pair explains the recording (its marginal likelihood times a prior). The spread between the answers
is part of the interval: a fit that took the best pair for granted would be too sure of its drift.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np

from slopebeat.analysis.response.grid import INPUTS
from slopebeat.analysis.response.lag import Array
from slopebeat.analysis.response.noise import Estimate, Noise, estimate, whiten

TAU_GRID_S = np.geomspace(20.0, 130.0, 12)  # about the spread of Hunt 2015, 57.6 (23.6) s, and a margin
FIRST_NOISE = Noise(40.0, 600.0, 0.3)  # where the search for the time constant starts [project choice]
QUICK_S = (15.0, 40.0, 100.0)  # unmodelled kinetics and sensor [project choice]
# Heat, wind, food, ground underfoot: remembered for minutes to most of an hour [project choice].
SLOW_S = (180.0, 480.0, 1200.0, 3000.0)
SLOW_RATIO = (0.01, 0.1, 0.3, 1.0, 3.0)
# Inverse prior deviations. Work: 50 bpm per W/kg, far above any heart. Slope: 100 bpm per m/s of climbing or
# sinking, about 30 % of what climbing costs: the cost curve is hardly worse than that [project choice].
PRIOR_PRECISION = np.array([0.0, 0.0, *2 * (1 / 50.0, 1 / 100.0, 1 / 100.0)])
# How far the terrain's share of the change in heart rate may be wrong beyond what the scatter shows (cost
# curve bent otherwise, rise and fall unlike in speed): chosen so that the intervals of the drift study hold.
TERRAIN_DOUBT = 0.01
FIRST_ERROR_BPM = 2.0  # size of the quick errors until they have been seen [project choice]
MOST_TAU_SPREAD_S = 30.0  # steps of the mixture stay inside the grid [project choice]
NEGLIGIBLE = 12.0  # log units under the best pair at which one is dropped


@dataclass(frozen=True, eq=False)
class Bins:
    """What is fitted: (n,) times s and heart rate bpm; ``lagged(tau)`` gives (n, INPUTS) lagged inputs."""

    t_s: Array
    hr_bpm: Array
    lagged: Callable[[float], Array]


@dataclass(frozen=True, eq=False)
class Posterior:
    """A mixture of ``k`` Student answers for the (p,) coefficients.

    Coefficients: heart rate at mean time and mean lagged inputs (bpm), drift (bpm/s), then per unit of each
    lagged input. ``centre_t_s`` and ``centre`` (k, INPUTS) are those means.
    """

    weight: Array
    tau_s: Array
    beta: Array
    covariance: Array
    dof: int
    centre_t_s: float
    centre: Array

    @property
    def mean(self) -> Array:
        return self.weight @ self.beta

    @property
    def mean_tau_s(self) -> float:
        return float(self.weight @ self.tau_s)

    @property
    def total_covariance(self) -> Array:
        """(p, p) covariance within and between the answers."""
        apart = self.beta - self.mean
        within = np.einsum("k,kij->ij", self.weight, self.covariance)
        return np.asarray(within + np.einsum("k,ki,kj->ij", self.weight, apart, apart))

    def interval(self, values: Array, gradients: Array, level: float = 0.95) -> tuple[float, float]:
        """Interval of a smooth function of the coefficients: its (k,) values and (k, p) gradients."""
        spread = np.sqrt(np.einsum("ki,kij,kj->k", gradients, self.covariance, gradients))
        return mixture_interval(self.weight, values, spread, self.dof, level)


def mixture_interval(
    weight: Array, centre: Array, spread: Array, dof: int, level: float
) -> tuple[float, float]:
    """Equal-tailed interval of a mixture of Student distributions."""
    # scipy.optimize is slow to load, so it waits for the first fit, off the window's thread.
    from scipy.optimize import brentq
    from scipy.special import stdtr

    spread = np.maximum(spread, 1e-12)
    reach = 60.0 * spread.max()

    def quantile(share: float) -> float:
        def excess(x: float) -> float:
            return float(weight @ stdtr(dof, (x - centre) / spread)) - share

        return float(brentq(excess, centre.min() - reach, centre.max() + reach, xtol=1e-6))

    return quantile(0.5 - level / 2.0), quantile(0.5 + level / 2.0)


def find_posterior(bins: Bins) -> Posterior:
    """Search the time constant, then mix over it and over the error models."""
    error = float(np.sqrt(np.mean(first_residuals(bins) ** 2)))
    noises = [Noise(*triple) for triple in product(QUICK_S, SLOW_S, SLOW_RATIO)]
    return _mix(bins, _likely_taus(bins, error), noises, error)


def first_residuals(bins: Bins) -> Array:
    """(n,) residuals of a plain first fit: the best time constant of the grid under one error model."""
    answers, _ = _solve(bins, TAU_GRID_S, [FIRST_NOISE], FIRST_ERROR_BPM)
    best = int(np.argmax([answer.log_evidence for answer in answers[0]]))
    columns, _ = _columns(bins, TAU_GRID_S[best : best + 1])
    return np.asarray(bins.hr_bpm - np.delete(columns, 2, axis=1) @ answers[0][best].beta)


def _columns(bins: Bins, taus: Array) -> tuple[Array, Array]:
    """One, centred hours, heart rate, then the centred lagged inputs per time constant."""
    lagged = np.stack([bins.lagged(float(tau)) for tau in taus])
    centre = lagged.mean(axis=1)
    steady = np.column_stack([np.ones_like(bins.t_s), bins.t_s - bins.t_s.mean(), bins.hr_bpm])
    moving = (lagged - centre[:, None, :]).transpose(1, 0, 2).reshape(len(bins.t_s), -1)
    return np.column_stack([steady, moving]), centre


def _solve(bins: Bins, taus: Array, noises: list[Noise], error: float) -> tuple[list[list[Estimate]], Array]:
    columns, centre = _columns(bins, taus)
    ridge = (error * PRIOR_PRECISION) ** 2
    answers = []
    for whitened in whiten(bins.t_s, columns, noises):
        use = [[0, 1, *range(3 + INPUTS * k, 3 + INPUTS * (k + 1))] for k in range(len(taus))]
        answers.append([estimate(whitened, u, 2, len(bins.t_s), ridge) for u in use])
    return answers, centre


def _likely_taus(bins: Bins, error: float) -> Array:
    """Time constants to mix over: the best one and two deviations either way, inside the grid."""
    # scipy.optimize is slow to load, so it waits for the first fit, off the window's thread.
    from scipy.optimize import minimize_scalar

    def lack(tau: float) -> float:
        return -_solve(bins, np.array([tau]), [FIRST_NOISE], error)[0][0][0].log_evidence

    answers, _ = _solve(bins, TAU_GRID_S, [FIRST_NOISE], error)
    at = int(np.argmax([answer.log_evidence for answer in answers[0]]))
    around = TAU_GRID_S[max(at - 1, 0)], TAU_GRID_S[min(at + 1, TAU_GRID_S.size - 1)]
    best = float(minimize_scalar(lack, bounds=around, method="bounded", options={"xatol": 0.05}).x)
    step = 0.02 * best
    bend = (lack(best + step) - 2.0 * lack(best) + lack(best - step)) / step**2
    spread = min(1.0 / np.sqrt(max(bend, 1e-6)), MOST_TAU_SPREAD_S)
    nodes = best + spread * np.array([-2.0, -1.0, 0.0, 1.0, 2.0])
    return np.unique(np.clip(nodes, TAU_GRID_S[0], TAU_GRID_S[-1]))


def _mix(bins: Bins, taus: Array, noises: list[Noise], error: float) -> Posterior:
    answers, centre = _solve(bins, taus, noises, error)
    flat = [(answer, k) for row in answers for k, answer in enumerate(row)]
    # Nodes are unevenly spaced where clipped; each stands for its own stretch of time constants.
    width = np.gradient(taus) if taus.size > 1 else np.ones(1)
    score = np.array([answer.log_evidence + np.log(width[k]) for answer, k in flat])
    kept = np.flatnonzero(score > score.max() - NEGLIGIBLE)
    weight = np.exp(score[kept] - score.max())
    of_tau = np.array([flat[i][1] for i in kept])
    beta = np.array([flat[i][0].beta for i in kept])
    covariance = np.array([flat[i][0].covariance for i in kept])
    covariance[:, 1, 1] += (TERRAIN_DOUBT * _terrain_trend(bins, taus)[of_tau, :] * beta[:, 2:]).sum(
        axis=1
    ) ** 2
    return Posterior(
        weight / weight.sum(),
        taus[of_tau],
        beta,
        covariance,
        flat[0][0].dof,
        float(bins.t_s.mean()),
        centre[of_tau],
    )


def _terrain_trend(bins: Bins, taus: Array) -> Array:
    """(taus, INPUTS) slope over time of each lagged input: what its coefficient takes from the drift."""
    elapsed = bins.t_s - bins.t_s.mean()
    lagged = np.stack([bins.lagged(float(tau)) for tau in taus])
    return np.asarray(np.einsum("n,kni->ki", elapsed, lagged) / (elapsed @ elapsed))
