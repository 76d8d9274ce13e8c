"""From a track to what is drawn along it: where a moment lies, lines broken where nothing was recorded."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True, eq=False)
class XScale:
    """Seconds to chart x and back; x is seconds, or metres when ``distance_m`` is given.

    Attributes
    ----------
    t_s : (n,) strictly rising. distance_m : (n,) never falling, or None.
    """

    t_s: Array
    distance_m: Array | None = None

    @property
    def along_distance(self) -> bool:
        return self.distance_m is not None

    def to_x(self, t_s: Array | float) -> Array:
        if self.distance_m is None:
            return np.asarray(t_s, dtype=float)
        return np.asarray(np.interp(t_s, self.t_s, self.distance_m))

    def to_seconds(self, x: float, *, last: bool = False) -> float:
        """The moment at ``x``; where the outing stood still, its first or ``last`` moment there."""
        if self.distance_m is None:
            return float(x)
        d, n = self.distance_m, self.t_s.size
        i = int(np.searchsorted(d, x, side="right" if last else "left"))
        if i <= 0:
            return float(self.t_s[0])
        if i >= n:
            return float(self.t_s[-1])
        run = d[i] - d[i - 1]
        part = (x - d[i - 1]) / run if run > 0 else 0.0
        return float(self.t_s[i - 1] + part * (self.t_s[i] - self.t_s[i - 1]))
