"""Outings of one kind reduced to what months compare: heart rate at the usual work, and its drift.

Each outing's fit gives coefficients with a covariance. Slopes are an athlete's rather than an outing's: they
are replaced by what all outings say, so that one short or even in its work has no level of its own by
extrapolation (empirical Bayes; multivariate random effects: Jackson, White, Thompson 2010, Stat Med 29:1282
- from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.model.evidence import FitEvidence
from slopebeat.model.track import Array

REFERENCE_H = 1.0
"""Hour into the outing at which levels are compared [project choice]."""

DAY_SD = {False: np.array([4.0, 3.0, 0.8, 20.0, 20.0]), True: np.array([5.0, 2.5, 2.0, 30.0, 20.0])}
"""By on_bike, where the search for the spread between outings starts: level bpm, drift bpm/h, beats per
W/kg, per m/s climbed, per m/s sunk [project choice, measured on two athletes' months]."""

FLAT_PRECISION = 1e-6

SPREAD_LOG_SD = 0.7
"""How far, as a factor e^0.7 = 2, a spread may be from its usual size [project choice]."""


@dataclass(frozen=True, eq=False)
class Levels:
    """Level and drift of n outings.

    Attributes
    ----------
    value : (n, 2) heart rate at the usual work and hour one (bpm), drift (bpm/h).
    covariance : (n, 2, 2) of each. usual : (3,) work W/kg, climbing and sinking m/s they are compared at.
    """

    value: Array
    covariance: Array
    usual: Array


def levels_of(fits: Sequence[FitEvidence], on_bike: bool) -> Levels:
    """Reduce outings of one kind to level and drift; at least one."""
    usual = np.median([fit.centre for fit in fits], axis=0)
    moved = [_at(fit, usual) for fit in fits]
    rows, within = np.array([m[0] for m in moved]), np.array([m[1] for m in moved])
    day_sd = likely_spreads(DAY_SD[on_bike], lambda sd: _pooled(rows, within, sd)[0])
    mean = _pooled(rows, within, day_sd)[1]
    misfit = within.copy()
    misfit[:, 2:, 2:] += np.diag(day_sd[2:] ** 2)
    gain = misfit[:, :2, 2:] @ np.linalg.inv(misfit[:, 2:, 2:])
    value = rows[:, :2] - np.einsum("nij,nj->ni", gain, rows[:, 2:] - mean[2:])
    covariance = misfit[:, :2, :2] - gain @ misfit[:, 2:, :2]
    return Levels(value, 0.5 * (covariance + covariance.transpose(0, 2, 1)), usual)


def _at(fit: FitEvidence, usual: Array) -> tuple[Array, Array]:
    """Coefficients with the level moved to the reference."""
    move = np.eye(5)
    move[0, 1] = REFERENCE_H - fit.centre_h
    move[0, 2:] = usual - fit.centre
    return move @ fit.coefficients, move @ fit.covariance @ move.T


def _pooled(rows: Array, within: Array, day_sd: Array) -> tuple[float, Array]:
    """Restricted log likelihood of the spreads between outings, and the pooled mean."""
    inverse = np.linalg.inv(within + np.diag(day_sd**2))
    precision = inverse.sum(axis=0) + FLAT_PRECISION * np.eye(5)
    mean = np.linalg.solve(precision, np.einsum("nij,nj->i", inverse, rows))
    left = rows - mean
    chance = 0.5 * float(np.linalg.slogdet(inverse)[1].sum())
    chance -= 0.5 * float(np.einsum("ni,nij,nj->", left, inverse, left))
    chance -= 0.5 * float(np.linalg.slogdet(precision)[1])
    return chance, mean


def level_with_usual_drift(levels: Levels, drift: float, drift_sd: float) -> tuple[Array, Array]:
    """(n,) levels and their variances once the athlete's usual drift is known.

    An outing too short to tell its own drift would else carry its uncertainty into the level.
    """
    spread = levels.covariance.copy()
    spread[:, 1, 1] += drift_sd**2
    gain = spread[:, 0, 1] / spread[:, 1, 1]
    return levels.value[:, 0] - gain * (levels.value[:, 1] - drift), spread[:, 0, 0] - gain * spread[:, 0, 1]


def likely_spreads(usual: Array, log_likelihood: Callable[[Array], float]) -> Array:
    """(k,) deviations that make the data likeliest, each drawn towards its usual size.

    Parameters
    ----------
    usual : (k,) positive, where the search starts.
    log_likelihood : of the data, the means integrated out, for (k,) deviations.
    """
    from scipy.optimize import minimize

    start = np.log(usual)

    def lack(x: Array) -> float:
        return float(np.sum((x - start) ** 2)) / (2.0 * SPREAD_LOG_SD**2) - log_likelihood(np.exp(x))

    found = minimize(
        lack, start, method="Nelder-Mead", options={"xatol": 0.02, "fatol": 0.02, "maxiter": 600}
    )
    return np.asarray(np.exp(found.x), dtype=float)
