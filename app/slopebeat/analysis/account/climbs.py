"""Climbs of an outing: where they are and how steep."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.windows import value_at
from slopebeat.model.numerics import turning_points
from slopebeat.model.track import CLIMBING_GRADE, Array, Track

SMALLEST_GAIN_M = 30.0
"""A climb gains at least this much [project choice]."""

STEEPEST_MEAN_GRADE = 1.0
"""A mean grade over this is a lift, or weather changing the barometer while someone stands
[project choice]."""

BRIDGED_DIP_M = 10.0
"""Dips smaller than this do not end a climb [project choice] ..."""

BRIDGED_DIP_SHARE = 0.15
"""... nor do dips smaller than this share of the whole gain [project choice]."""

STEEPEST_OVER_M = 100.0
"""Length the steepest stretch of a climb is measured over."""

TOP_WITHIN_M, LINGER_S = 1.0, 120.0
"""The top is reached where the elevation first comes this near to its highest, if the last bit then takes so
long: that is milling about, or the weather in the barometer, and no climbing. At 3 % a walker gains a metre
in half a minute [project choice]."""

LONGEST_STEP_M = 50.0
"""A longer step between two records shows no ground: half of what the steepest stretch is measured over
[project choice]."""


@dataclass(frozen=True)
class Climb:
    """One climb; None where the recording or the band does not say.

    Attributes
    ----------
    start_s, end_s : foot and top, seconds from the first record; start_m, end_m along the ground. The climb
        ends when its top is first reached; a rest taken there is no part of it.
    foot_m, top_m : smoothed elevation there; gain_m their difference, less what rose while the timer was off
        or nothing was recorded.
    length_m : distance along the ground; grade_mean and grade_steepest (over any 100 m) over ground that was
        really covered, record by record: where the distance stands still nothing is steep.
    vertical_speed_m_per_h : gain over the moving time.
    moving_s, standing_s : recorded time from foot to top, going and standing; pauses are neither.
    hr_foot_bpm, hr_top_bpm : heart rate there; hr_mean_bpm, hr_max_bpm : of the trusted heart rate between.
    above_s : seconds over the band; share_above of the time with trusted heart rate.
    time_to_exit_s : from the foot to leaving the band upward, 0 where the foot was already above it;
        exit_grade, exit_speed_mps just before it.
    return_s : from the top until the heart rate is no longer above the band.
    """

    start_s: float
    end_s: float
    start_m: float
    end_m: float
    foot_m: float
    top_m: float
    gain_m: float
    length_m: float
    grade_mean: float
    grade_steepest: float | None
    vertical_speed_m_per_h: float | None
    moving_s: float = 0.0
    standing_s: float = 0.0
    hr_mean_bpm: float | None = None
    hr_max_bpm: float | None = None
    hr_foot_bpm: float | None = None
    hr_top_bpm: float | None = None
    above_s: float | None = None
    share_above: float | None = None
    time_to_exit_s: float | None = None
    exit_grade: float | None = None
    exit_speed_mps: float | None = None
    return_s: float | None = None

    @property
    def above_at_foot(self) -> bool:
        """Whether the heart rate was over the band before the climb began."""
        return self.time_to_exit_s == 0.0


def find_climbs(track: Track) -> tuple[Climb, ...]:
    """Every climb of the outing, in order, without what needs a band.

    Valleys and peaks at least ``BRIDGED_DIP_M`` apart are found first, small dips between two rises are
    bridged, and each rise is cut down to the stretch that gains most over the gentlest grade.
    """
    known = np.flatnonzero(np.isfinite(track.elevation_m) & np.isfinite(track.distance_m))
    if known.size < 2:
        return ()
    z, d, t = track.elevation_m[known], track.distance_m[known], track.t_s[known]
    found = []
    turns = turning_points(z, BRIDGED_DIP_M).tolist()
    rises = [(a, b) for a, b in pairwise(turns) if z[b] > z[a]]
    for low, high in _bridged(z, rises):
        found += [
            _without_rests(track, int(known[a]), int(known[_first_reached(z, t, a, b)]))
            for a, b in _steepest_parts(z, d, low, high)
            if z[b] - z[a] >= SMALLEST_GAIN_M
            and CLIMBING_GRADE * (d[b] - d[a]) <= z[b] - z[a] <= STEEPEST_MEAN_GRADE * (d[b] - d[a])
        ]
    measured = (_measure(track, foot, top) for foot, top in found)
    # What was not gone on foot or by bike may have made a climb of gentle ground.
    return tuple(c for c in measured if c.gain_m >= SMALLEST_GAIN_M and c.grade_mean >= CLIMBING_GRADE)


def climbs_on_line(
    t_s: Array, distance_m: Array, elevation_m: Array, hole: NDArray[np.bool_]
) -> tuple[Climb, ...]:
    """Climbs of a way known by its points (n,) alone, always going on.

    Parameters
    ----------
    t_s : when each is passed, never falling. hole : where nothing is known of the way to the next point.
    """
    step_s = np.diff(t_s, append=t_s[-1])
    zeros, unknown = np.zeros(t_s.size), np.full(t_s.size, np.nan)
    track = Track(
        t_s=t_s,
        recorded_s=np.where(hole, 0.0, step_s),
        pause_s=zeros,
        gap_s=np.where(hole, step_s, 0.0),
        hr_bpm=unknown,
        elevation_m=elevation_m,
        distance_m=distance_m,
        speed_mps=unknown,
        grade=unknown,
        vertical_speed_mps=unknown,
        moving=np.ones(t_s.size, dtype=bool),
        power_w=unknown,
        on_bike=False,
    )
    return find_climbs(track)


def _bridged(z: Array, rises: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Join neighbouring rises over the smallest dips first, as long as the dip is small enough."""
    joined = list(rises)
    while True:
        best = None
        for i in range(len(joined) - 1):
            (foot, top), (next_foot, next_top) = joined[i], joined[i + 1]
            dip = z[top] - z[next_foot]
            still_rising = z[next_top] > z[top] and z[next_foot] > z[foot]
            limit = max(BRIDGED_DIP_M, BRIDGED_DIP_SHARE * (z[next_top] - z[foot]))
            if still_rising and dip < limit and (best is None or dip < best[0]):
                best = (dip, i)
        if best is None:
            return joined
        i = best[1]
        joined[i : i + 2] = [(joined[i][0], joined[i + 1][1])]


