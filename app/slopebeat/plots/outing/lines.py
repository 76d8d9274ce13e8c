"""Arrays made ready for drawing: broken where nothing was recorded, split by band state."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.track import Array, Track


def break_after(track: Track) -> NDArray[np.intp]:
    """Indices of the samples followed by a pause or a gap, where a line must break."""
    return np.flatnonzero((track.pause_s > 0.0) | (track.gap_s > 0.0))


def broken(values: Array, after: NDArray[np.intp]) -> Array:
    """``values`` with a NaN put in after each index."""
    return np.insert(values.astype(float), after + 1, np.nan)


def broken_x(x: Array, after: NDArray[np.intp]) -> Array:
    """``x`` with each broken place's own x repeated, to go with :func:`broken`."""
    return np.insert(x.astype(float), after + 1, x[after])


def only(values: Array, state: NDArray[np.int8], wanted: BandState) -> Array:
    """``values`` where the line from a sample to the next has the wanted state, NaN elsewhere.

    A line belongs to the state of the sample it starts from, so each run keeps one sample more.
    """
    here = state == wanted
    kept = here.copy()
    kept[1:] |= here[:-1]
    return np.where(kept, values, np.nan)
