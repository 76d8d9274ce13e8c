"""Turning points by hysteresis: the alternating lows and highs of a noisy profile."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


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
