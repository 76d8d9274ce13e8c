"""Extra laps of a loop on the way, as many as the target asks for."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.route.plan import LapPlan, Range, StrategyName
from slopebeat.analysis.route.planner import Planning, ProgressCallback, planned_on
from slopebeat.analysis.route.profile import repeated_stretch
from slopebeat.analysis.route.summary import joined_sides_s, range_of

MOST_LAPS = 12
"""More laps than this are no plan [project choice]."""

USUAL_TRIES = 5
"""Numbers of laps usually tried until the right one is found [project choice], for the progress only."""


def lap_plan(
    made: Planning, start_m: float, end_m: float, name: StrategyName, told: ProgressCallback | None = None
) -> LapPlan:
    """Extra laps of a loop on the way after which the median outing reaches the target.

    Each lap is taken to give about what the first one gave; from there the number is searched one by one.
    ``told`` is called with the share done; what it raises stops the work.

    Raises
    ------
    ValueError
        When the loop does not lie on the way.
    """
    tried: dict[int, tuple[Range, Range]] = {}

    def inside(laps: int) -> float:
        if laps not in tried:
            tried[laps] = _with_laps(made, start_m, end_m, name, laps)
            if told is not None:
                told(min(len(tried) / USUAL_TRIES, 1.0))
        return tried[laps][1].middle

    laps = 0
    if inside(0) < made.target_s:
        gain = inside(1) - inside(0)
        needed = (made.target_s - inside(0)) / gain if gain > 0.0 else np.inf
        laps = int(np.clip(np.ceil(needed), 1, MOST_LAPS) if np.isfinite(needed) else MOST_LAPS)
        while laps > 1 and inside(laps - 1) >= made.target_s:
            laps -= 1
        while laps < MOST_LAPS and inside(laps) < made.target_s:
            laps += 1
    reached = inside(laps) >= made.target_s
    return LapPlan(name, start_m, end_m, laps if reached else None, *tried[laps])


def _with_laps(
    made: Planning, start_m: float, end_m: float, name: StrategyName, laps: int
) -> tuple[Range, Range]:
    """Time in all and in band with extra laps."""
    longer = repeated_stretch(made.ground, start_m, end_m, laps) if laps else made.ground
    gone = planned_on(made, longer, name) if laps else made.gone(name)
    return range_of(gone.cast.total_s), range_of(joined_sides_s(gone.cast, gone.runs, made.band)[0])
