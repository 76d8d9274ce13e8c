"""Doubts about positions that stand still, climbs with the timer off, and power that is none."""

from __future__ import annotations

import numpy as np

from slopebeat.model.geodesy import great_circle_m
from slopebeat.model.marks import Channel, Mark, Reason
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
