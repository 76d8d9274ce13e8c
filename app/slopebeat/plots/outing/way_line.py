"""A way in metres: as much of it as is drawn, beside itself, so that there and back lie apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.track import Array
from slopebeat.plots.outing.lines import extent_m, thinned

THIN_SHARE = 1 / 500
"""Points nearer to the last one drawn than this share of the plan's extent are left out: about a
pixel [project choice]."""

APART_PX = 3.0
"""A line lies so far to the right of where it was gone, so there and back are twice as far apart, which
leaves the widest of them a gap [project choice]."""

REACH_PX = 6.0
"""The direction of travel is that of so much way before and behind: steps of a pixel point anywhere
[project choice]."""


@dataclass(frozen=True, eq=False)
class Line:
    """What is drawn of a way: samples (n,) in order, their place in metres and state of the band.

    ``breaks`` are the numbers among them after which nothing was recorded for a while.
    """

    sample: NDArray[np.intp]
    east_m: Array
    north_m: Array
    state: NDArray[np.int8]
    breaks: NDArray[np.intp]


def line_of(east: Array, north: Array, state: NDArray[np.int8], break_after: NDArray[np.intp]) -> Line:
    """The line through all places of a track (n,), thinned."""
    kept = thinned(east, north, state, THIN_SHARE * extent_m(east, north))
    breaks = np.searchsorted(kept, break_after, side="right") - 1
    breaks = np.unique(breaks[(breaks >= 0) & (breaks < kept.size)])
    return Line(kept, east[kept], north[kept], state[kept], breaks)


def to_the_right(east_m: Array, north_m: Array, metres_per_px: float) -> tuple[Array, Array]:
    """How far east and north each place of a way (n,) is drawn beside itself, in metres.

    The places are known ones in the order of travel. Where the way does not go anywhere the shift is zero.
    """
    if east_m.size < 2:
        return np.zeros(east_m.shape), np.zeros(east_m.shape)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_m), np.diff(north_m)))])
    reach, own = REACH_PX * metres_per_px, np.arange(along.size)
    behind = np.minimum(np.searchsorted(along, along - reach), np.maximum(own - 1, 0))
    ahead = np.searchsorted(along, along + reach, side="right") - 1
    ahead = np.maximum(ahead, np.minimum(own + 1, along.size - 1))
    over_m, up_m = east_m[ahead] - east_m[behind], north_m[ahead] - north_m[behind]
    length = np.hypot(over_m, up_m)
    share = np.divide(APART_PX * metres_per_px, length, out=np.zeros(length.shape), where=length > 0.0)
    return up_m * share, -over_m * share
