"""Propose marks on ranges of a recording that should not be taken at face value.

The heart rate: spikes, implausible values, frozen and missing stretches, step locking. The ground: places
that jump or stand still, steps of height, climbs with the timer off. And power that is none.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.cleaning.smoothing import smooth_rate
from slopebeat.model.bands import PLAUSIBLE_BPM
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.numerics import great_circle_m, median, true_runs, zero_where_unknown
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import step_rate_per_min
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array

FASTEST_CHANGE_BPM_PER_S = 5.0
"""A first-order response of 80 bpm with a time constant of 20 s changes by at most 4 bpm/s; faster is
doubted [project choice, no published limit]."""

SMALLEST_SPIKE_BPM = 10.0
"""... if it also changes by this much within ``SPIKE_RISE_S``: straps step by 6-8 bpm in one record when
they catch up, and that is no artefact [project choice]."""

SPIKE_RISE_S = 3.0
"""Time a jump takes at most [project choice]."""

SPIKE_PAIR_S = 60.0
"""A jump answered by one back within this time is marked whole; a lone one only around itself
[project choice]."""

SPIKE_MARGIN_S = 2.0
"""Marked before and after a lone jump [project choice]."""

FROZEN_S = 60.0
"""One heart rate for longer than this, while the work changed, is doubted [project choice]."""

FROZEN_SPEED_SHARE = 0.5
"""The work changed when speed ranged over this share of its mean [project choice]."""

FROZEN_CLIMB_MPS = 0.15
"""... or the vertical speed over this much, 540 m/h [project choice]."""

DROP_OUT_S = 5.0
"""Missing heart rate for this long is pointed out [project choice]."""

LOCKED_S = 60.0
"""Following the step rate for this long is doubted [project choice]."""

LOCKED_BPM = 2.0
"""... within this distance of it [project choice]."""

LOCKED_CORRELATION = 0.8
"""... and moving with it beyond a common trend: one equal by chance does not follow single changes of
step [project choice]."""


def heart_rate_marks(column: dict[str, Array], broken_s: Array, on_bike: bool) -> list[Mark]:
    """All marks on heart rate.

    Parameters
    ----------
    column : sample columns by name, each (n,).
    broken_s : (n,) seconds of pause and gap after each sample.
    """
    t, hr = column["t_s"], column["hr_bpm"]
    if not np.isfinite(hr).any():
        return []
    low, high = PLAUSIBLE_BPM
    with np.errstate(invalid="ignore"):
        implausible = (hr < low) | (hr > high)
    found = {
        Reason.IMPLAUSIBLE: Spans.from_mask(t, implausible),
        Reason.SPIKE: _spikes(t, np.where(implausible, np.nan, hr)),
        Reason.DROP_OUT: _drop_outs(t, hr, broken_s),
        Reason.FROZEN: _frozen(t, hr, column, broken_s),
    }
    if not on_bike:
        found[Reason.STEP_LOCKED] = _step_locked(t, hr, column["cadence_rpm"])
    marks = [
        Mark(start, end, Channel.HEART_RATE, reason)
        for reason, spans in found.items()
        for start, end in spans
    ]
    return marks + _last_record(t, implausible, found[Reason.IMPLAUSIBLE])


def _last_record(t: Array, implausible: NDArray[np.bool_], spans: Spans) -> list[Mark]:
    """A mark on an implausible last record, where no range reaches it: it lasts no time of its own."""
    last = float(t[-1])
    if not implausible[-1] or (len(spans) and spans.end_s[-1] >= last):
        return []
    return [Mark(last, last, Channel.HEART_RATE, Reason.IMPLAUSIBLE)]


def _spikes(t: Array, hr: Array) -> Spans:
    known = np.flatnonzero(np.isfinite(hr))
    if known.size < 2:
        return Spans.empty()
    t, hr = t[known], hr[known]
    pairs: list[tuple[float, float]] = []
    marked_until = -np.inf
    jumps = _jumps(t, hr)
    for n, i in enumerate(jumps):
        if t[i] < marked_until:
            continue
        end = _undone_at(t, hr, jumps, n)
        if end is None:
            pairs.append((max(0.0, t[i + 1] - SPIKE_MARGIN_S), t[i + 1] + SPIKE_MARGIN_S))
        else:
            pairs.append((t[i + 1], t[end]))
        marked_until = pairs[-1][1]
    return Spans.from_pairs(pairs)


def _jumps(t: Array, hr: Array) -> list[int]:
    """Records after which the heart rate changes too fast and too far."""
    fast = np.flatnonzero(np.abs(np.diff(hr)) > FASTEST_CHANGE_BPM_PER_S * np.diff(t))
    after = np.searchsorted(t, t[fast] + SPIKE_RISE_S, side="right")
    return [
        int(i)
        for i, end in zip(fast, after, strict=True)
        if np.max(np.abs(hr[i + 1 : max(end, i + 2)] - hr[i])) >= SMALLEST_SPIKE_BPM
    ]


def _undone_at(t: Array, hr: Array, jumps: list[int], n: int) -> int | None:
    """First record after a jump back that undoes at least half of the nth one; None when none does soon."""
    jump = jumps[n]
    change = hr[jump + 1] - hr[jump]
    for j in (jumps[later] for later in range(n + 1, len(jumps))):
        if t[j + 1] - t[jump] > SPIKE_PAIR_S:
            return None
        if (hr[j + 1] - hr[j]) * change < 0 and abs(hr[j + 1] - hr[jump]) < abs(change) / 2:
            return j + 1
    return None


def _drop_outs(t: Array, hr: Array, broken_s: Array) -> Spans:
    missing = np.isnan(hr) & (broken_s == 0.0)
    return Spans.from_mask(t, missing).at_least(DROP_OUT_S)


def _frozen(t: Array, hr: Array, column: dict[str, Array], broken_s: Array) -> Spans:
    same = np.append(np.diff(hr) == 0.0, False) & (broken_s == 0.0)
    spans = Spans.from_mask(t, same).at_least(FROZEN_S)
    if not len(spans):
        return spans
    distance, elevation = column["distance_m"], column["elevation_m"]
    speed = smooth_rate(t, distance, 10.0, broken_s)
    climb = smooth_rate(t, elevation, 10.0, broken_s)
    kept = []
    for start, end in spans:
        here = (t >= start) & (t <= end)
        if _range(speed[here]) > FROZEN_SPEED_SHARE * _mean(speed[here]) or (
            _range(climb[here]) > FROZEN_CLIMB_MPS
        ):
            kept.append((start, end))
    return Spans.from_pairs(kept)


def _step_locked(t: Array, hr: Array, cadence_rpm: Array) -> Spans:
    """Stretches where the heart rate moves with the step rate; recorded cadence counts one leg."""
    steps = step_rate_per_min(cadence_rpm)
    with np.errstate(invalid="ignore"):
        close = np.abs(hr - steps) <= LOCKED_BPM
    spans = Spans.from_mask(t, close).bridged(5.0).at_least(LOCKED_S)
    kept = []
    for start, end in spans:
        here = (t >= start) & (t <= end) & np.isfinite(hr) & np.isfinite(steps)
        if np.count_nonzero(here) < 2:
            continue
        a, b = _without_trend(t[here], hr[here]), _without_trend(t[here], steps[here])
        if a.size > 10 and a.std() > 0 and b.std() > 0 and np.corrcoef(a, b)[0, 1] > LOCKED_CORRELATION:
            kept.append((start, end))
    return Spans.from_pairs(kept)


def _without_trend(t: Array, x: Array) -> Array:
    return np.asarray(x - np.polyval(np.polyfit(t, x, 1), t))


def _range(x: Array) -> float:
    known = x[np.isfinite(x)]
    return float(np.ptp(known)) if known.size else 0.0


def _mean(x: NDArray[np.float64]) -> float:
    known = x[np.isfinite(x)]
    return float(known.mean()) if known.size else 0.0


FROZEN_POSITION_S = 20.0
"""Positions that are equal to the last digit for this long did not come from a receiver [project choice]."""

FROZEN_JUMP_M, FROZEN_JUMP_TIMES = 30.0, 3.0
"""... if then they jump this far, and this many times faster than usual [project choice]."""

TIMER_OFF_M, TIMER_OFF_S = 30.0, 30.0
"""A rise or fall of this much over a pause or gap of this length was not walked with the timer on; where
nobody moved as far sideways it is the weather's [project choice]."""

