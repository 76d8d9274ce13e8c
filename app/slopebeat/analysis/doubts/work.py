"""Work that cannot be the athlete's: more than anyone keeps up, or climbed by a lift."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.activity import LIFT_MPS
from slopebeat.analysis.doubts.steps import Mask
from slopebeat.model.marks import Reason
from slopebeat.model.numerics import true_runs, zero_where_unknown
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track, Windows

MOST_W_PER_KG = {False: 25.0, True: 12.0}
"""By on_bike, for a whole minute [project choice]: on foot about 72 ml of oxygen per kg and minute at 20.9 J
per ml, both from memory; on a bike more than the best riders hold for a minute, from memory."""

MINUTE_S = 60.0

LIFT_S = 120.0
"""Climbing as fast as a lift for so long is being carried [project choice]."""

RESTING_LIFT_MPS, RESTING_LIFT_BPM = 1000.0 / 3600.0, 100.0
"""... and so is climbing a thousand metres an hour at a heart rate like this [project choice]."""


def doubtful_work(track: Track, work_w_per_kg: Array) -> dict[Reason, Spans]:
    """Stretches of work that cannot be, and of climbs nobody climbed; whole minutes, never over a pause.

    Work from a power meter is measured, not derived from ground, and is doubted for its amount alone.
    """
    if len(track) < 2:
        return {}
    minute, two = (Windows(track, window_s) for window_s in (MINUTE_S, LIFT_S))
    work = np.where(minute.without_break, minute.mean(work_w_per_kg), 0.0)
    limit = MOST_W_PER_KG[track.on_bike]
    too_much = _widened(work > limit, zero_where_unknown(work_w_per_kg) > limit)
    climbing = zero_where_unknown(track.vertical_speed_mps)
    rising = np.where(two.without_break, two.mean(climbing), 0.0)
    heart = two.mean(track.hr_bpm)
    with np.errstate(invalid="ignore"):
        resting = (rising > RESTING_LIFT_MPS) & (heart < RESTING_LIFT_BPM)
    carried = _widened((rising > LIFT_MPS) | resting, climbing > 0.5 * RESTING_LIFT_MPS)
    return {
        Reason.TOO_MUCH_WORK: Spans.from_mask(track.t_s, too_much),
        Reason.CARRIED: Spans.from_mask(track.t_s, carried),
    }


def _widened(core: Mask, around: Mask) -> Mask:
    """The mask with the samples about it that hold what it stands on."""
    out = core.copy()
    for first, last in true_runs(core | around):
        if core[first:last].any():
            out[first:last] = True
    return out
