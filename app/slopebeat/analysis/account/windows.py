"""Stretches of samples, and means of a channel just before something happened."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.track import Array, Track

LAG_WINDOW_S = 60.0
"""The heart answers work with a time constant of 57.6 s (SD 23.6; Hunt 2015,
doi:10.1186/s12938-015-0112-7), so what explains a heart rate is the minute before it."""

NEAR_S = 10.0
"""How far from a record a value may be taken for it [project choice]."""


def window_mean(track: Track, values: Array, start_s: float | None, end_s: float) -> float | None:
    """Mean of ``values`` (n,) over ``[start_s, end_s)``, weighted by recorded time; None when unknown.

    An empty window falls back to the last sample before its end.
    """
    start = end_s - LAG_WINDOW_S if start_s is None else start_s
    # Times only rise, so a window is a slice: an outing of days costs no more an episode than one of an hour.
    here = slice(*np.searchsorted(track.t_s, (start, end_s)))
    known = np.isfinite(values[here])
    weight = track.recorded_s[here][known]
    if weight.sum() > 0.0:
        return float(np.average(values[here][known], weights=weight))
    before = max(int(np.searchsorted(track.t_s, end_s, side="right")) - 1, 0)
    return value_at(track, values, before)


class LagMeans:
    """:func:`window_mean` of several channels in the lag window before many moments.

    Every channel is gone through once for all the windows, and what does not hang on them is made ready once
    for all the bands that are tried: a hundred episodes cost hardly more than one.
    """

    def __init__(self, track: Track, channels: Sequence[Array]) -> None:
        self._track, self._channels = track, channels
        self._ready = [_weighted(track, values) for values in channels]

    def before(self, end_s: Array) -> list[tuple[float | None, ...]]:
        """A mean of each channel before each of (m,) moments, a tuple a moment."""
        windows = np.searchsorted(self._track.t_s, np.column_stack((end_s - LAG_WINDOW_S, end_s)))
        ends, columns = end_s.tolist(), []
        for values, (weight, weighted) in zip(self._channels, self._ready, strict=True):
            seconds, total = _sums(weight, windows), _sums(weighted, windows)
            columns.append(
                [
                    mean / lasted if lasted > 0.0 else window_mean(self._track, values, None, end)
                    for mean, lasted, end in zip(total.tolist(), seconds.tolist(), ends, strict=True)
                ]
            )
        return list(zip(*columns, strict=True))


def _weighted(track: Track, values: Array) -> tuple[Array, Array]:
    """(n + 1,) seconds a channel is known for and the values times these seconds.

    One more of each, as the last window may end after the last of them.
    """
    known = np.isfinite(values)
    weight = np.append(np.where(known, track.recorded_s, 0.0), 0.0)
    return weight, np.append(np.where(known, values, 0.0), 0.0) * weight


def _sums(values: Array, windows: NDArray[np.intp]) -> Array:
    """(m,) sums of (n + 1,) values over (m, 2) windows ``[first, last)``."""
    if not windows.size:
        return np.zeros(0)
    found = np.add.reduceat(values, windows.ravel())[::2]
    return np.asarray(np.where(windows[:, 0] < windows[:, 1], found, 0.0))


def samples_of(first: NDArray[np.intp], last: NDArray[np.intp]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """All samples of (m,) stretches ``[first, last)``: the number of the stretch of each, and the sample."""
    count = last - first
    own = np.repeat(np.arange(count.size), count)
    return own, np.arange(own.size) + (first - np.cumsum(count) + count)[own]


def value_at(track: Track, values: Array, index: int) -> float | None:
    """The finite value nearest in time to a sample, within ``NEAR_S``; None when there is none."""
    first = int(np.searchsorted(track.t_s, track.t_s[index] - NEAR_S, side="left"))
    last = int(np.searchsorted(track.t_s, track.t_s[index] + NEAR_S, side="right"))
    near = np.arange(first, last)
    near = near[np.isfinite(values[near])]
    if near.size == 0:
        return None
    return float(values[near[np.argmin(np.abs(near - index))]])
