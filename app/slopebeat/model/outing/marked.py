"""Which records of a recording marks cover."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.marks import Channel, Mark
from slopebeat.model.spans import Spans


def records(mark: Mark, t_s: NDArray[np.float64]) -> slice:
    """The records of a recording that are in the range of a mark, found by search.

    Parameters
    ----------
    t_s : (n,) times of all its records, rising: the last of them is the recording's last.
    """
    first, behind = np.searchsorted(t_s, [mark.start_s, mark.end_s]).tolist()
    if t_s.size and mark.start_s <= t_s[-1] <= mark.end_s:
        behind = t_s.size
    return slice(first, behind)


def covers(mark: Mark, t_s: NDArray[np.float64]) -> NDArray[np.bool_]:
    """The same as a mask of shape (n,)."""
    inside = np.zeros(t_s.shape, dtype=bool)
    inside[records(mark, t_s)] = True
    return inside


def covered(t_s: ArrayLike, marks: Iterable[Mark], channel: Channel) -> NDArray[np.bool_]:
    """Which records are in doubt: those under a mark on the channel that counts; arrays of shape (n,)."""
    return _covered(t_s, [(m.start_s, m.end_s) for m in marks if m.channel is channel and m.counts])


def _covered(t_s: ArrayLike, ranges: list[tuple[float, float]]) -> NDArray[np.bool_]:
    t = np.asarray(t_s, dtype=float)
    inside = Spans.from_pairs(ranges).contains(t)
    if t.size:
        inside[-1] = any(start <= t[-1] <= end for start, end in ranges)
    return inside
