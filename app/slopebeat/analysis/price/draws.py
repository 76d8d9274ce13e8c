"""Draws of an outing to come: its mean heart rate, its spread, its share in band, and the clock to a target.

The share in a band of an outing whose heart rate has the mean ``m`` and the spread ``s`` is
``F((upper + 0.5 - m) / s) - F((lower - 0.5 - m) / s)``, with ``F`` the shapes of the outings before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.price.unevenness import USUAL, variation_of
from slopebeat.analysis.regression import fit_line
from slopebeat.model.evidence import SHAPE_POINTS, PastOuting
from slopebeat.model.numerics import quantile
from slopebeat.model.numerics import shares_below as normal_shares
from slopebeat.model.track import Array

INTERVAL_LEVEL = 0.80
"""Four outings of five fall inside [project choice]: a wider interval no longer helps to plan a day."""

PRIOR_OUTINGS = 4.0
"""Weight of the spread between outings known beforehand [project choice]."""

USUAL_SPREAD_BPM = 13.0
"""Spread of the heart rate in an outing of somebody unknown, on usual ground: it counts as one outing of the
athlete's own [project choice, measured on two athletes]."""

SPREAD_PER_VARIATION = (0.4, 0.3)
"""By which power of the variation of work the spread grows, and how surely [project choice, measured]."""

SPREAD_LOG_SD = 0.25
"""How far the logarithm of the spread differs between outings that were alike uneven [project choice]."""

VARIATIONS = (0.10, 1.00)
"""Evener or less even outings count as these: nothing is known beyond [project choice]."""

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


class Middle(NamedTuple):
    """Median and ends of the interval."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True)
class Between:
    """What is known beforehand of a figure's spread: between outings, and between kinds of outing."""

    outings: float
    kinds: float


MEAN_BPM = Between(8.0, 4.0)
"""For the mean heart rate [project choice]."""


def next_spread(known: Sequence[PastOuting], variation: float | None, rng: np.random.Generator) -> Array:
    """(DRAWS,) spreads of the heart rate of an outing of this variation of work.

    A line through the logarithms of the spreads over those of the variations, robust against odd outings.

    Parameters
    ----------
    known : outings of one sport with heart rate, at least one. variation : None where not known.
    """
    on_bike = known[-1].on_bike
    about = USUAL[on_bike]
    off = [0.0, *(_log_variation(variation_of(one), about) for one in known)]
    spread = np.log([USUAL_SPREAD_BPM, *(one.spread_bpm for one in known)])
    power, sure = (np.array([value]) for value in SPREAD_PER_VARIATION)
    line = fit_line(spread, np.array(off)[:, None], power, sure, np.ones(spread.size), SPREAD_LOG_SD)
    new = np.array([1.0, _log_variation(variation, about)])
    doubt = np.sqrt(new @ line.covariance @ new + line.day_sd**2)
    return np.asarray(np.exp(new @ line.coefficients + doubt * rng.standard_t(line.freedom, DRAWS)))


def _log_variation(variation: float | None, about: float) -> float:
    return float(np.log(np.clip(about if variation is None else variation, *VARIATIONS) / about))


def next_value(
    values: Array,
    kinds: Sequence[str],
    wanted: str,
    between: Between,
    rng: np.random.Generator,
    half_life: float | None = None,
) -> Array:
    """(DRAWS,) draws of the next value of the kind ``wanted``: kinds are shrunk towards all outings.

    Parameters
    ----------
    values, kinds : (n,) of the outings in order of time, n > 0.
    half_life : outings after which one counts half; None: all alike.
    """
    count = values.size
    weight = np.ones(count) if half_life is None else 0.5 ** (np.arange(count)[::-1] / half_life)
    found, which = np.unique(np.asarray(kinds), return_inverse=True)
    variance, tau2 = between.outings**2, between.kinds**2
    total = np.bincount(which, weight)
    mean = np.bincount(which, weight * values) / total
    for _ in range(4):
        precision = 1.0 / (tau2 + variance / total)
        overall_var = 1.0 / precision.sum()
        overall = overall_var * (precision @ mean)
        kept = tau2 / (tau2 + variance / total)
        centre = overall + kept * (mean - overall)
        lost = count / max(count - 0.5 * found.size, 1.0)
        seen = lost * float(weight @ (values - centre[which]) ** 2)
        freedom = PRIOR_OUTINGS + float(weight.sum())
        variance = (PRIOR_OUTINGS * between.outings**2 + seen) / freedom
    here = np.flatnonzero(found == wanted)
    if here.size:
        at = int(here[0])
        about, doubt = centre[at], tau2 * (1.0 - kept[at]) + (1.0 - kept[at]) ** 2 * overall_var
    else:
        about, doubt = overall, tau2 + overall_var
    return np.asarray(about + np.sqrt(doubt + variance) * rng.standard_t(freedom, DRAWS))


def landings(rng: np.random.Generator) -> Array:
    """(DRAWS,) how far the mean of an outing lands from what was aimed at, bpm."""
    return np.asarray(DAY_BPM * rng.standard_t(DAY_DF, DRAWS))


def shares_of_time_below(
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


def clock_s(share: Array, target_s: float, normal: Array) -> Array:
    """(m,) time on the clock until ``target_s`` are in band.

    The stretch until then is not the whole outing: its share differs by spells of ``MEMORY_S``, as (m,) draws
    of the normal distribution say.
    """
    spells = target_s / np.clip(share, 2.0 * LEAST_SHARE, 1.0) / MEMORY_S
    own = share + np.sqrt(share * (1.0 - share) / spells) * normal
    return target_s / np.clip(own, LEAST_SHARE, 1.0)


def draws_interval(values: Array) -> Middle:
    """Median and interval of draws."""
    low = 0.5 - 0.5 * INTERVAL_LEVEL
    return Middle(*(quantile(values, share) for share in (0.5, low, 1.0 - low)))
