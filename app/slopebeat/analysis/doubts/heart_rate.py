"""Heart rate that one recording, or earlier outings, show to be wrong, beside what single records show.

Every threshold is a project choice, made where heart rate was labelled by hand: few stretches are doubted,
and nearly all of them are wrong; most of what is wrong lies within 15 bpm of what work explains and stays
unseen.

One recording shows it by itself; earlier outings show it where they held such work, ground and hours.
"""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.activity import RUN_STEPS_PER_MIN
from slopebeat.analysis.doubts.steps import Mask, OutingSteps, filled, lasting
from slopebeat.analysis.response.grid import STEP_S
from slopebeat.analysis.response.prediction import EarlierFits
from slopebeat.analysis.response.priors import DRIFT_BPM_PER_H, STANDING_BPM
from slopebeat.analysis.response.work_rate import STANDING_W
from slopebeat.model.marks import Reason
from slopebeat.model.numerics import median, running_median, true_runs, zero_where_unknown
from slopebeat.model.track import Array

RESTING_BPM = 100.0
"""Once the start is over nobody runs at a lower heart rate than this [project choice]."""

LEAST_S, BRIDGED_S = 60.0, 20.0
"""A doubtful stretch lasts this long, breaks of the second length bridged [project choice]."""

FAR_BELOW_BPM, FAR_ABOVE_BPM = 40.0, 30.0
"""Off the outing's own line [project choice]."""

HILLY_SHARE = 0.15
"""Share of steep ground above which the own line is not asked [project choice]."""

ERRATIC_BPM_PER_S, ERRATIC_S = 2.5, 20.0
"""Changes from record to record, as a mean, that go on for this long [project choice]."""

STEPS_BPM, STEPS_OFF_BPM = 2.0, 12.0
"""As many beats as steps within the first, and the second above the line: they are the steps
[project choice]."""

STUCK_WORK_SHARE = 0.25
"""One value for a minute is doubted where work ranged over this share of its mean [project choice]."""

JUMP_BPM, JUMP_S, JUMP_LEAST_S = 25.0, 10.0, 30.0
"""No heart jumps so far in such a time of steady going; what is doubted lasts at least the last
[project choice]."""

SIDE_BPM = 15.0
"""One side of a jump is nearer the line by at least this, and the doubt ends where the line is as near
[project choice]."""

LEAST_GAIN, MOST_GAIN = 2.0, 30.0
"""Limits of the own line's slope, bpm per W/kg; it starts standing, and drifts [project choice]."""


def own_line(steps: OutingSteps, doubted: Mask) -> Array | None:
    """(m,) heart rate work asks for as far as one outing tells: a line from standing through its medians.

    None with less than five minutes of moving to draw it through.
    """
    used = steps.live & (steps.t_s > START_OF_LINE_S) & (steps.moving_s > STEP_S / 2) & ~doubted
    if np.count_nonzero(used) * STEP_S < 300.0:
        return None
    work, hours = steps.inputs[:, 0], steps.inputs[:, 4]
    usual, middle = median(steps.hr_bpm[used]), median(work[used])
    rest = STANDING_W[steps.on_bike]
    gain = np.clip((usual - STANDING_BPM) / max(middle - rest, 0.8), LEAST_GAIN, MOST_GAIN)
    drift = DRIFT_BPM_PER_H * np.clip(hours - median(hours[used]), -2.0, 2.0)
    return np.asarray(np.maximum(usual + gain * (work - middle) + drift, 60.0))


START_OF_LINE_S = 180.0
"""The line is drawn through what comes after this [project choice]."""


def doubts_alone(steps: OutingSteps, running: bool) -> dict[Reason, Mask]:
    """Stretches one recording shows by itself to be wrong.

    Parameters
    ----------
    running : whether the outing was a run; only of runs the own line is asked.
    """
    hr, ok, beats = steps.hr_bpm, steps.live, zero_where_unknown(steps.steps_per_min)
    found: dict[Reason, Mask] = {}
    if not steps.on_bike:
        low = (filled(hr, 5) < RESTING_BPM) & (beats > RUN_STEPS_PER_MIN) & (steps.t_s > START_OF_LINE_S)
        found[Reason.RESTING_RUN] = lasting(ok & low, LEAST_S, 30.0)
    found[Reason.ERRATIC] = lasting(
        ok & (filled(steps.change_bpm_per_s, 5) > ERRATIC_BPM_PER_S), ERRATIC_S, 10.0
    )
    hilly = not ok.any() or float(np.mean(~steps.gentle[ok])) > HILLY_SHARE
    own = own_line(steps, found.get(Reason.RESTING_RUN, np.zeros(hr.size, bool))) if running else None
    if own is not None and not hilly and not steps.on_bike:
        off = filled(hr - own)
        low = steps.settled & steps.gentle & steps.going & (off < -FAR_BELOW_BPM)
        high = steps.gentle & (steps.t_s > 60.0) & (off > FAR_ABOVE_BPM)
        found[Reason.FAR_BELOW] = lasting(ok & low, LEAST_S, BRIDGED_S)
        found[Reason.FAR_ABOVE] = lasting(ok & high, LEAST_S, BRIDGED_S)
        like_steps = (np.abs(hr - beats) <= STEPS_BPM) & (beats > RUN_STEPS_PER_MIN)
        found[Reason.STEP_LOCKED] = lasting(
            ok & steps.settled & like_steps & (off > STEPS_OFF_BPM), LEAST_S, 10.0
        )
    found[Reason.FROZEN] = _stuck(steps)
    return found


