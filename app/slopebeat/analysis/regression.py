"""A straight line through outings that differ in weight, with a few odd ones: robust, with stated priors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.numerics import median
from slopebeat.model.track import Array

STUDENT_DF = 4.0
"""Tails of the spread between outings [project choice]: one in thirty lies beyond 2.8 spreads."""

PRIOR_OUTINGS = 4.0
"""Weight of the spread between outings known beforehand [project choice]."""

STUDENT_WIDENS = 1.2
"""Factor on a variance weighted by trust, which leaves the tails out [project choice]."""

_ROUNDS = 10


@dataclass(frozen=True, eq=False)
class FittedLine:
    """Coefficients (k + 1,), the first the intercept; covariance; spread between outings; its freedom."""

    coefficients: Array
    covariance: Array
    day_sd: float
    freedom: float


def fit_line(y: Array, features: Array, mean: Array, sd: Array, weight: Array, day_sd: float) -> FittedLine:
    """Bayesian regression with Student errors, by iterated weights.

    Parameters
    ----------
    y : (n,). features : (n, k). mean, sd : (k,) prior of their coefficients; the intercept has none.
    weight : (n,) how much each outing counts. day_sd : spread between outings known beforehand.
    """
    design = np.column_stack([np.ones(y.size), features])
    prior_mean, precision = np.append(0.0, mean), np.diag(np.append(1e3, sd) ** -2.0)
    start = median(y - design @ prior_mean)
    left = y - design @ prior_mean - start
    trust, variance = np.ones(y.size), day_sd**2
    count = weight.sum() ** 2 / np.sum(weight**2)
    found, covariance = np.zeros(prior_mean.size), np.linalg.inv(precision)
    for _ in range(_ROUNDS):
        counted = weight * trust
        covariance = np.linalg.inv((design.T * counted) @ design / variance + precision)
        found = covariance @ ((design.T * counted) @ left / variance)
        doubt = np.einsum("ij,jk,ik->i", design, covariance, design)
        squared = (left - design @ found) ** 2 + doubt
        trust = (STUDENT_DF + 1.0) / (STUDENT_DF + squared / variance)
        seen = count * np.sum(weight * trust * squared) / weight.sum()
        variance = (PRIOR_OUTINGS * day_sd**2 + seen) / (PRIOR_OUTINGS + count)
    found = found + prior_mean
    found[0] += start
    sd_out = float(np.sqrt(STUDENT_WIDENS * variance))
    return FittedLine(found, np.asarray(covariance), sd_out, float(PRIOR_OUTINGS + count))


def next_draws(
    y: Array,
    features: Array,
    at: Array,
    prior: tuple[Array, Array],
    weight: Array,
    day_sd: float,
    rng: np.random.Generator,
    size: int,
) -> Array:
    """(size,) draws of the next value at features (k,): about the weighted median, as efforts are skewed."""
    line = fit_line(y, features, *prior, weight, day_sd)
    slope = line.coefficients[1:]
    left = y - features @ slope
    order = np.argsort(left)
    cumulated = np.cumsum(weight[order]) - 0.5 * weight[order]
    middle = float(np.interp(0.5, cumulated / weight.sum(), left[order]) + at @ slope)
    new = np.append(1.0, at)
    spread = np.sqrt(new @ line.covariance @ new + line.day_sd**2)
    return np.asarray(middle + spread * rng.standard_t(line.freedom, size))
