"""The ground of a way on even steps of distance: elevation, grade, climbs.

Ways planned and ways walked go through the same steps, so that a speed learnt on one grade is used on the
same grade.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.climbs import Climb, climbs_on_line
from slopebeat.model.numerics import continued, gaussian
from slopebeat.model.track import Array

STEP_M = 10.0
"""Step the ground is cut into [project choice]: half a switchback."""

MOST_STEPS = 5_000
"""Longer ways are cut into longer steps, so that a plan stays a matter of seconds [project choice]."""

GRADE_SIGMA_M = 25.0
"""Gaussian a grade is averaged over: speed and heart answer to tens of metres, not to single steps
[project choice]."""


@dataclass(frozen=True, eq=False)
class RouteGround:
    """A way cut into n even steps.

    Attributes
    ----------
    distance_m, elevation_m : (n + 1,) at the ends of the steps.
    grade : (n,) rise over run of each step.
    """

    distance_m: Array
    elevation_m: Array
    grade: Array

    @property
    def step_m(self) -> float:
        return float(self.distance_m[1] - self.distance_m[0])

    @property
    def length_m(self) -> float:
        return float(self.distance_m[-1])

    @property
    def middle_m(self) -> Array:
        return 0.5 * (self.distance_m[1:] + self.distance_m[:-1])


def route_ground(distance_m: Array, elevation_m: Array) -> RouteGround | None:
    """Cut a way into steps.

    Parameters
    ----------
    distance_m : (n,) along the way, never falling. elevation_m : (n,) already smoothed for its noise; NaN
        is bridged, and a way without any is level.

    Returns
    -------
    Ground, or None for a way shorter than a step.
    """
    if distance_m.size < 2 or not distance_m[-1] - distance_m[0] >= STEP_M:
        return None
    length = float(distance_m[-1] - distance_m[0])
    count = min(int(np.ceil(length / STEP_M)), MOST_STEPS)
    ends = np.linspace(0.0, length, count + 1)
    known = np.isfinite(elevation_m) & np.isfinite(distance_m)
    if np.count_nonzero(known) < 2:
        return RouteGround(ends, np.zeros(count + 1), np.zeros(count))
    # Where somebody stood, one distance carries many elevations: the last one joins what follows.
    walked, heights = distance_m[known] - distance_m[0], elevation_m[known]
    last = np.append(np.diff(walked) > 0.0, True)
    height = _smoothed(np.interp(ends, walked[last], heights[last]), GRADE_SIGMA_M * count / length)
    return RouteGround(ends, height, np.diff(height) / (length / count))


def _smoothed(height: Array, sigma: float) -> Array:
    """Gaussian mean, the ends continued by point reflection so that a steady rise stays one."""
    pad = min(int(np.ceil(4.0 * sigma)) + 1, height.size - 1)
    odd = continued(height, pad)
    return gaussian(odd, sigma)[pad : pad + height.size]


def climbs_of(ground: RouteGround) -> tuple[Climb, ...]:
    """Climbs of the way; of what they carry only places, heights, lengths and grades mean anything."""
    along = ground.distance_m
    return climbs_on_line(along, along, ground.elevation_m, np.zeros(along.size, dtype=bool))


def repeated_stretch(ground: RouteGround, start_m: float, end_m: float, times: int) -> RouteGround:
    """The way with a stretch of it gone ``times`` times more.

    Parameters
    ----------
    start_m, end_m : the stretch, its ends the same place on the ground or nearly so.

    Raises
    ------
    ValueError
        When the stretch does not lie on the way.
    """
    step = ground.step_m
    first, last = round(start_m / step), round(end_m / step)
    if not 0 <= first < last <= ground.grade.size:
        raise ValueError("a lap lies on the way and has a length")
    lap = ground.grade[first:last]
    grade = np.concatenate([ground.grade[:last], np.tile(lap, times), ground.grade[last:]])
    distance: Array = step * np.arange(grade.size + 1.0)
    height = ground.elevation_m[0] + np.concatenate(([0.0], np.cumsum(grade * step)))
    return RouteGround(distance, height, grade)
