"""Whether a figure changed over weeks and months, and whether the change is more than the days differ.

Slope by Theil and Sen: the median of the slopes of all pairs, which a few odd outings do not move. Chance
by Mann and Kendall: how often the later of two outings has the higher figure. Both take outings for
independent of one another.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from slopebeat.model.numerics import REACH_95
from slopebeat.model.track import Array

LEAST_POINTS = 5
"""Four points in perfect order still have p = 0.083 (exact Kendall distribution): no trend can show."""

EXACT_BELOW = 10
"""Fewer points than this get the exact distribution; from here on the normal one is close enough
(common practice, no source)."""

MOST_POINTS = 200
"""More points than this are first grouped into periods of equal length, each represented by its medians:
pairs grow with the square of the points [project choice]."""

DECOUPLING_NOISE_POINTS = 4.0
"""Changes of decoupling under this do not stand out from day-to-day heart rate: its variation of 1.1-1.4 %
(Lamberts 2004, J Strength Cond Res 18:641) makes a smallest detectable change of 3.0-3.9 % between two days.
No test-retest study of decoupling was found."""


class PMethod(StrEnum):
    """How p was found."""

    EXACT = "exact"
    NORMAL = "normal"
    TIES = "ties"
    NONE = "none"


@dataclass(frozen=True)
class Trend:
    """Slope and chance of a series.

    Attributes
    ----------
    n : points used.
    slope, slope_low, slope_high : y per unit of x, with its 95 % interval (Sen 1968); None when all x
        are the same or there are fewer than 2 points. The interval of fewer than 5 points is not one
        of 95 % and is None.
    intercept : ``median(y) - slope median(x)``.
    span : largest x less smallest.
    s, s_variance, z, tau : Mann-Kendall sum of signs, its variance with ties, ``(s -+ 1) / sd``, and s over
        the number of pairs.
    p : two-sided; None where undefined. p_method : how it was found.
    """

    n: int
    slope: float | None
    slope_low: float | None
    slope_high: float | None
    intercept: float | None
    span: float
    s: int
    s_variance: float
    z: float | None
    tau: float | None
    p: float | None
    p_method: PMethod

    @property
    def change(self) -> float | None:
        """What the slope adds up to over the span."""
        return None if self.slope is None else self.slope * self.span

    @property
    def change_interval(self) -> tuple[float, float] | None:
        """95 % interval of :attr:`change`."""
        if self.slope_low is None or self.slope_high is None:
            return None
        return self.slope_low * self.span, self.slope_high * self.span

    def at(self, x: ArrayLike) -> Array | None:
        """The line at given x."""
        if self.slope is None or self.intercept is None:
            return None
        return np.asarray(self.intercept + self.slope * np.asarray(x, dtype=float))


def trend(x: ArrayLike, y: ArrayLike) -> Trend:
    """Trend of y (n,) over x (n,), in any order; pairs with a NaN are left out.

    Sources: Theil 1950; Sen 1968 (JASA 63:1379); Mann 1945; Kendall 1970 for ties in both.
    """
    times, values = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    known = np.isfinite(times) & np.isfinite(values)
    times, values = times[known], values[known]
    if times.size > MOST_POINTS:
        times, values = _grouped(times, values)
    span = float(np.ptp(times)) if times.size else 0.0
    s, variance = mann_kendall(times, values)
    z = (s - np.sign(s)) / np.sqrt(variance) if variance > 0.0 else None
    slopes = pairwise_slopes(times, values)
    slope = float(np.median(slopes)) if slopes.size else None
    low, high = _slope_interval(slopes, variance, times.size)
    p, method = _p(times, values, s, z)
    return Trend(
        n=int(times.size),
        slope=slope,
        slope_low=low,
        slope_high=high,
        intercept=None if slope is None else float(np.median(values) - slope * np.median(times)),
        span=span,
        s=s,
        s_variance=variance,
        z=None if z is None else float(z),
        tau=2.0 * s / (times.size * (times.size - 1)) if times.size > 1 else None,
        p=p,
        p_method=method,
    )


def pairwise_slopes(x: Array, y: Array) -> Array:
    """Slopes of all pairs with different x, in rising order."""
    first, second = np.triu_indices(x.size, 1)
    run = x[second] - x[first]
    apart = run != 0.0
    return np.sort((y[second] - y[first])[apart] / run[apart])


def mann_kendall(x: Array, y: Array) -> tuple[int, float]:
    """Sum of ``sign(xj - xi) sign(yj - yi)`` over all pairs, and its variance under no trend, with ties."""
    n = x.size
    if n < 2:
        return 0, 0.0
    first, second = np.triu_indices(n, 1)
    s = int(np.sum(np.sign(x[second] - x[first]) * np.sign(y[second] - y[first])))
    t = np.unique(x, return_counts=True)[1].astype(float)
    u = np.unique(y, return_counts=True)[1].astype(float)

    def spread(k: Array | float) -> float:
        return float(np.sum(k * (k - 1.0) * (2.0 * k + 5.0)))

    variance = (spread(float(n)) - spread(t) - spread(u)) / 18.0
    variance += float(np.sum(t * (t - 1)) * np.sum(u * (u - 1))) / (2.0 * n * (n - 1))
    if n > 2:
        triples = float(np.sum(t * (t - 1) * (t - 2)) * np.sum(u * (u - 1) * (u - 2)))
        variance += triples / (9.0 * n * (n - 1) * (n - 2))
    return s, max(variance, 0.0)


def exact_p(n: int, s: int) -> float:
    """Two-sided probability of a sum at least as far from 0 as ``s`` for n values without ties.

    Counts the orders of n values by how many pairs stand the wrong way round (Kendall 1970).
    """
    counts = np.ones(1)
    for size in range(2, n + 1):
        counts = np.convolve(counts, np.ones(size))
    pairs = n * (n - 1) // 2
    # d wrong pairs give s = pairs - 2 d.
    wrong = (pairs - abs(s)) // 2
    tail = float(counts[: wrong + 1].sum() / counts.sum())
    return min(1.0, 2.0 * tail) if s else 1.0


def _p(x: Array, y: Array, s: int, z: float | None) -> tuple[float | None, PMethod]:
    from scipy.special import ndtr

    if x.size < 2 or z is None:
        return None, PMethod.NONE
    tied = np.unique(x).size < x.size or np.unique(y).size < y.size
    if x.size < EXACT_BELOW and not tied:
        return exact_p(int(x.size), s), PMethod.EXACT
    return float(2.0 * ndtr(-abs(z))), PMethod.TIES if x.size < EXACT_BELOW else PMethod.NORMAL


def _slope_interval(slopes: Array, variance: float, n: int) -> tuple[float | None, float | None]:
    """Ranks of the sorted slopes by Sen 1968: half of the pairs, give or take z sd(S) / 2."""
    if n < LEAST_POINTS or slopes.size == 0:
        return None, None
    reach = REACH_95 * np.sqrt(variance)
    upper = min(round((slopes.size + reach) / 2.0), slopes.size - 1)
    lower = max(round((slopes.size - reach) / 2.0) - 1, 0)
    return float(slopes[lower]), float(slopes[upper])


def _grouped(x: Array, y: Array) -> tuple[Array, Array]:
    """Medians of x and y over ``MOST_POINTS`` periods of equal length; empty periods fall away."""
    width = np.ptp(x) / MOST_POINTS or 1.0
    period = np.minimum((x - x.min()) // width, MOST_POINTS - 1).astype(np.intp)
    order = np.argsort(period, kind="stable")
    parts = np.split(order, np.flatnonzero(np.diff(period[order])) + 1)
    return (
        np.array([np.median(x[part]) for part in parts]),
        np.array([np.median(y[part]) for part in parts]),
    )
