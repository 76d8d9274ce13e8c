"""Minutes in band on the next outing, and how long it must last, from the outings before it.

An outing is summed up by the mean ``m`` and the spread ``s`` of its heart rate; both give the share in any
band, ``F((upper + 0.5 - m) / s) - F((lower - 0.5 - m) / s)``, with ``F`` the shapes of the outings before.
The spread is what uneven ground and stopping cost, the mean is what was aimed at. Each is foretold as a
Student distribution: outings of one kind (by the unevenness of their work) are shrunk towards all of them,
and what is known beforehand counts as ``PRIOR_OUTINGS`` outings.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.bands import Band
from slopebeat.model.normal import shares_below as normal_shares
from slopebeat.model.past import SHAPE_POINTS, PastOuting
from slopebeat.model.track import Array

INTERVAL_LEVEL = 0.80
"""Four outings of five fall inside [project choice]: a wider interval no longer helps to plan a day."""

ENOUGH = 5
"""Outings of the sport from which the interval is theirs rather than the stated priors' [measured]."""

RECENT = 10
"""Latest outings whose mean is compared with the band [project choice]."""

LONGEST_S, LONGEST_TIMES = 8 * 3600.0, 2.0
"""No length beyond a day out, or beyond this many times the longest outing known [project choice]."""

KIND_EDGES = {False: (0.20, 0.30, 0.45), True: (0.35, 0.45, 0.60)}
"""By on_bike: variation of the minutes' work that parts steady, gentle, mixed and stop-and-go outings
[project choice, about thirds of real outings]."""

UNKNOWN_KIND = 1
"""Without work an outing counts as gentle [project choice]."""

PRIOR_OUTINGS = 4.0
"""Weight of the spread between outings known beforehand [project choice]."""

USUAL_SPREAD_BPM, USUAL_SPREAD_LOG_SD = 13.0, 0.3
"""Spread of the heart rate in an outing of somebody unknown [project choice, measured on two athletes]."""

MEAN_HALF_LIFE = 10.0
"""Outings after which a mean counts half; the spread does not age [project choice]."""

DAY_BPM, DAY_DF = 4.5, 6
"""How far, and with which Student tails, a mean lands from what was aimed at [project choice, measured]."""

MOST_SHAPES = 12
"""Latest outings that lend the shape of their heart rate [project choice]."""

MEMORY_S = 120.0
"""Minutes in and out of band come in spells of this length: a stretch differs from the whole outing by it
[project choice, measured: with twice that the interval holds more often than it says]."""

LEAST_SHARE = 0.01
"""A smaller share in band is no outing anyone plans with [project choice]."""

DRAWS, SEED = 4000, 20260711
"""The same outings always give the same answer."""


class NoLength(StrEnum):
    """Why no length is given."""

    NO_HEART = "no_heart_rate"
    OFF_BAND = "means_off_band"
    TOO_LONG = "too_long"


@dataclass(frozen=True)
class Between:
    """What is known beforehand of a figure's spread: between outings, and between kinds of outing."""

    outings: float
    kinds: float


LOG_SPREAD = Between(0.30, 0.18)
MEAN_BPM = Between(8.0, 4.0)
"""For the logarithm of the spread and for the mean [project choice]."""


