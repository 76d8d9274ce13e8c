"""Distance, speed and stops: who moved, how fast, and when they stood with the timer running."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.cleaning.smoothing import smooth_rate
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.numerics import great_circle_m, zero_where_unknown
from slopebeat.model.outing.records import covered
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array

STANDING_ON_FOOT_MPS = 0.2
"""Slower than this on foot is standing [project choice]: a 40 % climb is walked at about 0.35 m/s."""

STANDING_ON_BIKE_MPS = 0.5
"""Slower than this on a bike is standing [project choice]: nobody stays upright that slowly for long."""

STANDING_CLIMB_MPS = 0.05
"""Rising or falling faster than this (180 m/h) is not standing, whatever the position says
[project choice]."""

SHORTEST_STOP_S = 10.0
"""A shorter standstill is part of moving [project choice]."""

SHORTEST_MOVE_S = 5.0
"""A shorter move between two standstills is part of the stop [project choice]."""

SPEED_SIGMA_S = 5.0
"""Smoothing of distance for speed and stops [project choice]."""

DISPLACEMENT_WINDOW_S = 20.0
"""Satellite jitter adds length while standing; net displacement over this window does not
[project choice]."""


SPREADS = Reason.POSITION_FROZEN


@dataclass(frozen=True, eq=False)
class Movement:
    """(n,) arrays: distance never falling, smoothed horizontal speed, and whether moving."""

    distance_m: Array
    speed_mps: Array
    moving: NDArray[np.bool_]


def movement(
    column: Mapping[str, Array],
    climb_rate_mps: Array,
    broken_s: Array,
    on_bike: bool,
    marks: tuple[Mark, ...] = (),
) -> Movement:
    """Distance, speed and stops from whatever of distance, speed and position the file has.

    Parameters
    ----------
    column : sample columns by name, each (n,), NaN where absent. Distance comes from the recorded
        distance, else from the recorded speed, else from positions.
    climb_rate_mps, broken_s : (n,) rate of the smoothed elevation; pause and gap after each sample.
    marks : marked position jumps add no distance; positions that stood still and jumped have it spread.
    """
    t_s, lat_deg, lon_deg = (column[name] for name in ("t_s", "lat_deg", "lon_deg"))
    walked = _distance(column, broken_s, marks)
    if not np.isfinite(walked).any():
        unknown = np.full(t_s.shape, np.nan)
        return Movement(walked, unknown, np.ones(t_s.shape, dtype=bool))
    plain = smooth_rate(t_s, walked, SPEED_SIGMA_S, broken_s)
    limit = STANDING_ON_BIKE_MPS if on_bike else STANDING_ON_FOOT_MPS
    frozen = [m for m in marks if m.reason is SPREADS]
    known = ~covered(t_s, frozen, Channel.POSITION)
    lat, lon = (np.where(known, x, np.nan) for x in (lat_deg, lon_deg))
    standing = _standing(t_s, plain, lat, lon, climb_rate_mps, limit)
    stops = Spans.from_mask(t_s, standing).bridged(SHORTEST_MOVE_S).at_least(SHORTEST_STOP_S)
    return Movement(walked, np.maximum(plain, 0.0), ~stops.contains(t_s))


def _distance(column: Mapping[str, Array], broken_s: Array, marks: tuple[Mark, ...]) -> Array:
    """Distance along the ground, filled between records and never falling."""
    t, distance, speed = column["t_s"], column["distance_m"], column["speed_mps"]
    lat, lon = column["lat_deg"], column["lon_deg"]
    half = t.size / 2
    if np.count_nonzero(np.isfinite(distance)) >= half:
        known = np.isfinite(distance)
        steps = np.diff(np.interp(t, t[known], distance[known]))
    elif np.count_nonzero(np.isfinite(speed)) >= half:
        known = np.isfinite(speed)
        steps = np.interp(t, t[known], speed[known])[:-1] * np.where(broken_s[:-1] > 0, 0.0, np.diff(t))
    elif np.count_nonzero(np.isfinite(lat) & np.isfinite(lon)) >= half:
        known = np.isfinite(lat) & np.isfinite(lon)
        la, lo = np.interp(t, t[known], lat[known]), np.interp(t, t[known], lon[known])
        steps = great_circle_m(la[:-1], lo[:-1], la[1:], lo[1:])
    else:
        return np.full(t.shape, np.nan)
    for mark in marks:
        if mark.channel is Channel.POSITION and mark.counts:
            here = slice(
                int(np.searchsorted(t[1:], mark.start_s, side="right")),
                int(np.searchsorted(t[:-1], mark.end_s, side="left")),
            )
            steps[here] = _spread(steps[here], np.diff(t)[here]) if mark.reason is SPREADS else 0.0
    return np.concatenate(([0.0], np.cumsum(np.maximum(steps, 0.0))))


def _spread(steps_m: Array, time_s: Array) -> Array:
    """The same way gone at one speed: where the position stood still and jumped it was gone all along."""
    total = float(time_s.sum())
    return np.full(steps_m.shape, float(steps_m.sum()) / total) * time_s if total > 0.0 else steps_m


def _standing(
    t: Array, speed: Array, lat: Array, lon: Array, climb_rate: Array, limit_mps: float
) -> NDArray[np.bool_]:
    slow = zero_where_unknown(speed) < limit_mps
    net = _net_speed(t, lat, lon)
    # Jitter makes a standing track longer, at most by a few times the limit; faster than that is a move
    # on the spot, a switchback or a treadmill.
    slow |= (net < limit_mps) & (speed < 2.5 * limit_mps)
    return slow & ~(np.abs(zero_where_unknown(climb_rate)) > STANDING_CLIMB_MPS)


def _net_speed(t: Array, lat: Array, lon: Array) -> Array:
    """Straight-line displacement over a centred window divided by its length; NaN without positions."""
    known = np.isfinite(lat) & np.isfinite(lon)
    if np.count_nonzero(known) < 2:
        return np.full(t.shape, np.nan)
    before = np.clip(t - DISPLACEMENT_WINDOW_S / 2, t[0], t[-1])
    after = np.clip(t + DISPLACEMENT_WINDOW_S / 2, t[0], t[-1])
    ends = [np.interp(when, t[known], x[known]) for when in (before, after) for x in (lat, lon)]
    if np.ptp(lat[known]) == 0.0 and np.ptp(lon[known]) == 0.0:
        return np.full(t.shape, np.nan)
    return great_circle_m(ends[0], ends[1], ends[2], ends[3]) / (after - before)
