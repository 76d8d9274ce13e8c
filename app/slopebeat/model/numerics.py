"""Numerics on arrays that every room may need: running medians, Gaussian means, turning points of a noisy
profile, the normal distribution, and distances on the Earth's surface.

In plain NumPy and the standard library: SciPy's filters and distributions say the same, and tests hold both
side by side; loading them takes longer than reviewing an outing.
"""

from __future__ import annotations

import math
from math import erfc, sqrt
from typing import Literal, TypeVar

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.track import Array

Kind = TypeVar("Kind", bound=np.generic)


def running_median(values: Array, size: int, edge: Literal["edge", "symmetric"] = "edge") -> Array:
    """Median of the ``size`` (odd) values about each of (n,) finite values.

    Beyond the ends the last value goes on (``edge``), or the values come back (``symmetric``), as in
    :func:`numpy.pad`.
    """
    if values.size == 0:
        return np.zeros(0)
    half = size // 2
    windows = sliding_window_view(np.pad(values, half, mode=edge), size)
    return np.asarray(np.partition(windows, half, axis=1)[:, half])


def median(values: Array) -> float:
    """Median of (n,) finite values, at least one: NumPy's, without looking for axes, masks and NaN."""
    half = values.size // 2
    if values.size % 2:
        return float(np.partition(values, half)[half])
    ordered = np.partition(values, (half - 1, half))
    return float(0.5 * (ordered[half - 1] + ordered[half]))


def distinct(values: NDArray[Kind]) -> NDArray[Kind]:
    """The different ones of (n,) finite values, rising: NumPy's, without loading its masked arrays."""
    ordered = np.sort(values)
    fresh = np.ones(ordered.size, dtype=bool)
    fresh[1:] = ordered[1:] != ordered[:-1]
    return ordered[fresh]


def quantile(values: Array, share: float) -> float:
    """Quantile of (n,) finite values, at least one, on a straight line between two of them: NumPy's, too."""
    at = share * (values.size - 1)
    below = int(at)
    above, part = min(below + 1, values.size - 1), at - below
    ordered = np.partition(values, (below, above))
    low, high = ordered[below], ordered[above]
    return float(high - (high - low) * (1.0 - part) if part >= 0.5 else low + (high - low) * part)


def zero_where_unknown(values: Array) -> Array:
    """The values with zeros for NaN."""
    return np.where(np.isnan(values), 0.0, values)


GAUSSIAN_REACH = 4.0
"""Standard deviations at which a Gaussian's weights are cut off."""


def gaussian_half(sigma: float) -> int:
    """Steps to either side that enter a mean by :func:`gaussian_inside`."""
    return int(GAUSSIAN_REACH * sigma + 0.5)


def gaussian_inside(values: Array, sigma: float) -> Array:
    """(n - 2 half,) values averaged with Gaussian weights of ``sigma`` steps, where there are enough."""
    half = gaussian_half(sigma)
    weights = np.exp(-0.5 * (np.arange(-half, half + 1) / sigma) ** 2)
    weights /= weights.sum()
    return np.convolve(values, weights, mode="valid")


def gaussian(values: Array, sigma: float) -> Array:
    """(n,) the same of all values; beyond the ends the last one goes on."""
    return gaussian_inside(np.pad(values, gaussian_half(sigma), mode="edge"), sigma)


def continued(values: Array, count: int) -> Array:
    """(n + 2 count,) values continued by point reflection: a steady rise stays one beyond its ends."""
    if count >= values.size:
        if values.size == 1:
            return np.repeat(values, 2 * count + 1)
        return np.pad(values, count, mode="reflect", reflect_type="odd")
    before = 2.0 * values[0] - values[count:0:-1]
    behind = 2.0 * values[-1] - values[-2 : -count - 2 : -1]
    return np.concatenate((before, values, behind))


def true_runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First index and the one after the last of each run of True in a mask (n,)."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], np.asarray(mask, dtype=np.int8), [0])))).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))


