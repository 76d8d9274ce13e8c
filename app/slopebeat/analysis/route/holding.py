"""The speed that keeps a heart rate: work and slope turned round, for whole ways and many answers at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from slopebeat.analysis.response.level_speed import FASTEST_MPS
from slopebeat.analysis.route.work import SLOWEST_MPS, Going
from slopebeat.model.track import Array

SPEED_STEPS = 90
"""Speeds tried, evenly spaced in their logarithm and joined by straight lines [project choice]."""

BLOCK = 64
"""Steps of the way worked out at a time: with 400 runs they stay in the processor's cache, and a plan that is
no longer wanted stops soon [project choice]."""


def speed_at_bpm(
    going: Going,
    coefficients: Array,
    wanted_bpm: Array,
    grade: Array,
    load_kg: Array,
    extra_w_per_kg: Array,
    told: Callable[[float], None] | None = None,
) -> Array:
    """Lowest speed whose steady heart rate reaches a wanted one.

    Parameters
    ----------
    coefficients : (m, 5) heart rate at no work, drift, beats per W/kg, per m/s climbing and sinking.
    wanted_bpm : (m, n), drift already taken off.
    grade, load_kg, extra_w_per_kg : (n,) of each step of the way.
    told : called with the share done; what it raises stops the work.

    Returns
    -------
    (m, n) speed: the slowest one where even that is too much, infinite where every speed stays under.
    """
    speeds = np.geomspace(SLOWEST_MPS[going.on_bike], FASTEST_MPS[going.on_bike], SPEED_STEPS)
    work = going.work_w_per_kg(speeds[:, None], grade, load_kg) + extra_w_per_kg
    work = np.maximum(work, 0.0)
    found = np.empty(wanted_bpm.shape)
    for first in range(0, grade.size, BLOCK):
        here = slice(first, first + BLOCK)
        found[:, here] = _crossings(coefficients, wanted_bpm[:, here], grade[here], work[:, here], speeds)
        if told is not None:
            told(min((first + BLOCK) / grade.size, 1.0))
    return found


def _crossings(coefficients: Array, wanted_bpm: Array, grade: Array, work: Array, speeds: Array) -> Array:
    """(m, n) speed where the steady heart rate first reaches a wanted one; ``work`` (k, n) at each speed."""
    gain = coefficients[:, 2:3]
    # Ground goes up or down: one slope coefficient for each step, and the speed turns it into beats.
    slope = np.where(grade > 0.0, coefficients[:, 3:4], -coefficients[:, 4:5]) * grade
    lacking = wanted_bpm - coefficients[:, 0:1]
    before = gain * work[0] + slope * speeds[0]
    found = np.where(before >= lacking, speeds[0], np.inf)
    for k in range(1, speeds.size):
        at = gain * work[k] + slope * speeds[k]
        crossing = np.isinf(found) & (at >= lacking)
        if crossing.any():
            share = (lacking - before)[crossing] / np.maximum((at - before)[crossing], 1e-9)
            found[crossing] = speeds[k - 1] + np.clip(share, 0.0, 1.0) * (speeds[k] - speeds[k - 1])
        before = at
    return found
