"""Places: what ground gone twice is cut into, once and for all, and where an outing goes over one."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from slopebeat.analysis.account.climbs import SMALLEST_GAIN_M, climbs_on_line
from slopebeat.analysis.ground.align import together
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.way import CLIMB, POINT_M, STRETCH, PassFigures, Way, WayPoints

LEAST_STRETCH_M = 500.0
"""A shorter stretch of way gone together is not kept as a place, unless it is a climb [project choice]."""

LEAST_CLIMB_M = 100.0
"""A climb is kept from this length on; with the smallest gain it then is steeper than any road
[project choice]."""

PIECE_M = {False: 1000.0, True: 3000.0}
"""On foot and on a bike long stretches are cut into pieces of about this length, five to fifteen minutes:
whoever turns off half way has still gone over some of them [project choice]."""

WHOLE_WITHIN_M, WHOLE_WITHIN_SHARE = 40.0, 0.06
"""A place is gone over when its ends are missed by no more than this length or this share of it
[project choice]."""

HEIGHT_APART_M, HEIGHT_APART_SHARE = 30.0, 0.3
"""A pass that rises otherwise than the place by more than this, or than this share of its rise, is over other
ground: a road on a bridge, a lift beside a path [project choice]; barometers and receivers err by less."""

FIRST_MINUTE_S = 60.0
"""Heart rate still answers what was before the place for about a minute: time constants on foot are near 60 s
(Hunt 2015, as for the fit of the heart rate)."""

LEAST_HEART_S = 60.0
"""Trusted heart rate after the first minute, for a mean of it to be given [project choice]."""


@dataclass(frozen=True)
class Cut:
    """A place on the way it is first found on: from point ``first`` to point ``last``."""

    first: int
    last: int
    kind: str
    gain_m: float | None

    @property
    def length_m(self) -> float:
        return POINT_M * (self.last - self.first)


def cut_places(way: Way, first: int, last: int) -> tuple[Cut, ...]:
    """The places a stretch of a way that was gone before is cut into.

    Climbs of the way are places of their own, as far as they lie in the stretch; what is between them is cut
    into even pieces, and what is shorter than a place is left.
    """
    bounds = {first, last}
    for foot, top in climbs_along(way):
        bounds |= {int(np.clip(each, first, last)) for each in (foot, top)}
    ends = sorted(bounds)
    found: list[Cut] = []
    for begin, end in pairwise(ends):
        cut = _cut(way, begin, end)
        if cut.kind == CLIMB and cut.length_m >= LEAST_CLIMB_M:
            found.append(cut)
        elif cut.length_m >= LEAST_STRETCH_M:
            count = max(round(cut.length_m / PIECE_M[way.facts.on_bike]), 1)
            edges = np.linspace(begin, end, count + 1).round().astype(int).tolist()
            found += [_cut(way, a, b) for a, b in pairwise(edges)]
    return tuple(found)


def _cut(way: Way, first: int, last: int) -> Cut:
    rise = float(way.values.elevation_m[last] - way.values.elevation_m[first])
    if not np.isfinite(rise):
        return Cut(first, last, STRETCH, None)
    return Cut(first, last, CLIMB if _is_climb(rise, last - first) else STRETCH, rise)


def _is_climb(rise_m: float, points: int) -> bool:
    return rise_m >= max(SMALLEST_GAIN_M, CLIMBING_GRADE * POINT_M * points)


def climbs_along(way: Way) -> tuple[tuple[int, int], ...]:
    """First and last point of each climb of a way."""
    values, count = way.values, len(way)
    if count < 2:
        return ()
    # From one piece to the next nobody knows what was climbed.
    hole = np.append(np.diff(way.points.piece) != 0, False)
    found = climbs_on_line(values.t_s, POINT_M * np.arange(count, dtype=float), values.elevation_m, hole)
    return tuple((round(c.start_m / POINT_M), round(c.end_m / POINT_M)) for c in found)


def times_passed(place: WayPoints, way: WayPoints) -> tuple[tuple[int, int], ...]:
    """First and last point on a way of each time it goes over a place from end to end, in order."""
    if len(place) < 2:
        return ()
    allowed = max(WHOLE_WITHIN_M, WHOLE_WITHIN_SHARE * POINT_M * (len(place) - 1)) / POINT_M
    least_m = POINT_M * max(len(place) - 1 - 2.0 * allowed, 3.0)
    found = [
        (int(each.other[0]), int(each.other[-1]))
        for each in together(place, way, least_m)
        if each.one[0] <= allowed and each.one[-1] >= len(place) - 1 - allowed
    ]
    kept: list[tuple[int, int]] = []
    for first, last in sorted(found):
        # Not what lies in one before.
        if not kept or first >= kept[-1][1]:
            kept.append((first, last))
    return tuple(kept)


def similar_rises(way: Way, first: int, last: int, gain_m: float | None) -> bool:
    """Whether a part of a way rises as a place does; yes where either is not known."""
    rise_m = float(way.values.elevation_m[last] - way.values.elevation_m[first])
    if gain_m is None or not np.isfinite(rise_m):
        return True
    return abs(rise_m - gain_m) <= max(HEIGHT_APART_M, HEIGHT_APART_SHARE * abs(gain_m))


def pass_figures(way: Way, first: int, last: int, gain_m: float | None) -> PassFigures:
    """What was measured from one point of a way to another.

    Parameters
    ----------
    gain_m : of the place: a pass is as high as the ground, whatever its barometer says.
    """
    values, here = way.values, slice(first, last)
    since_s = values.t_s[here] - values.t_s[first]
    moving_s = values.moving_s[here]
    heart = (since_s >= FIRST_MINUTE_S) & np.isfinite(values.hr_bpm[here])
    weight = np.where(heart, moving_s, 0.0)
    moved_s, heart_s = float(moving_s.sum()), float(weight.sum())
    work = values.work_w_per_kg[here]
    enough = heart_s >= LEAST_HEART_S
    hr = _mean(values.hr_bpm[here], weight) if enough else None
    gone = moved_s > 0.0
    climbed_m = gain_m if gain_m is not None and _is_climb(gain_m, last - first) else None
    return PassFigures(
        start_s=float(values.t_s[first]),
        elapsed_s=float(values.t_s[last] - values.t_s[first]),
        moving_s=moved_s,
        heart_s=heart_s,
        hr_bpm=hr,
        work_w_per_kg=_mean(work, weight) if enough and np.isfinite(work[heart]).all() else None,
        speed_mps=POINT_M * (last - first) / moved_s if gone else None,
        climb_m_per_h=climbed_m / moved_s * 3600.0 if gone and climbed_m is not None else None,
        load_kg=float(values.load_kg[first]),
        from_ends_m=_from_ends_m(way.points, first, last),
    )


def _from_ends_m(points: WayPoints, first: int, last: int) -> float:
    """Least distance as the crow flies from a part of a way to where all of it begins or ends."""
    here = points.part(first, last)
    ends = (points.part(0, 0), points.part(len(points) - 1, len(points) - 1))
    away = [great_circle_m(here.lat_deg, here.lon_deg, each.lat_deg, each.lon_deg) for each in ends]
    return float(min(each.min() for each in away))


def _mean(values: np.ndarray, weight: np.ndarray) -> float:
    return float(np.sum(np.where(weight > 0.0, values, 0.0) * weight) / weight.sum())
