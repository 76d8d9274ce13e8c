"""A loop on a way that may be gone again: ends drawn by hand, moved to where they meet on the ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.route import Route
from slopebeat.model.track import Array
from slopebeat.review.planning.planning import CLOSED_WITHIN_M
from slopebeat.review.words.names import on_way

SNAP_STEP_M = 10.0
"""Ends lie on whole steps of this [project choice]."""

SNAP_SHARE, LEAST_SNAP_M, MOST_SNAP_M = 0.02, 50.0, 300.0
"""An end moves by at most this share of the way, within these bounds [project choice]."""

MOVE_COST = 0.2
"""Metres between the ends that a metre of moving them is worth: a hand is not moved for nothing
[project choice]."""

SHORTEST_LOOP_M = 100.0
"""A shorter stretch is no loop [project choice]."""


@dataclass(frozen=True)
class Loop:
    """A stretch of the way; ``apart_m`` between its ends on the ground, None without positions."""

    start_m: float
    end_m: float
    apart_m: float | None

    @property
    def closed(self) -> bool | None:
        """Whether the ends meet; None where nobody knows."""
        return None if self.apart_m is None else self.apart_m <= CLOSED_WITHIN_M


def snapped_loop(route: Route, start_m: float, end_m: float) -> Loop:
    """A loop drawn by hand with its ends moved, within reach, to where they lie closest together.

    Parameters
    ----------
    start_m, end_m : along the route, in either order; what lies past its ends is cut off.

    Raises
    ------
    UserError
        For a stretch shorter than ``SHORTEST_LOOP_M``.
    """
    low, high = sorted(min(max(at, 0.0), route.length_m) for at in (start_m, end_m))
    _check(low, high)
    if not np.isfinite(route.lat_deg).all():
        return Loop(_rounded(low), min(_rounded(high), route.length_m), None)
    reach = min(max(SNAP_SHARE * route.length_m, LEAST_SNAP_M), MOST_SNAP_M, (high - low) / 3.0)
    starts, ends = (_places(at, reach, route.length_m) for at in (low, high))
    apart = _apart(route, starts, ends)
    moved = np.abs(starts - low)[:, None] + np.abs(ends - high)[None, :]
    first, last = np.unravel_index(int(np.argmin(apart + MOVE_COST * moved)), apart.shape)
    return Loop(float(starts[first]), float(ends[last]), float(apart[first, last]))


def loop_at(route: Route, start_m: float, end_m: float) -> Loop:
    """A loop with its ends exactly there.

    Raises
    ------
    UserError
        For a stretch that does not lie on the way or is shorter than ``SHORTEST_LOOP_M``.
    """
    start_m, end_m = max(start_m, 0.0), min(end_m, route.length_m)
    _check(start_m, end_m)
    if not np.isfinite(route.lat_deg).all():
        return Loop(start_m, end_m, None)
    return Loop(start_m, end_m, float(_apart(route, np.array([start_m]), np.array([end_m]))[0, 0]))


def _check(start_m: float, end_m: float) -> None:
    if end_m - start_m < SHORTEST_LOOP_M:
        text = tr("A loop is at least {length} long; mark a longer stretch.")
        raise UserError(text.format(length=on_way(SHORTEST_LOOP_M)))


def _rounded(at_m: float) -> float:
    return SNAP_STEP_M * round(at_m / SNAP_STEP_M)


def _places(at_m: float, reach_m: float, length_m: float) -> Array:
    """Whole steps within reach of a place, and both ends of the way where they are."""
    first, last = max(at_m - reach_m, 0.0), min(at_m + reach_m, length_m)
    steps = SNAP_STEP_M * np.arange(np.ceil(first / SNAP_STEP_M), np.floor(last / SNAP_STEP_M) + 1)
    return np.unique(np.concatenate([steps, [length_m] if last == length_m else [], [_rounded(at_m)]])).clip(
        0.0, length_m
    )


def _apart(route: Route, starts: Array, ends: Array) -> Array:
    """(k, l) metres on the ground between places along the way."""
    lat, lon = (
        [np.interp(at, route.distance_m, values) for at in (starts, ends)]
        for values in (route.lat_deg, route.lon_deg)
    )
    return np.asarray(great_circle_m(lat[0][:, None], lon[0][:, None], lat[1][None, :], lon[1][None, :]))
