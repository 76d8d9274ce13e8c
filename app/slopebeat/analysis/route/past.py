"""What an earlier outing tells a plan, and the athlete's own pace on each grade that follows from several.

``log pace(grade) = prior(grade) + r(grade) + outing``: ``r`` is a Gaussian process that is nothing on the
level, ``outing`` drops out because only grades within one outing are compared. Where nothing was gone the
shape is the prior's, and so is the doubt about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.work_rate import minetti_running_j_per_kg_m
from slopebeat.analysis.route.profile import route_ground
from slopebeat.model.evidence import GRADE_STEP, GRADES, LEVEL, PastOuting
from slopebeat.model.numerics import zero_where_unknown
from slopebeat.model.track import Array, Track

UNREST_OVER_S = 90.0
"""Changes of grade quicker than this do not reach the heart rate [project choice]."""

LEAST_MINUTES = 10
"""Fewer minutes of work say nothing about how uneven it was [project choice]."""

PLACE_DIGITS = 3
"""Digits of a start in degrees, about 100 m: enough to tell one start from another, no more is kept."""


def past_outing(
    track: Track,
    work_w_per_kg: Array,
    start_utc: datetime,
    ascent_m: float | None = None,
    start_deg: tuple[float, float] | None = None,
) -> PastOuting:
    """Sum up a cleaned outing.

    Parameters
    ----------
    work_w_per_kg : (n,) of each sample, NaN where unknown.
    start_deg : latitude and longitude of the first position; rounded here.
    """
    known = bool(len(track)) and np.isfinite(track.distance_m).all()
    first, seconds = _heart_seconds(track)
    place = (None, None) if start_deg is None else tuple(round(x, PLACE_DIGITS) for x in start_deg)
    by_grade = _by_grade(track) if known else None
    return PastOuting(
        start_utc=start_utc,
        on_bike=track.on_bike,
        recorded_s=float(track.recorded_s.sum()),
        moving_s=float(track.moving_s.sum()),
        pause_s=float(track.pause_s.sum() + track.gap_s.sum()),
        distance_m=float(track.distance_m[-1] - track.distance_m[0]) if known else None,
        ascent_m=None if ascent_m is None or not np.isfinite(ascent_m) else float(ascent_m),
        hr_from_bpm=first,
        hr_seconds=seconds,
        work_variation=work_variation(track, work_w_per_kg),
        grade_seconds=() if by_grade is None else tuple(np.round(by_grade[0], 1).tolist()),
        grade_metres=() if by_grade is None else tuple(np.round(by_grade[1], 1).tolist()),
        unrest=None if by_grade is None else by_grade[2],
        start_lat_deg=place[0],
        start_lon_deg=place[1],
    )


def grade_bin(grade: Array) -> NDArray[np.int_]:
    """Index into ``GRADES`` of each grade."""
    return np.asarray(np.clip(np.rint(grade / GRADE_STEP) + LEVEL, 0, GRADES.size - 1).astype(int))


def unrest_of(grade: Array, lasts_s: Array) -> float:
    """Standard deviation over time of the grade of stretches in order, averaged over ``UNREST_OVER_S``.

    Parameters
    ----------
    grade, lasts_s : (n,) of each stretch, and how long it takes.
    """
    total = float(lasts_s.sum())
    if total <= 0.0:
        return 0.0
    ends = np.concatenate(([0.0], np.cumsum(lasts_s)))
    climbed = np.concatenate(([0.0], np.cumsum(grade * lasts_s)))
    half = min(0.5 * UNREST_OVER_S, 0.25 * total)
    middle = np.linspace(half, total - half, 1000)
    rise = np.interp(middle + half, ends, climbed) - np.interp(middle - half, ends, climbed)
    return float(np.std(rise / (2.0 * half)))


def work_variation(track: Track, work_w_per_kg: Array) -> float | None:
    """Standard deviation over mean of the minutes' work while the timer runs; None where it is not known."""
    lasts = np.where(np.isfinite(work_w_per_kg), track.recorded_s, 0.0)
    minute = ((np.cumsum(lasts) - lasts) / 60.0).astype(int)
    spent = np.bincount(minute, lasts) if lasts.size else np.zeros(0)
    done = np.bincount(minute, lasts * zero_where_unknown(work_w_per_kg)) if lasts.size else np.zeros(0)
    each = done[spent > 30.0] / spent[spent > 30.0]
    if each.size < LEAST_MINUTES or each.mean() <= 0.0:
        return None
    return float(each.std() / each.mean())


def _heart_seconds(track: Track) -> tuple[int, tuple[float, ...]]:
    """Lowest heart rate and seconds at it and at each beat a minute above; 0 and none without any."""
    known = np.isfinite(track.hr_bpm) & (track.recorded_s > 0.0)
    if not known.any():
        return 0, ()
    bpm = np.floor(track.hr_bpm[known] + 0.5).astype(int)
    first = int(bpm.min())
    return first, tuple(np.round(np.bincount(bpm - first, track.recorded_s[known]), 1).tolist())