class Middle(NamedTuple):
    """Median and ends of the interval."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True)
class NextOuting:
    """The next outing in one of the two ways to go.

    Attributes
    ----------
    share : of its time with heart rate that is in band. needed_s : on the clock until the target is in
        band; None for the ``reason``.
    off_bpm : how far the mean of the ``recent`` latest outings lay above the middle of the band.
    outings : of the sport, learnt from.
    """

    share: Middle | None
    needed_s: Middle | None
    reason: NoLength | None
    off_bpm: float | None
    recent: int
    outings: int


@dataclass(frozen=True)
class NextAnswers:
    """Both answers: gone as usual, and with the mean kept in the middle of the band."""

    as_usual: NextOuting
    aimed: NextOuting


def next_outing(past: Sequence[PastOuting], band: Band, target_s: float) -> NextAnswers:
    """Foretell the outing after the last one, taken to be of the same kind.

    Parameters
    ----------
    past : outings of one athlete and sport in order of time, the one just reviewed the last.
    """
    known = [one for one in past if one.has_heart]
    if not known:
        none = NextOuting(None, None, NoLength.NO_HEART, None, 0, 0)
        return NextAnswers(none, none)
    latest = known[-RECENT:]
    means = np.array([one.mean_bpm for one in latest])
    middle = 0.5 * (band.lower_bpm + band.upper_bpm)
    inside = bool(np.any((means >= band.lower_bpm - 0.5) & (means <= band.upper_bpm + 0.5)))
    limit = LONGEST_S
    if len(known) >= ENOUGH:
        limit = min(limit, LONGEST_TIMES * max(one.recorded_s for one in known))

    def answer(aimed: bool) -> NextOuting:
        share, needed = _foretold(known, band, target_s, aimed)
        reason = None
        if not inside and not aimed:
            reason = NoLength.OFF_BAND
        elif needed.middle > limit:
            reason = NoLength.TOO_LONG
        off = float(means.mean()) - middle
        return NextOuting(share, None if reason else needed, reason, off, len(latest), len(known))

    return NextAnswers(answer(False), answer(True))


def kind_of(one: PastOuting) -> int:
    """0 steady, 1 gentle, 2 mixed, 3 stop and go."""
    if one.work_variation is None:
        return UNKNOWN_KIND
    return bisect_right(KIND_EDGES[one.on_bike], one.work_variation)


def _foretold(known: Sequence[PastOuting], band: Band, target_s: float, aimed: bool) -> tuple[Middle, Middle]:
    rng = np.random.default_rng(SEED)
    kinds = np.array([kind_of(one) for one in known])
    spread = np.log([one.spread_bpm for one in known])
    usual = (float(np.log(USUAL_SPREAD_BPM)), USUAL_SPREAD_LOG_SD)
    s = np.exp(next_value(spread, kinds, kinds[-1], LOG_SPREAD, rng, usual))
    if aimed:
        m = 0.5 * (band.lower_bpm + band.upper_bpm) + DAY_BPM * rng.standard_t(DAY_DF, DRAWS)
    else:
        means = np.array([one.mean_bpm for one in known])
        m = next_value(means, kinds, kinds[-1], MEAN_BPM, rng, half_life=MEAN_HALF_LIFE)
    share = shares_in_band(m, s, band, [one.shape for one in known[-MOST_SHAPES:]], rng)
    return interval(share), interval(clock_s(share, target_s, rng))


def next_value(
    values: Array,
    kinds: NDArray[np.int_],
    wanted: int,
    between: Between,
    rng: np.random.Generator,
    beforehand: tuple[float, float] | None = None,
    half_life: float | None = None,
) -> Array:
    """(DRAWS,) draws of the next value of the kind ``wanted``.

    Parameters
    ----------
    values, kinds : (n,) of the outings in order of time, n > 0.
    beforehand : mean and deviation of what is known without any outing.
    half_life : outings after which one counts half; None: all alike.
    """
    count = values.size
    age = np.arange(count)[::-1]
    weight = np.ones(count) if half_life is None else 0.5 ** (age / half_life)
    found = np.unique(kinds)
    mean0, precision0 = (0.0, 0.0) if beforehand is None else (beforehand[0], beforehand[1] ** -2)
    variance, tau2 = between.outings**2, between.kinds**2
    in_kind = np.array([kinds == k for k in found])
    total = in_kind @ weight
    mean = (in_kind @ (weight * values)) / total
    for _ in range(4):
        precision = 1.0 / (tau2 + variance / total)
        overall_var = 1.0 / (precision.sum() + precision0)
        overall = overall_var * (precision @ mean + precision0 * mean0)
        kept = tau2 / (tau2 + variance / total)
        centre = overall + kept * (mean - overall)
        left = values - in_kind.T @ centre
        lost = count / max(count - 0.5 * found.size, 1.0)
        known = PRIOR_OUTINGS * between.outings**2 + lost * float(weight @ left**2)
        freedom = PRIOR_OUTINGS + float(weight.sum())
        variance = known / freedom
    if wanted in found:
        at = int(np.flatnonzero(found == wanted)[0])
        about, doubt = centre[at], tau2 * (1.0 - kept[at]) + (1.0 - kept[at]) ** 2 * overall_var
    else:
        about, doubt = overall, tau2 + overall_var
    return np.asarray(about + np.sqrt(doubt + variance) * rng.standard_t(freedom, DRAWS))


def shares_below(
    edge_bpm: float, mean: Array, spread: Array, shapes: Sequence[Array], which: NDArray[np.int_]
) -> Array:
    """(m,) share of the time under a heart rate, given draws of mean and spread.

    Parameters
    ----------
    shapes : quantiles in spreads, one array an outing. which : (m,) the shape of each draw; one past the
        last stands for the normal distribution.
    """
    z = (edge_bpm - mean) / spread
    below = np.empty(z.shape)
    normal = which >= len(shapes)
    below[normal] = normal_shares(z[normal])
    levels = np.linspace(0.0, 1.0, SHAPE_POINTS)
    for at, shape in enumerate(shapes):
        here = which == at
        below[here] = np.interp(z[here], shape, levels)
    return np.asarray(below)


def shares_in_band(
    mean: Array, spread: Array, band: Band, shapes: Sequence[Array], rng: np.random.Generator
) -> Array:
    """(m,) share of the time in band of draws of mean and spread, each with one of the shapes."""
    which = rng.integers(0, len(shapes) + 1, mean.size)
    low, high = (
        shares_below(edge, mean, spread, shapes, which)
        for edge in (band.lower_bpm - 0.5, band.upper_bpm + 0.5)
    )
    return high - low


def clock_s(share: Array, target_s: float, rng: np.random.Generator) -> Array:
    """(m,) time on the clock until ``target_s`` are in band.

    The stretch until then is not the whole outing: its share differs by spells of ``MEMORY_S``.
    """
    spells = target_s / np.clip(share, 2.0 * LEAST_SHARE, 1.0) / MEMORY_S
    own = share + np.sqrt(share * (1.0 - share) / spells) * rng.standard_normal(share.size)
    return target_s / np.clip(own, LEAST_SHARE, 1.0)


def interval(values: Array) -> Middle:
    """Median and interval of draws."""
    low = 0.5 - 0.5 * INTERVAL_LEVEL
    return Middle(*np.quantile(values, [0.5, low, 1.0 - low]).tolist())
