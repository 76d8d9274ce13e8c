"""An athlete's own pace on each grade: a published curve bent as far as earlier outings ask for.

``log pace(grade) = prior(grade) + r(grade) + outing``: ``r`` is a Gaussian process that is nothing on the
level, ``outing`` drops out because only grades within one outing are compared. Where nothing was gone the
shape is the prior's, and the doubt about it is the prior's too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.work_rate import minetti_running_j_per_kg_m
from slopebeat.model.evidence import GRADES, LEVEL, PastOuting
from slopebeat.model.track import Array

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
    tied = free - np.outer(free[:, LEVEL], free[LEVEL]) / free[LEVEL, LEVEL]
    return np.asarray(tied + 1e-9 * np.eye(GRADES.size))