def turning_points(z: NDArray[np.float64], threshold: float) -> NDArray[np.intp]:
    """Indices of alternating lows and highs between which z swings by at least ``threshold``.

    Starts with the extreme before the first such swing and ends with the extreme of the last one; empty
    when z never swings that far. z must be finite.
    """
    if z.size == 0:
        return np.zeros(0, dtype=np.intp)
    candidates = _local_extremes(z)
    values = z[candidates].tolist()
    turns: list[int] = []
    low = high = 0
    direction = 0
    for i, value in enumerate(values):
        if value > values[high]:
            high = i
        if value < values[low]:
            low = i
        if direction <= 0 and value - values[low] >= threshold:
            turns.append(low)
            direction, high = 1, i
        elif direction >= 0 and values[high] - value >= threshold:
            turns.append(high)
            direction, low = -1, i
        # While rising, the low to rise from again is only known after the next high; and mirrored.
        if direction > 0:
            low = high
        elif direction < 0:
            high = low
    if direction:
        turns.append(high if direction > 0 else low)
    return candidates[np.array(turns, dtype=np.intp)]


def _local_extremes(z: NDArray[np.float64]) -> NDArray[np.intp]:
    """Ends of z and the samples where its direction changes: the only ones a swing can start or end at."""
    step = np.sign(np.diff(z))
    moving = np.flatnonzero(step)
    turns = moving[1:][step[moving[1:]] != step[moving[:-1]]]
    return np.concatenate(([0], turns, [z.size - 1])).astype(np.intp)


_ROOT_2 = sqrt(2.0)

REACH_80, REACH_95 = 1.2815515655446004, 1.959963984540054
"""Standard deviations to either side that hold 80 and 95 % of a normal distribution."""


def share_below(z: float) -> float:
    """How much of a standard normal distribution lies below ``z``; NaN stays NaN."""
    # By the tail's own function, so that what is nearly nothing keeps its digits.
    return 0.5 * erfc(-z / _ROOT_2)


def shares_below(z: Array) -> Array:
    """:func:`share_below` of (n,) values."""
    return np.array([0.5 * erfc(-value / _ROOT_2) for value in z.tolist()])


def odds_of_t(t: float, freedom: float) -> float:
    """How often Student's t is further from nothing than ``t`` with so many degrees of freedom, over 1.

    With t = sqrt(f) tan a its density is that of cos(a) to the power f - 1.
    """
    angles = np.linspace(0.0, np.pi / 2.0, 4001)
    height = np.cos(angles) ** (freedom - 1.0)
    below = np.concatenate(([0.0], np.cumsum((height[1:] + height[:-1]) / 2.0)))
    return 1.0 - float(np.interp(np.arctan(t / np.sqrt(freedom)), angles, below) / below[-1])


EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the Earth (GRS 80: R1 = (2a + b)/3)."""


def great_circle_m(
    lat1_deg: ArrayLike, lon1_deg: ArrayLike, lat2_deg: ArrayLike, lon2_deg: ArrayLike
) -> NDArray[np.float64]:
    """Great-circle distance by the haversine formula on a sphere of mean radius, in metres.

    Within 0.6 % of the ellipsoid's; NaN where a coordinate is NaN.
    """
    lat1, lon1, lat2, lon2 = (
        np.radians(np.asarray(x, dtype=float)) for x in (lat1_deg, lon1_deg, lat2_deg, lon2_deg)
    )
    half = np.sin((lat2 - lat1) / 2) ** 2 + np.cos(lat1) * np.cos(lat2) * np.sin((lon2 - lon1) / 2) ** 2
    return np.asarray(2.0 * EARTH_RADIUS_M * np.arcsin(np.sqrt(np.clip(half, 0.0, 1.0))))


def round_step(least: float) -> float:
    """The least of 1, 2 and 5 times a power of ten that is no less."""
    if not 0.0 < least < math.inf:
        return 1.0
    power = 10.0 ** math.floor(math.log10(least))
    return next(times * power for times in (1.0, 2.0, 5.0, 10.0) if times * power >= least * (1.0 - 1e-9))
