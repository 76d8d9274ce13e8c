"""Times to set beside a plan: published walking times, and the plainest forecast from earlier outings."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from slopebeat.analysis.route.hiking_time import din_33466_s, naismith_s, tobler_s
from slopebeat.analysis.route.plan import Reference
from slopebeat.analysis.route.profile import RouteGround
from slopebeat.model.past import PastOuting

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
    return (
        Reference(
            "DIN 33466",
            din_33466_s(length, ascent_m, descent_m),
        ),
        Reference(
            "Naismith",
            naismith_s(length, ascent_m),
        ),
        Reference(
            "Tobler",
            tobler_s(np.full(ground.grade.shape, ground.step_m), ground.grade),
        ),
    )
