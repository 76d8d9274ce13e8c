"""The speed that keeps a heart rate: work and slope turned round, for whole ways and many answers at once."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from slopebeat.analysis.route_work import FASTEST_MPS, SLOWEST_MPS, Going
from slopebeat.model.track import Array

SPEED_STEPS = 90
"""Speeds tried, evenly spaced in their logarithm and joined by straight lines [project choice]."""


def steady_bpm(
    going: Going,
    coefficients: Array,
    speed_mps: Array,
    grade: Array,
    load_kg: Array,
    extra_w_per_kg: Array,
) -> Array:
    """Heart rate that going steadily settles at, drift left out (broadcast over the last axis).

    Parameters
    ----------
    coefficients : (..., 5) heart rate at no work, drift, beats per W/kg, per m/s climbing and sinking.
    extra_w_per_kg : work beyond the steady cost model.
    """
    work = np.maximum(going.work_w_per_kg(speed_mps, grade, load_kg) + extra_w_per_kg, 0.0)
    rest, gain, up, down = (coefficients[..., k, None] for k in (0, 2, 3, 4))
    rise = speed_mps * grade
    return np.asarray(rest + gain * work + up * np.maximum(rise, 0.0) + down * np.maximum(-rise, 0.0))


def speed_at_bpm(
    going: Going,
    coefficients: Array,
    wanted_bpm: Array,
    grade: Array,
    load_kg: Array,
    extra_w_per_kg: Array,
) -> Array:
    """Lowest speed whose steady heart rate reaches a wanted one.

    Parameters
    ----------
    coefficients : (m, 5), see :func:`steady_bpm`. wanted_bpm : (m, n), drift already taken off.
    grade, load_kg, extra_w_per_kg : (n,) of each step of the way.

    Returns
    -------
    (m, n) speed: the slowest one where even that is too much, infinite where every speed stays under.
    """
    slowest, fastest = SLOWEST_MPS[going.on_bike], FASTEST_MPS[going.on_bike]
    speeds = np.geomspace(slowest, fastest, SPEED_STEPS)
    found = np.full(wanted_bpm.shape, np.inf)
    before = steady_bpm(going, coefficients, np.full(grade.shape, slowest), grade, load_kg, extra_w_per_kg)
    found[before >= wanted_bpm] = slowest
    for last, speed in pairwise(speeds):
        at = steady_bpm(going, coefficients, np.full(grade.shape, speed), grade, load_kg, extra_w_per_kg)
        crossing = np.isinf(found) & (at >= wanted_bpm)
        if crossing.any():
            share = (wanted_bpm - before)[crossing] / np.maximum((at - before)[crossing], 1e-9)
            found[crossing] = last + np.clip(share, 0.0, 1.0) * (speed - last)
        before = at
    return found
