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
