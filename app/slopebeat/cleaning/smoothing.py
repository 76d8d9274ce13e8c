"""Gaussian smoothing of an irregularly sampled channel, never across a pause or a gap."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from slopebeat.model.numerics import continued, gaussian_half, gaussian_inside
from slopebeat.model.track import Array

GRID_S = 1.0
"""Step of the even grid the filter runs on; devices record at most this often [project choice]."""


def unbroken_runs(broken_s: Array) -> Iterator[slice]:
    """Slices of consecutive samples with neither pause nor gap between them.

    Parameters
    ----------
    broken_s : (n,) seconds of pause and gap each sample is followed by.
    """
    ends = np.flatnonzero(broken_s > 0.0) + 1
    edges = [0, *ends.tolist(), broken_s.size]
    for start, end in pairwise(edges):
        if end > start:
            yield slice(start, end)


def smooth(t_s: Array, values: Array, sigma_s: float, broken_s: Array) -> tuple[Array, Array]:
    """Smoothed values and their rate of change per second, both of shape (n,).

    Each unbroken run is interpolated to an even grid (linearly over missing values), filtered, and read
    back at the record times. Ends are continued by point reflection, so a steady rise stays one up to the
    last record. A run without any finite value stays NaN; a run of one sample has rate NaN.
    """
    level = np.full(values.shape, np.nan)
    rate = np.full(values.shape, np.nan)
    for run in unbroken_runs(broken_s):
        t, x = t_s[run], values[run]
        if t.size == 1:
            level[run] = x
        elif np.isfinite(x).any():
            grid, even = _filtered(t, x, sigma_s)
            level[run], rate[run] = np.interp(t, grid, even[1:-1]), _rate(t, grid, even)
    return level, rate


def smooth_rate(t_s: Array, values: Array, sigma_s: float, broken_s: Array) -> Array:
    """(n,) the rate of change of :func:`smooth` alone."""
    rate = np.full(values.shape, np.nan)
    for run in unbroken_runs(broken_s):
        t, x = t_s[run], values[run]
        if t.size > 1 and np.isfinite(x).any():
            rate[run] = _rate(t, *_filtered(t, x, sigma_s))
    return rate


def _filtered(t: Array, x: Array, sigma_s: float) -> tuple[Array, Array]:
    """Times of an even grid, and the filtered values on it with one more at either end."""
    known, sigma = np.isfinite(x), sigma_s / GRID_S
    grid = np.arange(t[0], t[-1] + GRID_S, GRID_S)
    even = np.interp(grid, t[known], x[known])
    return grid, gaussian_inside(continued(even, gaussian_half(sigma) + 1), sigma)


def _rate(t: Array, grid: Array, even: Array) -> Array:
    return np.interp(t, grid, (even[2:] - even[:-2]) / (2.0 * GRID_S))
