"""What is known of any heart's response before an outing is read.

One outing cannot tell everything: what climbing costs, how fast a heart answers, how much it drifts. What is
published, or was chosen on simulated outings and checked on others, stands here as means and standard
deviations. They inform the row of one outing; what is compared over months is read without that on drift.

So is the kind of error, and least squares under it: quick errors that soon forget, and a slow wander. The
error of a fitted heart rate is modelled as the sum of two stationary first-order (Ornstein-Uhlenbeck)
processes. Such a process seen at any times has a tridiagonal inverse covariance, so generalised least
squares costs a few tridiagonal solves however unevenly the data lie (Rue & Held, Gaussian Markov Random
Fields, 2005, ch. 1 and 2.6 - from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.mixture import COEFFICIENTS
from slopebeat.analysis.response.work_rate import STANDING_W
from slopebeat.model.track import Array


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


TAUS_S = np.geomspace(20.0, 150.0, 9)
TAU_S, TAU_LOG_SD = 57.6, 0.4
"""Time constant 57.6 s; its spread between people 23.6 s, as a share (Hunt 2015,
doi:10.1186/s12938-015-0112-7)."""

DELAYS_S = (0.0, 5.0, 10.0, 15.0)
"""A first-order answer after a dead time is adequate on treadmill and cycle (Hunt & Wang 2024, F1000Research
13:894); these delays are alike likely [project choice]."""

SLOW_S = 200.0
"""Time constant of the slow part of the answer to work [project choice]; two parts fit better than one
(doi:10.1186/s12938-021-00875-7)."""

SLOW_SHARE, SLOW_SHARE_SD = 0.20, 0.15
"""The slow part as a share of the whole answer [project choice]."""

DRIFT_BPM_PER_H, DRIFT_SD_BPM_PER_H = 3.0, 3.0
"""Rise at unchanged work [project choice], about what was measured indoors: 2 % in half an hour at 22 degrees
(Lafrenz 2008, doi:10.1249/MSS.0b013e3181666ed7), 9 bpm in two hours (Stevenson 2022,
doi:10.1007/s00421-022-05036-9). It gives nearly all the accuracy, so months are read without it."""

STANDING_BPM, STANDING_SD_BPM, STANDING_AT_S = 75.0, 30.0, 600.0
"""Heart rate ten minutes in at the work of standing, or coasting: weak on purpose [project choice]."""

CLIMB_W_PER_KG_PER_MPS = {False: 40.0, True: 12.0}
"""By on_bike, work of a metre a second climbed: gravity over an efficiency of a quarter on foot; gravity on
rider and bike over the rider's mass."""

SLOPE_SHARE, WIDE_SLOPE_SHARE = 0.12, 0.5
"""How far the cost of climbing may be wrong, as a share of it: the error of published curves, and no
more than a limit where outings are to be pooled [project choice]."""

WORK_SD = 50.0
"""Beats per W/kg far above any heart: no prior of its own, only what follows from standing."""

NOISES = tuple(
    Noise(quick_s, slow_s, ratio)
    for quick_s in (20.0, 60.0, 150.0)
    for slow_s in (900.0, 5400.0)
    for ratio in (0.05, 0.3, 1.0, 4.0)
)
"""Errors that last: heat, wind, food and ground are remembered from seconds to hours; errors with short
memories alone make intervals too narrow [project choice]."""

FIRST_NOISE = Noise(40.0, 600.0, 0.3)
"""The one under which kinetics are compared first [project choice]."""

DOUBT_FLOOR, DOUBT_PER_H, DOUBT_OF_GROUND = 0.3, 0.1, 0.10
"""Points of decoupling in quadrature that the scatter cannot show: at least, for each hour fitted (a drift
that bends), and of what the ground moved heart rate by between the halves (its cost is known to about a
tenth) [project choice, chosen on simulated outings and checked on others]."""


@dataclass(frozen=True)
class Knowledge:
    """Which priors count."""

    drift: bool = True
    standing: bool = True
    slope_share: float = SLOPE_SHARE


INFORMED = Knowledge()
WITHOUT_DRIFT = Knowledge(drift=False)
OWN = Knowledge(drift=False, standing=False, slope_share=WIDE_SLOPE_SHARE)


@dataclass(frozen=True, eq=False)
class PriorScale:
    """What the priors of one outing are measured in.

    Attributes
    ----------
    on_bike : kind of movement. mean_hr_bpm, mean_work : of what is fitted. centre_t_s : its mean time.
    """

    on_bike: bool
    mean_hr_bpm: float
    mean_work: float
    centre_t_s: float

    @property
    def gain(self) -> float:
        """Beats per W/kg of the line through standing heart rate and the outing's mean."""
        above = max(self.mean_work - STANDING_W[self.on_bike], 0.3)
        return max((self.mean_hr_bpm - STANDING_BPM) / above, 1.0)


def prior(known: Knowledge, scale: PriorScale, centre: Array) -> tuple[Array, Array]:
    """Precision (k, 6, 6) of the coefficients and precision times mean (k, 6).

    Parameters
    ----------
    centre : (k, 4) mean lagged inputs of each pair of kinetics, which the first coefficient is at.
    """
    slope_sd = known.slope_share * scale.gain * CLIMB_W_PER_KG_PER_MPS[scale.on_bike]
    deviations = np.array([np.inf, np.inf, WORK_SD, slope_sd, slope_sd, SLOW_SHARE_SD * scale.gain])
    means = np.array([0.0, 0.0, 0.0, 0.0, 0.0, SLOW_SHARE * scale.gain])
    if known.drift:
        deviations[1], means[1] = DRIFT_SD_BPM_PER_H / 3600.0, DRIFT_BPM_PER_H / 3600.0
    precision = np.repeat(np.diag(deviations**-2.0)[None], len(centre), axis=0)
    pull = np.repeat((means * deviations**-2.0)[None], len(centre), axis=0)
    if known.standing:
        standing = np.zeros((len(centre), COEFFICIENTS))
        standing[:, 0] = 1.0
        standing[:, 1] = STANDING_AT_S - scale.centre_t_s
        standing[:, 2:] = -centre
        standing[:, 2] += STANDING_W[scale.on_bike]
        precision += standing[:, :, None] * standing[:, None, :] / STANDING_SD_BPM**2
        pull += standing * STANDING_BPM / STANDING_SD_BPM**2
    return precision, pull


def log_prior_of_tau(tau_s: Array) -> Array:
    """Log density of the time constants, up to a constant."""
    return np.asarray(-0.5 * (np.log(tau_s / TAU_S) / TAU_LOG_SD) ** 2)
