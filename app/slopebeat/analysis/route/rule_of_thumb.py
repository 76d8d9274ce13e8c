"""The plainest forecast of time there is, to set beside a plan."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

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