def _steepest_parts(z: Array, d: Array, low: int, high: int) -> list[tuple[int, int]]:
    """Stretches of [low, high] that gain most over the gentlest grade, in order along the way.

    The best one is the largest rise of ``z - CLIMBING_GRADE * d``; what lies before and after it is
    searched in turn. This trims a long flat approach and splits rises with a long flat between them.
    """
    parts: list[tuple[int, int]] = []
    todo = [(low, high)]
    while todo:
        a, b = todo.pop()
        if z[a : b + 1].max() - z[a : b + 1].min() < SMALLEST_GAIN_M:
            continue
        excess = z[a : b + 1] - CLIMBING_GRADE * d[a : b + 1]
        rise = excess - np.minimum.accumulate(excess)
        top = int(np.argmax(rise))
        foot = int(np.flatnonzero(excess[: top + 1] == excess[: top + 1].min())[-1])
        if rise[top] <= 0.0:
            continue
        parts.append((a + foot, a + top))
        todo += [(a, a + foot), (a + top, b)]
    return sorted(parts)


def _first_reached(z: Array, t_s: Array, foot: int, top: int) -> int:
    """Where a climb first comes up to its top."""
    near = foot + int(np.argmax(z[foot : top + 1] >= z[top] - TOP_WITHIN_M))
    return near if t_s[top] - t_s[near] > LINGER_S else top


def _without_rests(track: Track, foot: int, top: int) -> tuple[int, int]:
    """The climb with rests at its ends cut off: a pause on the pass is no climbing."""
    walked = track.moving[foot:top] & (track.pause_s[foot:top] + track.gap_s[foot:top] == 0.0)
    steps = np.flatnonzero(walked)
    return (foot, top) if steps.size == 0 else (foot + int(steps[0]), foot + int(steps[-1]) + 1)


def _measure(track: Track, foot: int, top: int) -> Climb:
    z, d, here = track.elevation_m, track.distance_m, slice(foot, top)
    broken = track.pause_s[here] + track.gap_s[here] > 0.0
    rise, way = np.diff(z[foot : top + 1]), np.diff(d[foot : top + 1])
    gain = float(z[top] - z[foot] - np.nansum(rise[broken]))
    recorded = track.recorded_s[here]
    moving_s = float(np.where(track.moving[here], recorded, 0.0).sum())
    covered = track.moving[here] & ~broken & (way > 0.0) & np.isfinite(rise)
    ground = float(way[covered].sum())
    mean_hr, max_hr = _heart_rate(track.hr_bpm[foot : top + 1], track.recorded_s[foot : top + 1])
    return Climb(
        start_s=float(track.t_s[foot]),
        end_s=float(track.t_s[top]),
        start_m=float(d[foot]),
        end_m=float(d[top]),
        foot_m=float(z[foot]),
        top_m=float(z[top]),
        gain_m=gain,
        length_m=float(d[top] - d[foot]),
        grade_mean=float(rise[covered].sum()) / ground if ground > 0 else float("nan"),
        grade_steepest=_steepest(way[covered], rise[covered]),
        vertical_speed_m_per_h=gain / moving_s * 3600.0 if moving_s > 0 else None,
        moving_s=moving_s,
        standing_s=float(recorded.sum()) - moving_s,
        hr_mean_bpm=mean_hr,
        hr_max_bpm=max_hr,
        hr_foot_bpm=value_at(track, track.hr_bpm, foot),
        hr_top_bpm=value_at(track, track.hr_bpm, top),
    )


def _heart_rate(hr_bpm: Array, recorded_s: Array) -> tuple[float | None, float | None]:
    """Mean by recorded time, and highest, of the trusted heart rate."""
    known = np.isfinite(hr_bpm)
    weight = recorded_s[known]
    if weight.sum() <= 0.0:
        return None, None
    return float(np.average(hr_bpm[known], weights=weight)), float(hr_bpm[known].max())


def _steepest(way: Array, rise: Array) -> float | None:
    """The steepest ``STEEPEST_OVER_M`` of ground, given each step's way and rise, m.

    Steps over ``LONGEST_STEP_M`` end one piece of ground and begin the next: between their ends nothing was
    seen, least of all how steep it was.
    """
    best = None
    for piece in np.split(np.arange(way.size), np.flatnonzero(way > LONGEST_STEP_M)):
        inside = piece[way[piece] <= LONGEST_STEP_M]
        d = np.concatenate([[0.0], np.cumsum(way[inside])])
        if d[-1] < STEEPEST_OVER_M:
            continue
        z = np.concatenate([[0.0], np.cumsum(rise[inside])])
        starts = np.arange(0.0, d[-1] - STEEPEST_OVER_M + 1.0, 5.0)
        found = float(np.max(np.interp(starts + STEEPEST_OVER_M, d, z) - np.interp(starts, d, z)))
        best = found / STEEPEST_OVER_M if best is None else max(best, found / STEEPEST_OVER_M)
    return best
