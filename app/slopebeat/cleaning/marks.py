"""Propose marks on ranges of a recording that should not be taken at face value.

Here for places that jump or stand still, steps of height, climbs with the timer off, and power that is none.
"""

from __future__ import annotations

import numpy as np

from slopebeat.cleaning.heart_rate import heart_rate_marks
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.track import Array

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
    step, time = great_circle_m(la[:-1], lo[:-1], la[1:], lo[1:]), np.diff(t)
    whole = np.diff(blind) == 0.0
    still = (np.diff(la) == 0.0) & (np.diff(lo) == 0.0) & whole
    usual = _usual_speed(step[whole], time[whole])
    marks = []
    for first, last in _runs(still):
        if t[last] - t[first] < FROZEN_POSITION_S or last >= step.size or not whole[last]:
            continue
        if step[last] >= FROZEN_JUMP_M and step[last] > FROZEN_JUMP_TIMES * usual * time[last]:
            marks.append(_mark(t[first], t[last + 1], Channel.POSITION, Reason.POSITION_FROZEN))
    return marks


def _usual_speed(step_m: Array, time_s: Array) -> float:
    speed = step_m / time_s
    moving = speed[speed > 0.3]
    return max(float(np.median(moving)), 1.0) if moving.size else 1.0


def _timer_off_climbs(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    t, height = column["t_s"], column["elevation_m"]
    far = great_circle_m(
        column["lat_deg"][:-1], column["lon_deg"][:-1], column["lat_deg"][1:], column["lon_deg"][1:]
    )
    with np.errstate(invalid="ignore"):
        risen = (np.abs(np.diff(height)) >= TIMER_OFF_M) & (broken_s[:-1] > TIMER_OFF_S)
        risen &= ~(far < TIMER_OFF_M)
    return [_mark(t[i], t[i + 1], Channel.ELEVATION, Reason.TIMER_OFF_CLIMB) for i in np.flatnonzero(risen)]


def _power_of_zeros(column: dict[str, Array], broken_s: Array) -> list[Mark]:
    t, power = column["t_s"], column["power_w"]
    lasts = np.append(np.diff(t), 0.0) - broken_s
    moved = np.append(np.nan_to_num(np.diff(column["distance_m"])) > 0.0, False) & np.isfinite(power)
    if lasts[moved].sum() < ZERO_LEAST_S:
        return []
    zero = float(lasts[moved & (np.nan_to_num(power) <= 0.0)].sum() / lasts[moved].sum())
    return [_mark(t[0], t[-1], Channel.POWER, Reason.NO_POWER)] if zero > ZERO_SHARE else []


def _runs(mask: np.ndarray) -> list[tuple[int, int]]:
    """First index and the one after the last of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.astype(int), [0]))))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


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
    samples = recording.samples
    column = {name: samples[name] for name in samples.columns}
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
    after_pause = np.concatenate(([False], broken_s[:-1] > 0.0))
    return [
        Mark(
            float(t[i]),
            float(t[i + 1]),
            Channel.POSITION,
            Reason.AFTER_RESTART if broken_s[i] > 0.0 or after_pause[i] else Reason.POSITION_JUMP,
        )
        for i in jumps
    ]


def _elevation_steps(t: Array, elevation: Array) -> list[Mark]:
    """Steps between two neighbouring elevations, like a barometer being calibrated."""
    known = np.flatnonzero(np.isfinite(elevation))
    if known.size < 2:
        return []
    rise, time = np.abs(np.diff(elevation[known])), np.diff(t[known])
    steps = (rise > SMALLEST_STEP_M) & (rise > STEEPEST_STEP_MPS * time) & (time <= SHORTEST_STEP_S)
    return [
        Mark(float(t[known[i]]), float(t[known[i + 1]]), Channel.ELEVATION, Reason.ELEVATION_STEP)
        for i in np.flatnonzero(steps)
    ]
