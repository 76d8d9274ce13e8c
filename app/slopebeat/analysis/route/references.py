"""Times to set beside a plan: published walking times, and the plainest forecast from earlier outings.

The published rules may be set beside what an outing took, too.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from slopebeat.analysis.route.plan import Reference
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.model.evidence import PastOuting
from slopebeat.model.track import Array

DIN_LEVEL_MPS, DIN_ASCENT_M_PER_S, DIN_DESCENT_M_PER_S = 4000.0 / 3600, 300.0 / 3600, 500.0 / 3600
"""DIN 33466 for signposts: 4 km/h on the level, 300 m/h up, 500 m/h down."""


def din_33466_s(distance_m: float, ascent_m: float, descent_m: float) -> float:
    """Walking time by DIN 33466: the larger of horizontal and vertical time plus half of the smaller.

    As quoted by the German and Austrian alpine clubs' trail concept (2009): 8 km with 900 m up is 4 h.
    """
    level = distance_m / DIN_LEVEL_MPS
    vertical = ascent_m / DIN_ASCENT_M_PER_S + descent_m / DIN_DESCENT_M_PER_S
    return max(level, vertical) + min(level, vertical) / 2


def naismith_s(distance_m: float, ascent_m: float) -> float:
    """Walking time by Naismith 1892 in metric: an hour for 5 km and an hour more for 600 m up."""
    return 3600.0 * (distance_m / 5000.0 + ascent_m / 600.0)


def tobler_mps(grade: ArrayLike) -> Array:
    """Walking speed by Tobler 1993, ``6 exp(-3.5 |s + 0.05|)`` km/h, s the rise over run."""
    s = np.asarray(grade, dtype=float)
    return np.asarray(6.0 / 3.6 * np.exp(-3.5 * np.abs(s + 0.05)))


def tobler_s(length_m: ArrayLike, grade: ArrayLike) -> float:
    """Walking time over stretches of given length (n,) and grade (n,); unknown grades are taken level."""
    length = np.asarray(length_m, dtype=float)
    return float(np.sum(length / tobler_mps(np.nan_to_num(np.asarray(grade, dtype=float), nan=0.0))))


CLIMB_COUNTS = 7.0
"""Metres along the way a metre of ascent counts as [common practice, no source]; Naismith's rule as Scarf
2007 has it is 7.92 (doi:10.1080/02640410600874906)."""

LATEST = 15
"""Outings the median is taken of [project choice]."""


def rule_of_thumb_s(length_m: float, ascent_m: float, past: Sequence[PastOuting]) -> float | None:
    """Time with the timer running at the median speed of distance + 7 x ascent; None without any outing."""
    speeds = [
        (one.distance_m + CLIMB_COUNTS * (one.ascent_m or 0.0)) / one.recorded_s
        for one in past
        if one.distance_m is not None and one.recorded_s > 0.0
    ][-LATEST:]
    usual = float(np.median(speeds)) if speeds else 0.0
    return (length_m + CLIMB_COUNTS * ascent_m) / usual if usual > 0.0 else None


def references(ground: RouteGround, ascent_m: float, descent_m: float) -> tuple[Reference, ...]:
    """Published walking times for the way."""
    length = ground.length_m
    times = {
        "DIN 33466": din_33466_s(length, ascent_m, descent_m),
        "Naismith": naismith_s(length, ascent_m),
        "Tobler": tobler_s(np.full(ground.grade.shape, ground.step_m), ground.grade),
    }
    return tuple(Reference(*each) for each in times.items())
