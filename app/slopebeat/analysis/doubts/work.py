"""Work that cannot be the athlete's: more than anyone keeps up, or climbed by a lift."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.activity import LIFT_MPS
from slopebeat.analysis.doubts.steps import Mask
from slopebeat.model.marks import Reason
from slopebeat.model.numerics import true_runs
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track

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
    whole = _without_break(track, MINUTE_S)
    work = np.where(whole, _running_mean(track, work_w_per_kg, MINUTE_S), 0.0)
    limit = MOST_W_PER_KG[track.on_bike]
    too_much = _widened(work > limit, np.nan_to_num(work_w_per_kg) > limit)
    climbing = np.nan_to_num(track.vertical_speed_mps)
    rising = np.where(_without_break(track, LIFT_S), _running_mean(track, climbing, LIFT_S), 0.0)
    heart = _running_mean(track, track.hr_bpm, LIFT_S)
    with np.errstate(invalid="ignore"):
        resting = (rising > RESTING_LIFT_MPS) & (heart < RESTING_LIFT_BPM)
    carried = _widened((rising > LIFT_MPS) | resting, climbing > 0.5 * RESTING_LIFT_MPS)
    return {
        Reason.TOO_MUCH_WORK: Spans.from_mask(track.t_s, too_much),
        Reason.CARRIED: Spans.from_mask(track.t_s, carried),
    }


def _running_mean(track: Track, values: Array, window_s: float) -> Array:
    """(n,) mean over a centred window, by recorded seconds; NaN where nothing is known."""
    known = np.isfinite(values)
    total = np.concatenate(([0.0], np.cumsum(np.where(known, values, 0.0) * track.recorded_s)))
    weight = np.concatenate(([0.0], np.cumsum(np.where(known, track.recorded_s, 0.0))))
    first, last = _window(track, window_s)
    seconds = weight[last] - weight[first]
    mean = np.full(seconds.shape, np.nan)
    np.divide(total[last] - total[first], seconds, out=mean, where=seconds > 1e-9)
    return mean


def _without_break(track: Track, window_s: float) -> Mask:
    """(n,) whether the window about a sample lies inside the recording and holds neither pause nor gap."""
    broken = np.concatenate(([0.0], np.cumsum(track.pause_s + track.gap_s)))
    first, last = _window(track, window_s)
    t = track.t_s
    inside = (t >= window_s / 2) & (t <= t[-1] - window_s / 2)
    # The window may begin in a pause after the sample before it.
    return np.asarray(inside & (broken[last] == broken[np.maximum(first - 1, 0)]))


def _window(track: Track, window_s: float) -> tuple[np.ndarray, np.ndarray]:
    t = track.t_s
    return np.searchsorted(t, t - window_s / 2), np.searchsorted(t, t + window_s / 2)


def _widened(core: Mask, around: Mask) -> Mask:
    """The mask with the samples about it that hold what it stands on."""
    out = core.copy()
    for first, last in true_runs(core | around):
        if core[first:last].any():
            out[first:last] = True
    return out