def _by_grade(track: Track) -> tuple[Array, Array, float] | None:
    """Moving seconds and metres by grade, and the grade's unrest; None without elevation."""
    ground = route_ground(track.distance_m, track.elevation_m)
    if ground is None or not np.isfinite(track.elevation_m).any():
        return None
    cell = np.clip((track.distance_m - track.distance_m[0]) / ground.step_m, 0, ground.grade.size - 1)
    grade = ground.grade[cell.astype(int)]
    steps = np.where(track.moving_s > 0.0, np.diff(track.distance_m, append=track.distance_m[-1]), 0.0)
    seconds, metres = (
        np.bincount(grade_bin(grade), weights, GRADES.size).astype(np.float64)
        for weights in (track.moving_s, steps)
    )
    return seconds, metres, unrest_of(grade, track.moving_s)


OWN_SD, REACH = 0.25, 0.08
"""How far the log pace may lie off the prior, and over what grade it varies together [project choice]."""

DAY_SD, MINUTE_SD = 0.15, 0.30
"""Unevenness of one outing's log pace: on a grade as such, and of one minute on it [project choice]."""

LEAST_BIN_S = 20.0
"""A grade gone for less in an outing says nothing about pace on it [project choice]."""

LEAST_SEEN_S = 120.0
"""A grade gone for less than this in all outings counts as never seen [project choice]."""

MOST_OUTINGS = 40
"""The latest ones bend the curve [project choice]."""

BIKE_CLIMBING = 7.0
"""On a bike the pace grows like ``1 + 7 x grade`` uphill [project choice]."""

EASIEST_DOWN = -0.10
"""On foot one goes faster down to this grade, by as much as the grade, and slower again below, three times
as quickly [project choice]; uphill the pace follows the cost of running (Minetti 2002)."""


@dataclass(frozen=True, eq=False)
class PaceCurve:
    """Log of seconds per metre on each of ``GRADES`` against level ground, (n,) and (n, n).

    ``seen_s`` and ``outings`` tell how long and how often each grade was gone.
    """

    log_pace: Array
    covariance: Array
    seen_s: Array
    outings: Array

    @property
    def seen(self) -> np.ndarray:
        """(n,) whether each grade was gone long enough to count."""
        return np.asarray(self.seen_s >= LEAST_SEEN_S)


def prior_log_pace(on_bike: bool) -> Array:
    """(n,) log pace on each of ``GRADES`` of whom nothing is known, nought on the level."""
    if on_bike:
        return np.log1p(BIKE_CLIMBING * np.maximum(GRADES, 0.0))
    cost = minetti_running_j_per_kg_m(GRADES)
    down = np.where(GRADES > EASIEST_DOWN, GRADES, EASIEST_DOWN + 3.0 * (EASIEST_DOWN - GRADES))
    return np.where(GRADES > 0.0, np.log(cost / cost[LEVEL]), down)


def own_pace(past: Sequence[PastOuting], on_bike: bool) -> PaceCurve:
    """The curve of outings that know their ground; without any the prior with all its doubt."""
    prior, kernel = prior_log_pace(on_bike), _kernel()
    information, score = np.zeros((GRADES.size, GRADES.size)), np.zeros(GRADES.size)
    known = [one for one in past if one.has_ground][-MOST_OUTINGS:]
    seconds = np.array([one.grade_seconds for one in known]).reshape(-1, GRADES.size)
    metres = np.array([one.grade_metres for one in known]).reshape(-1, GRADES.size)
    for lasts, length in zip(seconds, metres, strict=True):
        used = np.flatnonzero((lasts >= LEAST_BIN_S) & (length > 0.0))
        if used.size < 2:
            continue
        off = np.log(lasts[used] / length[used]) - prior[used]
        weight = 1.0 / (DAY_SD**2 + MINUTE_SD**2 / (lasts[used] / 60.0))
        design = np.eye(GRADES.size)[used]
        design = design - weight @ design / weight.sum()
        off = off - weight @ off / weight.sum()
        information += (design.T * weight) @ design
        score += (design.T * weight) @ off
    system = np.eye(GRADES.size) + kernel @ information
    bent = np.linalg.solve(system, kernel @ score)
    left = np.linalg.solve(system, kernel)
    gone = np.sum(seconds >= LEAST_BIN_S, axis=0)
    return PaceCurve(prior + bent, 0.5 * (left + left.T), seconds.sum(axis=0), gone)


def _kernel() -> Array:
    """Covariance of what is the athlete's own, given that it is nothing on the level."""
    apart = np.abs(GRADES[:, None] - GRADES)
    free = OWN_SD**2 * np.exp(-apart / REACH)
    level_at_zero = free - np.outer(free[:, LEVEL], free[LEVEL]) / free[LEVEL, LEVEL]
    return np.asarray(level_at_zero + 1e-9 * np.eye(GRADES.size))
