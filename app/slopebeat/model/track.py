"""The cleaned arrays every analysis reads."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


CLIMBING_GRADE = 0.03
"""Steeper than this, up or down, ground is no longer gentle; a climb is at least this steep in the mean
[project choice; there is no official definition of a climb]."""

LEAST_COVERAGE = 0.5
"""Share of the recorded time with trusted heart rate under which it gives no share, no mean and no length,
and teaches nothing [project choice]."""


@dataclass(frozen=True, eq=False)
class Track:
    """One outing, cleaned: arrays of one shape (n,), NaN where unknown.

    Attributes
    ----------
    t_s : seconds from the first record, strictly rising.
    recorded_s, pause_s, gap_s : what each sample stands for until the next record.
    hr_bpm : heart rate, NaN where absent or under a mark that counts.
    elevation_m : smoothed elevation.
    distance_m : distance along the ground, never falling; NaN only where the file has none at all.
    speed_mps : horizontal speed, smoothed.
    grade : rise over run of the smoothed track, NaN while standing.
    vertical_speed_mps : rate of change of the smoothed elevation.
    moving : False while standing with the timer running.
    power_w : recorded power, NaN where absent.
    """

    t_s: Array
    recorded_s: Array
    pause_s: Array
    gap_s: Array
    hr_bpm: Array
    elevation_m: Array
    distance_m: Array
    speed_mps: Array
    grade: Array
    vertical_speed_mps: Array
    moving: NDArray[np.bool_]
    power_w: Array
    on_bike: bool

    def __len__(self) -> int:
        return int(self.t_s.size)

    @property
    def moving_s(self) -> Array:
        """Recorded seconds each sample stands for while moving."""
        return np.where(self.moving, self.recorded_s, 0.0)

    def mean(self, values: Array, where: NDArray[np.bool_] | slice) -> float:
        """Mean of (n,) values over the recorded seconds of some samples; NaN where there are none."""
        weight = self.recorded_s[where]
        return float(np.average(values[where], weights=weight)) if weight.sum() > 0.0 else float("nan")


class Windows:
    """A centred window about each of (n,) samples."""

    def __init__(self, track: Track, window_s: float) -> None:
        t, self._track, self._half_s = track.t_s, track, window_s / 2
        # The first sample in it, and the one after the last.
        self._first, self._last = np.searchsorted(t, t - self._half_s), np.searchsorted(t, t + self._half_s)

    def mean(self, values: Array) -> Array:
        """(n,) mean by recorded seconds; NaN where nothing is known."""
        known, lasts = np.isfinite(values), self._track.recorded_s
        total = np.concatenate(([0.0], np.cumsum(np.where(known, values, 0.0) * lasts)))
        weight = np.concatenate(([0.0], np.cumsum(np.where(known, lasts, 0.0))))
        seconds = weight[self._last] - weight[self._first]
        mean = np.full(seconds.shape, np.nan)
        np.divide(total[self._last] - total[self._first], seconds, out=mean, where=seconds > 1e-9)
        return mean

    @property
    def without_break(self) -> NDArray[np.bool_]:
        """(n,) whether the window lies inside the recording and holds neither pause nor gap."""
        t = self._track.t_s
        broken = np.concatenate(([0.0], np.cumsum(self._track.pause_s + self._track.gap_s)))
        inside = (t >= self._half_s) & (t <= t[-1] - self._half_s)
        # The window may begin in a pause after the sample before it.
        return np.asarray(inside & (broken[self._last] == broken[np.maximum(self._first - 1, 0)]))
