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

from collections.abc import Sequence
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


def _freed(t_s: Array, forget_s: float, columns: Array) -> tuple[Array, Array]:
    """(n, m) ``columns`` freed of what they remember of the value before, and the inverse times them.

    The inverse covariance of :func:`ou_precision` is ``D' D`` with two bands in D: the first is what D makes
    of the columns, whose inner products are those under the inverse, and the second what ``D' D`` does.
    """
    past_s = np.diff(t_s)[:, None]
    rho = np.exp(-past_s / forget_s)
    scale = 1.0 / np.sqrt(-np.expm1(-2.0 * past_s / forget_s))
    freed = columns.copy()
    freed[1:] = (columns[1:] - rho * columns[:-1]) * scale
    product = freed.copy()
    product[1:] *= scale
    product[:-1] -= freed[1:] * (rho * scale)
    return freed, product


def half_solved(bands: Array, columns: Array) -> tuple[Array, Array]:
    """Columns whose inner products are ``columns' A^-1 columns``, and ``log det A``, for several A at once.

    For positive definite tridiagonal matrices, by odd-even elimination: every second unknown goes at once,
    and half as many equations, again tridiagonal, are left (Golub & Van Loan, Matrix Computations, 4.5.4 -
    from memory).

    Parameters
    ----------
    bands : (g, 2, n) diagonal and sub-diagonal, as :func:`ou_precision` gives them. columns : (n, m), or
        (n, g, m) those of each A.

    Returns
    -------
    (n, g, m), in the order in which the unknowns went; (g,).
    """
    diagonal, beside, roots = bands[:, 0].T, bands[:, 1, :-1].T, []
    left_over = columns[:, None] if columns.ndim == 2 else columns
    found, done = np.empty((len(columns), len(bands), columns.shape[-1])), 0
    while len(diagonal):
        kept, after = len(diagonal) // 2, (len(diagonal) - 1) // 2
        root = 1.0 / np.sqrt(diagonal[::2])
        roots.append(root)
        scaled = np.multiply(left_over[::2], root[..., None], out=found[done : done + len(root)])
        done += len(root)
        left, right = beside[::2] * root[:kept], beside[1::2] * root[1:]
        diagonal = diagonal[1::2] - left**2
        diagonal[:after] -= right**2
        gone = left[..., None] * scaled[:kept]
        left_over = np.subtract(left_over[1::2], gone, out=gone)
        left_over[:after] -= right[..., None] * scaled[1:]
        beside = -right[: kept - 1] * left[1:kept]
    return found, -2.0 * np.log(np.concatenate(roots)).sum(axis=0)


MOST_TOGETHER, LEAST_TOGETHER = 300_000, 8
"""So many numbers are worked on at once, that they stay near the processor, but those of so many errors at
least: each step has its price whatever it is of [project choice]."""


def inner_products(t_s: Array, common: Array, own: Array, noises: Sequence[Noise]) -> tuple[Array, Array]:
    """Inner products of sets of columns under each noise: ``V = R + ratio S``, R of unit variance.

    With ``P = R^-1`` and ``Q = S^-1``: ``V^-1 = P - P (P + Q / ratio)^-1 P``.

    Parameters
    ----------
    t_s : (n,) rising times, s. common : (n, s) columns of all sets. own : (n, k, c) those of each set.

    Returns
    -------
    (noises, k, s + c, s + c) products ``set' V^-1 set`` of each set, the common columns first; (noises,)
    ``log det V``.
    """
    columns = np.column_stack([common, own.reshape(len(own), -1)])
    shapes = (common.shape[1], *own.shape[1:])
    together = max(MOST_TOGETHER // columns.size, LEAST_TOGETHER)
    parts = [
        _products(t_s, columns, shapes, noises[first : first + together])
        for first in range(0, len(noises), together)
    ]
    gram, log_det = zip(*parts, strict=True)
    return np.concatenate(gram), np.concatenate(log_det)


def _products(
    t_s: Array, columns: Array, shapes: tuple[int, int, int], noises: Sequence[Noise]
) -> tuple[Array, Array]:
    """:func:`inner_products` of (n, m) columns, ``shapes`` as :func:`_of_sets` takes them."""
    of_quick, of_slow = [noise.quick_s for noise in noises], [noise.slow_s for noise in noises]
    ratio = np.array([noise.slow_ratio for noise in noises])
    precision = {forget_s: ou_precision(t_s, forget_s) for forget_s in {*of_quick, *of_slow}}
    p, q = (np.array([precision[forget_s][0] for forget_s in each]) for each in (of_quick, of_slow))
    p_log_det, q_log_det = (
        np.array([precision[forget_s][1] for forget_s in each]) for each in (of_quick, of_slow)
    )
    freed = {quick_s: _freed(t_s, quick_s, columns) for quick_s in {*of_quick}}
    alone = {quick_s: _of_sets(each[:, None], *shapes)[0] for quick_s, (each, _) in freed.items()}
    product = np.stack([freed[quick_s][1] for quick_s in of_quick], axis=1)
    halves, log_det = half_solved(p + q / ratio[:, None, None], product)
    gram = np.array([alone[quick_s] for quick_s in of_quick]) - _of_sets(halves, *shapes)
    return gram, log_det - p_log_det - q_log_det + t_s.size * np.log(ratio)


def _of_sets(columns: Array, shared: int, count: int, each: int) -> Array:
    """(g, count, shared + each, ...) inner products of sets of the (n, g, shared + count * each) columns."""
    rows = columns.transpose(1, 2, 0)
    common, own = rows[:, :shared], rows[:, shared:]
    by_set = own.reshape(len(own), count, each, -1)
    beside = (own @ common.swapaxes(-1, -2)).reshape(len(own), count, each, shared)
    found = np.empty((len(own), count, shared + each, shared + each))
    found[..., :shared, :shared] = (common @ common.swapaxes(-1, -2))[:, None]
    found[..., shared:, :shared] = beside
    found[..., :shared, shared:] = beside.swapaxes(-1, -2)
    found[..., shared:, shared:] = by_set @ by_set.swapaxes(-1, -2)
    return found


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