def _stuck(steps: OutingSteps) -> Mask:
    same = np.append(False, np.abs(np.diff(steps.hr_bpm)) < 1e-9)
    same &= np.nan_to_num(steps.change_bpm_per_s, nan=1.0) < 1e-9
    out = np.zeros(same.size, dtype=bool)
    for first, last in true_runs(lasting(same & steps.live, LEAST_S)):
        work = steps.work[first:last]
        change = np.ptp(running_median(work, 3, "symmetric"))
        out[first:last] = change > STUCK_WORK_SHARE * max(float(work.mean()), 1.0)
    return out


def wrong_side(steps: OutingSteps, line: Array | None) -> Mask:
    """At every jump no heart makes, the side further from a line, until it is back or jumps again."""
    out = np.zeros(steps.hr_bpm.size, dtype=bool)
    if line is None or not np.isfinite(line).all():
        return out
    off = filled(steps.hr_bpm, 3) - line
    for first, last in _jumps(steps):
        before, after = (
            abs(float(np.median(off[last - 12 : first]))),
            abs(float(np.median(off[last : last + 12]))),
        )
        if abs(after - before) < SIDE_BPM:
            continue
        step, at = (1, last) if after > before else (-1, first)
        while 0 <= at < out.size and abs(off[at]) > SIDE_BPM and steps.live[at]:
            out[at] = True
            at += step
    return lasting(out & steps.going, JUMP_LEAST_S, 10.0)


def _jumps(steps: OutingSteps) -> list[tuple[int, int]]:
    """Steps between which the heart rate jumped while going; a start may rise as it likes."""
    hr, count = filled(steps.hr_bpm, 3), int(JUMP_S / STEP_S)
    live, going, settled = steps.live, steps.going, steps.settled
    found = []
    for last in range(12, hr.size - 12):
        first = last - count
        if abs(hr[last] - hr[first]) < JUMP_BPM or not going[last]:
            continue
        if not live[first : last + 1].all() or steps.recorded_s[first : last + 1].min() <= 2.0:
            continue
        if settled[last] or hr[last] <= hr[first]:
            found.append((first, last))
    return found


BELOW_BPM, BELOW_SDS, ABOVE_BPM, ABOVE_SDS = 15.0, 3.0, 25.0, 4.0
"""How far off is doubted: the larger of the two, and none where the spread makes it a wide one
[project choice]."""

MOST_BELOW_BPM, MOST_ABOVE_BPM = 31.0, 41.0
"""Earlier outings that predict so loosely that the limit would be wider show nothing [project choice]."""

SURE_TIMES = 1.33
"""A low heart rate is doubted for two minutes at the limit, for one at so many times the limit
[project choice]."""


def doubts_by_earlier(steps: OutingSteps, learnt: EarlierFits, line: Array) -> dict[Reason, Mask]:
    """Stretches further from ``line`` (m,), which earlier outings predict, than a day explains."""
    off = filled(steps.hr_bpm - line)
    ok = steps.live & learnt.known(steps.inputs) & steps.settled
    found: dict[Reason, Mask] = {}
    spread = learnt.spread_bpm
    low, high = max(BELOW_BPM, BELOW_SDS * spread), max(ABOVE_BPM, ABOVE_SDS * spread)
    if low < MOST_BELOW_BPM:
        long = lasting(ok & (off < -low), 2.0 * LEAST_S, BRIDGED_S)
        found[Reason.BELOW_EARLIER] = long | lasting(ok & (off < -SURE_TIMES * low), LEAST_S, BRIDGED_S)
    if high < MOST_ABOVE_BPM:
        found[Reason.ABOVE_EARLIER] = lasting(ok & (off > high), LEAST_S, BRIDGED_S)
    return found
