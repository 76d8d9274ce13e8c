"""The drift of the heart rate over a whole day: each part with its own response and level, one drift for all.

A least-squares fit in which every part has a level and a response of its own, and all share one drift, gives
the mean of the parts' drifts weighted by how certain each is (Frisch and Waugh 1933, doi:10.2307/1907330). So
the parts' own fits are all that is needed. They go in without what is known of drifts beforehand, which
would else count once per part. Where they differ by more than their intervals allow, the common interval is
widened as for a mean of measurements that disagree (Birge 1932, doi:10.1103/PhysRev.40.207).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.response.grid import WARM_UP_S
from slopebeat.model.numerics import REACH_95, distinct, odds_of_t
from slopebeat.model.track import Array, Track

BLOCK_S = 600.0
"""Heart rate at usual work is shown and judged in means of so long [project choice]: longer than the heart
takes to answer, so that neighbours say something of their own."""

LEAST_IN_BLOCK_S = 180.0
"""Fitted seconds a block must hold [project choice]."""

LEAST_BENT_BLOCKS = 12
"""With fewer blocks a bend is not distinguishable from chance [project choice]."""

BENT_ODDS = 0.01
"""A straight drift shows so clear a bend at most so often [project choice]."""

LEAST_BEND_BPM = 3.0
"""A bend of less, at the middle of the day off the straight line, changes nothing [project choice]."""


@dataclass(frozen=True, eq=False)
class PartDrift:
    """The drift of one part: mean and standard deviation, bpm/h."""

    mean: float
    sd: float


@dataclass(frozen=True, eq=False)
class DriftPoints:
    """Heart rate at the part's usual work, its own level taken away.

    Attributes
    ----------
    hours : (n,) since the first record of the day. off_bpm : (n,) less the level of the part.
    part : (n,) which part. seconds : (n,) fitted time behind each.
    """

    hours: Array
    off_bpm: Array
    part: NDArray[np.intp]
    seconds: Array


@dataclass(frozen=True)
class Bend:
    """A drift that is not even: bpm/h over the first and the second half of the day, and how unlikely that
    would be if it were even."""

    early_bpm_per_h: float
    late_bpm_per_h: float
    odds: float


@dataclass(frozen=True, eq=False)
class DayDrift:
    """The common drift; figures None where no part has a usable fit.

    Attributes
    ----------
    bpm_per_h, interval_bpm_per_h : rise at unchanged work, with its 95 % interval.
    parts : the drift of each part; None where it has no usable fit.
    disagree : whether the parts differ by more than chance; the interval is then widened.
    bend : None where an even drift does.
    """

    bpm_per_h: float | None
    interval_bpm_per_h: tuple[float, float] | None
    parts: tuple[PartDrift | None, ...]
    disagree: bool
    points: DriftPoints
    bend: Bend | None = None


def day_drift(tracks: Sequence[Track], responses: Sequence[Response], start_s: Sequence[float]) -> DayDrift:
    """The drift over a day.

    Parameters
    ----------
    tracks, responses : of each part. start_s : its first record, seconds since the first one of the day.
    """
    drifts = tuple(map(_own_drift, responses))
    points = _points(tracks, responses, drifts, start_s)
    used = [each for each in drifts if each is not None]
    if not used:
        return DayDrift(None, None, drifts, False, points)
    mean, sd, disagree = common_drift(used)
    reach = REACH_95 * sd
    return DayDrift(mean, (mean - reach, mean + reach), drifts, disagree, points, find_bend(points))


def drift_bend(track: Track, response: Response) -> Bend | None:
    """How the drift of one outing changed on the way; None where an even one does or none is known."""
    drift = _own_drift(response)
    return None if drift is None else find_bend(_points((track,), (response,), (drift,), (0.0,)))


def common_drift(drifts: Sequence[PartDrift]) -> tuple[float, float, bool]:
    """Mean and standard deviation of the drift that parts share, and whether they disagree."""
    from scipy.stats import chi2

    values = np.array([each.mean for each in drifts])
    weight = np.array([each.sd for each in drifts]) ** -2.0
    mean, variance = float(weight @ values / weight.sum()), 1.0 / float(weight.sum())
    off = float(weight @ (values - mean) ** 2)
    freedom = len(drifts) - 1
    disagree = freedom > 0 and float(chi2.sf(off, freedom)) < 0.05
    return mean, float(np.sqrt(variance * (max(off / freedom, 1.0) if disagree else 1.0))), disagree


def _own_drift(response: Response) -> PartDrift | None:
    """The drift of a part, with what its scatter cannot show; None without a usable fit."""
    raw = response.raw
    if response.status is not FitStatus.USABLE or raw is None:
        return None
    if response.first_mean_s is None or response.second_mean_s is None:
        return None
    gradient = np.zeros_like(raw.beta)
    gradient[:, 1] = 3600.0
    mean, sd = raw.spread(raw.beta[:, 1] * 3600.0, gradient)
    level = float(raw.mean[0])
    # The doubt is in points of heart rate between the means of the halves.
    doubt = raw.doubt_percent * 36.0 * level / (response.second_mean_s - response.first_mean_s)
    return PartDrift(mean, float(np.hypot(sd, doubt)))


def _points(
    tracks: Sequence[Track],
    responses: Sequence[Response],
    drifts: Sequence[PartDrift | None],
    start_s: Sequence[float],
) -> DriftPoints:
    """Means over blocks of what is left of the heart rate when work and slopes are taken away."""
    found: list[tuple[float, float, int, float]] = []
    for number, (track, response, drift, start) in enumerate(
        zip(tracks, responses, drifts, start_s, strict=True)
    ):
        if drift is None or response.residual_bpm is None or response.posterior is None:
            continue
        slope, centre_s = response.posterior.mean[1], response.posterior.centre_t_s
        off = response.residual_bpm + slope * (track.t_s - centre_s)
        used = np.isfinite(off) & track.moving & (track.t_s >= WARM_UP_S)
        seconds = track.recorded_s[used]
        block = (track.t_s[used] // BLOCK_S).astype(int)
        total = np.bincount(block, seconds)
        at, mean = (np.bincount(block, seconds * column[used]) for column in (track.t_s, off))
        for each in np.flatnonzero(total >= LEAST_IN_BLOCK_S):
            middle = float(at[each] / total[each])
            value = float(mean[each] / total[each])
            found.append(((start + middle) / 3600.0, value, number, float(total[each])))
    rows = np.array([(at, off, seconds) for at, off, _, seconds in found]).reshape(-1, 3)
    parts = np.array([part for _, _, part, _ in found], dtype=np.intp)
    return DriftPoints(rows[:, 0], rows[:, 1], parts, rows[:, 2])


def find_bend(points: DriftPoints) -> Bend | None:
    """A drift that is clearly not even; None where a straight line does.

    A line with a bend is set against a straight one, both with a level for each part. Neighbouring blocks are
    correlated; by how much is read from what the bent line leaves, and counts as that many blocks fewer.
    """
    count = points.hours.size
    if count < LEAST_BENT_BLOCKS:
        return None
    middle = 0.5 * (points.hours.min() + points.hours.max())
    half = 0.5 * float(np.ptp(points.hours))
    x = (points.hours - middle) / half
    weight = np.sqrt(points.seconds / points.seconds.mean())
    levels = (points.part[:, None] == distinct(points.part)[None, :]).astype(float)
    straight = np.column_stack([levels, x])
    bent = np.column_stack([straight, x**2])
    left, _ = _fit(straight, points.off_bpm, weight)
    remains, coefficients = _fit(bent, points.off_bpm, weight)
    correlation = float(np.clip(remains[1:] @ remains[:-1] / max(float(remains @ remains), 1e-12), 0.0, 0.9))
    # Kendall's bias of a correlation read from few values, (1 + 4 r) / n, is given back.
    correlation = min(correlation + (1.0 + 4.0 * correlation) / count, 0.9)
    freedom = count * (1.0 - correlation) / (1.0 + correlation) - bent.shape[1]
    if freedom < 2.0:
        return None
    gained = float(left @ left - remains @ remains)
    ratio = gained / max(float(remains @ remains), 1e-12) * freedom
    odds = odds_of_t(float(np.sqrt(max(ratio, 0.0))), freedom)
    slope, curve = coefficients[-2:]
    # A parabola is off its chord by its coefficient in the middle.
    if odds > BENT_ODDS or abs(curve) < LEAST_BEND_BPM:
        return None
    return Bend(float(slope - curve) / half, float(slope + curve) / half, odds)


def _fit(design: Array, values: Array, weight: Array) -> tuple[Array, Array]:
    coefficients = np.linalg.lstsq(design * weight[:, None], values * weight, rcond=None)[0]
    return np.asarray((values - design @ coefficients) * weight), np.asarray(coefficients)
