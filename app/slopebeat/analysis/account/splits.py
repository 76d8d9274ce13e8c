"""Where an outing is cut into stretches of equal distance or equal ascent."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from slopebeat.model.numerics import turning_points
from slopebeat.model.track import Array, Track

LEAST_REST = 0.02
"""A rest shorter than this share of a step is no stretch of its own [project choice]."""


def cuts_by_distance(track: Track, step_m: float) -> tuple[float, ...]:
    """Moments at which another ``step_m`` is complete, with start and end; () without distance.

    Between two records the way is taken as even.
    """
    return _cuts(track, track.distance_m, step_m)


def cuts_by_ascent(track: Track, step_m: float, threshold_m: float) -> tuple[float, ...]:
    """Moments at which another ``step_m`` of ascent is complete, with start and end; () without elevation.

    Swings under ``threshold_m`` count for nothing, as in the ascent of the whole outing.
    """
    return _cuts(track, climbed_m(track.elevation_m, threshold_m), step_m)


def climbed_m(elevation_m: Array, threshold_m: float) -> Array:
    """Ascent from the first record to each, (n,) in m; NaN where the elevation is.

    Each rise from a low point to the next high point counts as it is gained: by the highest reached so far.
    """
    known = np.flatnonzero(np.isfinite(elevation_m))
    heights = elevation_m[known]
    climbed = np.zeros(heights.size)
    turns = turning_points(heights, threshold_m)
    done = 0.0
    for low, high in pairwise(turns):
        rise = heights[low : high + 1]
        if rise[-1] > rise[0]:
            climbed[low : high + 1] = done + np.maximum.accumulate(rise - rise[0])
        else:
            climbed[low : high + 1] = done
        done = float(climbed[high])
    if turns.size:
        climbed[turns[-1] :] = done
    whole = np.full(elevation_m.shape, np.nan)
    whole[known] = climbed
    return whole


def _cuts(track: Track, gone_m: Array, step_m: float) -> tuple[float, ...]:
    """Moments at which ``gone_m``, which never falls, passes each multiple of the step."""
    known = np.isfinite(gone_m)
    if step_m <= 0 or np.count_nonzero(known) < 2:
        return ()
    t, gone = track.t_s[known], np.maximum.accumulate(gone_m[known])
    gone = gone - gone[0]
    marks = np.arange(step_m, gone[-1] + step_m * 1e-9, step_m)
    after = np.searchsorted(gone, marks - step_m * 1e-9)
    before = after - 1
    share = (marks - gone[before]) / (gone[after] - gone[before])
    inner = t[before] + np.clip(share, 0.0, 1.0) * (t[after] - t[before])
    rest = gone[-1] - (marks[-1] if marks.size else 0.0)
    if marks.size and rest < LEAST_REST * step_m:
        inner = inner[:-1]
    return (float(track.t_s[0]), *map(float, inner), float(track.t_s[-1]))
