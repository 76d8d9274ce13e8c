"""Gaussian smoothing of an irregularly sampled channel, never across a pause or a gap."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from slopebeat.model.numerics import gaussian
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
        level[run], rate[run] = _smooth_run(t_s[run], values[run], sigma_s)
    return level, rate


def _smooth_run(t: Array, x: Array, sigma_s: float) -> tuple[Array, Array]:
    known = np.isfinite(x)
    if not known.any():
        return np.full(x.shape, np.nan), np.full(x.shape, np.nan)
    if t.size == 1:
        return x, np.full(x.shape, np.nan)
    grid = np.arange(t[0], t[-1] + GRID_S, GRID_S)
    even = np.interp(grid, t[known], x[known])
    pad = int(np.ceil(4.0 * sigma_s / GRID_S)) + 2
    odd = (
        np.pad(even, pad, mode="reflect", reflect_type="odd") if even.size > 1 else np.pad(even, pad, "edge")
    )
    filtered = gaussian(odd, sigma_s / GRID_S)
    slope = np.gradient(filtered, GRID_S)
    inner = slice(pad, pad + even.size)
    return np.interp(t, grid, filtered[inner]), np.interp(t, grid, slope[inner])
