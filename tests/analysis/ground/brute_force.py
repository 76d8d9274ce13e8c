"""Stretches gone together, found another way: the whole table of distances, near cells joined to patches.

Slow, and shares nothing with what it checks but the definition: within reach, in one direction, near enough
in the middle, about as long on both ways.
"""

from __future__ import annotations

import numpy as np
from scipy.ndimage import label

from slopebeat.analysis.ground.align import (
    LENGTHS,
    MEDIAN_APART_M,
    MEDIAN_ASIDE_M,
    REACH_M,
    SAME_TURN_COS,
    DirectedPoints,
)
from slopebeat.model.way import POINT_M


def patches(one: DirectedPoints, other: DirectedPoints, least_m: float) -> list[tuple[int, int, int, int]]:
    """First and last point on the one and on the other way of each stretch, in order along the one."""
    apart = np.hypot(one.x_m[:, None] - other.x_m[None], one.y_m[:, None] - other.y_m[None])
    along = one.cos[:, None] * other.cos[None] + one.sin[:, None] * other.sin[None]
    names, count = label((apart <= REACH_M) & (along > SAME_TURN_COS), structure=np.ones((3, 3)))
    found = []
    for name in range(1, count + 1):
        rows, columns = np.nonzero(names == name)
        pairs = []
        for i in np.unique(rows):
            here = columns[rows == i]
            j = here[np.argmin(apart[i, here])]
            if apart[i, j] <= MEDIAN_APART_M:
                pairs.append((int(i), int(j)))
        if len(pairs) < 3:
            continue
        (i0, j0), (i1, j1) = pairs[0], pairs[-1]
        i, j = np.array(pairs).T
        aside = one.cos[i] * (other.y_m[j] - one.y_m[i]) - one.sin[i] * (other.x_m[j] - one.x_m[i])
        if (i1 - i0) * POINT_M < least_m or abs(np.median(aside)) > MEDIAN_ASIDE_M:
            continue
        if LENGTHS[0] <= (j1 - j0) / (i1 - i0) <= LENGTHS[1]:
            found.append((i0, i1, j0, j1))
    return sorted(found)
