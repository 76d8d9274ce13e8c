"""Least squares under two kinds of correlated error: quick ones that soon forget, and a slow wander.

The error of a fitted heart rate is modelled as the sum of two stationary first-order (Ornstein-Uhlenbeck)
processes. Such a process seen at any times has a tridiagonal inverse covariance, so generalised least
squares costs a few tridiagonal solves however unevenly the data lie (Rue & Held, Gaussian Markov Random
Fields, 2005, ch. 1 and 2.6 - from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Noise:
    """Quick errors forget in ``quick_s``, slow ones in ``slow_s``; variance of the slow over the quick."""

    quick_s: float
    slow_s: float
    slow_ratio: float


@dataclass(frozen=True, eq=False)
class Whitened:
    """Inner products ``columns' V^-1 columns`` and ``log det V`` under one noise (unit quick variance)."""

    gram: Array
    log_det: float


def ou_precision(t_s: Array, forget_s: float) -> tuple[Array, float]:
    """Tridiagonal inverse covariance of a unit-variance process, lower banded form, and its log det.

    Parameters
    ----------
    t_s : (n,) rising times, s.
    forget_s : correlation is ``exp(-dt / forget_s)``.

    Returns
    -------
    (2, n) diagonal and sub-diagonal; log determinant.
    """
    rho = np.exp(-np.diff(t_s) / forget_s)
    fresh = -np.expm1(-2.0 * np.diff(t_s) / forget_s)
    bands = np.zeros((2, t_s.size))
    bands[0] = 1.0
    bands[0, :-1] += rho**2 / fresh
    bands[0, 1:] += rho**2 / fresh
    bands[1, :-1] = -rho / fresh
    return bands, float(-np.log(fresh).sum())


def _times(bands: Array, columns: Array) -> Array:
    out: Array = bands[0][:, None] * columns
    out[1:] += bands[1, :-1, None] * columns[:-1]
    out[:-1] += bands[1, :-1, None] * columns[1:]
    return out


def inner_products(bands: Array, columns: Array) -> tuple[Array, float]:
    """``columns' A^-1 columns`` and ``log det A`` of a positive definite tridiagonal matrix.

    By odd-even elimination: every second unknown goes at once, and half as many equations, again
    tridiagonal, are left (Golub & Van Loan, Matrix Computations, 4.5.4 - from memory).

    Parameters
    ----------
    bands : (2, n) diagonal and sub-diagonal, as :func:`ou_precision` gives them. columns : (n, m).
    """
    diagonal, beside, log_det = bands[0], bands[1, :-1], 0.0
    inner = np.zeros((columns.shape[1], columns.shape[1]))
    while diagonal.size:
        pivot, gone = diagonal[::2], columns[::2]
        share = gone / pivot[:, None]
        inner += share.T @ gone
        log_det += float(np.log(pivot).sum())
        left, right = beside[::2], beside[1::2]
        kept, before = diagonal.size // 2, pivot.size
        diagonal = diagonal[1::2] - left[:kept] ** 2 / pivot[:kept]
        columns = columns[1::2] - left[:kept, None] * share[:kept]
        after = before - 1
        diagonal[:after] -= right[:after] ** 2 / pivot[1:]
        columns[:after] -= right[:after, None] * share[1:]
        beside = -right[: kept - 1] * left[1:kept] / pivot[1:kept]
    return inner, log_det


def whiten(t_s: Array, columns: Array, noises: list[Noise]) -> list[Whitened]:
    """Inner products of (n, m) ``columns`` under each noise: ``V = R + ratio S``.

    With ``P = R^-1`` and ``Q = S^-1``: ``V^-1 = P - P (P + Q / ratio)^-1 P``.
    """
    slow = {noise.slow_s: ou_precision(t_s, noise.slow_s) for noise in noises}
    quick: dict[float, tuple[Array, float, Array, Array]] = {}
    results = []
    for noise in noises:
        if noise.quick_s not in quick:
            bands, log_det = ou_precision(t_s, noise.quick_s)
            weighted = _times(bands, columns)
            quick[noise.quick_s] = bands, log_det, weighted, columns.T @ weighted
        p_bands, p_log_det, weighted, gram = quick[noise.quick_s]
        if noise.slow_ratio <= 0.0:
            results.append(Whitened(gram, -p_log_det))
            continue
        q_bands, q_log_det = slow[noise.slow_s]
        inner, log_det = inner_products(p_bands + q_bands / noise.slow_ratio, weighted)
        log_det -= p_log_det + q_log_det - t_s.size * np.log(noise.slow_ratio)
        results.append(Whitened(gram - inner, log_det))
    return results