ZERO_SHARE, ZERO_LEAST_S = 0.95, 60.0
"""Recorded power that is zero for this share of the time moved, of at least a minute, is no power
[project choice]."""


def ground_marks(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    """All marks on positions, on elevation over pauses, and on recorded power.

    Parameters
    ----------
    column : sample columns by name, each (n,). broken_s : (n,) seconds of pause and gap after each sample.
    """
    if column["t_s"].size < 2:
        return []
    return [
        *_frozen_positions(column, broken_s),
        *_timer_off_climbs(column, broken_s),
        *_power_of_zeros(column, broken_s),
    ]


def _frozen_positions(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    """Stretches in which the position stood still up to the record it jumped to."""
    lat, lon = column["lat_deg"], column["lon_deg"]
    known = np.flatnonzero(np.isfinite(lat) & np.isfinite(lon))
    if known.size < 10:
        return []
    t, la, lo = column["t_s"][known], lat[known], lon[known]
    blind = np.concatenate(([0.0], np.cumsum(broken_s)))[known]
    whole = np.diff(blind) == 0.0
    still = (np.diff(la) == 0.0) & (np.diff(lo) == 0.0) & whole
    long = [
        (first, last)
        for first, last in true_runs(still)
        if t[last] - t[first] >= FROZEN_POSITION_S and last < whole.size and whole[last]
    ]
    if not long:
        return []
    step, time = great_circle_m(la[:-1], lo[:-1], la[1:], lo[1:]), np.diff(t)
    usual = _usual_speed(step[whole], time[whole])
    marks = []
    for first, last in long:
        if step[last] >= FROZEN_JUMP_M and step[last] > FROZEN_JUMP_TIMES * usual * time[last]:
            marks.append(_mark(t[first], t[last + 1], Channel.POSITION, Reason.POSITION_FROZEN))
    return marks


def _usual_speed(step_m: Array, time_s: Array) -> float:
    speed = step_m / time_s
    moving = speed[speed > 0.3]
    return max(median(moving), 1.0) if moving.size else 1.0


def _timer_off_climbs(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    t, height, lat, lon = (column[name] for name in ("t_s", "elevation_m", "lat_deg", "lon_deg"))
    off = np.flatnonzero(broken_s[:-1] > TIMER_OFF_S)
    far = great_circle_m(lat[off], lon[off], lat[off + 1], lon[off + 1])
    with np.errstate(invalid="ignore"):
        risen = (np.abs(height[off + 1] - height[off]) >= TIMER_OFF_M) & ~(far < TIMER_OFF_M)
    return [_mark(t[i], t[i + 1], Channel.ELEVATION, Reason.TIMER_OFF_CLIMB) for i in off[risen]]


def _power_of_zeros(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    t, power = column["t_s"], column["power_w"]
    lasts = np.append(np.diff(t), 0.0) - broken_s
    moved = np.append(zero_where_unknown(np.diff(column["distance_m"])) > 0.0, False) & np.isfinite(power)
    if lasts[moved].sum() < ZERO_LEAST_S:
        return []
    zero = float(lasts[moved & (zero_where_unknown(power) <= 0.0)].sum() / lasts[moved].sum())
    return [_mark(t[0], t[-1], Channel.POWER, Reason.NO_POWER)] if zero > ZERO_SHARE else []


def _mark(start_s: float, end_s: float, channel: Channel, reason: Reason) -> Mark:
    return Mark(float(start_s), float(end_s), channel, reason)


FASTEST_ON_FOOT_MPS = 12.0
"""Faster than any runner (sprint world records average under 10.5 m/s): a jump of the position."""

FASTEST_ON_BIKE_MPS = 40.0
"""Faster than a descent on a road bike [project choice]: a jump of the position."""

STEEPEST_STEP_MPS = 5.0
"""Vertical speed no walker or rider keeps over one record [project choice]."""

SMALLEST_STEP_M = 8.0
"""Smaller steps of elevation are noise to be smoothed, not marked [project choice]."""

SHORTEST_STEP_S = 5.0
"""A step happens within this time; a longer silence may hide a real ascent [project choice]."""


def find_marks(recording: Recording, broken_s: Array, on_bike: bool) -> tuple[Mark, ...]:
    """Every doubted range, in order of time.

    Parameters
    ----------
    broken_s : (n,) seconds of pause and gap after each sample.
    """
    column = dict(recording.samples)
    marks = heart_rate_marks(column, broken_s, on_bike)
    # A named sport that is neither, like skiing, may be as fast as a bike.
    marks += _position_jumps(column, broken_s, on_bike or recording.sport is Sport.OTHER)
    marks += _elevation_steps(column["t_s"], column["elevation_m"])
    marks += ground_marks(column, broken_s)
    return tuple(sorted(marks, key=lambda mark: (mark.start_s, mark.channel)))


def _position_jumps(column: dict[str, Array], broken_s: Array, fast: bool) -> list[Mark]:
    """Steps of distance, else of position, no one covers in the time; also the record after a restart,
    whose speed spans the pause."""
    t = column["t_s"]
    if t.size < 2:
        return []
    step = np.diff(column["distance_m"])
    if not np.isfinite(step).any():
        lat, lon = column["lat_deg"], column["lon_deg"]
        step = great_circle_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    limit = FASTEST_ON_BIKE_MPS if fast else FASTEST_ON_FOOT_MPS
    with np.errstate(invalid="ignore"):
        jumps = np.flatnonzero(step > limit * np.diff(t))
    paused = broken_s > 0.0
    restarted = paused | np.concatenate(([False], paused[:-1]))
    reasons = (Reason.AFTER_RESTART if restarted[i] else Reason.POSITION_JUMP for i in jumps)
    return [_mark(t[i], t[i + 1], Channel.POSITION, why) for i, why in zip(jumps, reasons, strict=True)]


def _elevation_steps(t: Array, elevation: Array) -> list[Mark]:
    """Steps between two neighbouring elevations, like a barometer being calibrated."""
    known = np.flatnonzero(np.isfinite(elevation))
    if known.size < 2:
        return []
    at = t[known]
    rise, time = np.abs(np.diff(elevation[known])), np.diff(at)
    steps = (rise > SMALLEST_STEP_M) & (rise > STEEPEST_STEP_MPS * time) & (time <= SHORTEST_STEP_S)
    found = np.flatnonzero(steps)
    return [_mark(at[i], at[i + 1], Channel.ELEVATION, Reason.ELEVATION_STEP) for i in found]
