"""What one outing was against another: minutes in band and above, and decoupling with its doubt."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.analysis.response.decoupling import TerrainFair
from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.model.units import percent

DAYS_DIFFER_POINTS = 4.0
"""Decoupling of outings alike differs by so much from day to day [project choice, measured on real runs]."""

LEAST_MINUTES = 1.0
"""A smaller difference is reported as none [project choice]."""


@dataclass(frozen=True)
class Side:
    """What is set side by side of one of two outings."""

    account: TimeAccount | None
    band: Band | None
    fair: TerrainFair


def difference_sentences(earlier: Side, later: Side) -> tuple[str, ...]:
    """The later outing less the earlier, a sentence for each figure both have."""
    sentences = (_minutes(earlier, later), decoupling_difference(_fair(earlier), _fair(later)))
    return tuple(each for each in sentences if each)


def _minutes(earlier: Side, later: Side) -> str:
    first, second = earlier.account, later.account
    if first is None or second is None or not (first.covered and second.covered):
        return tr(
            "Minutes in band cannot be set side by side: one of them has no band or too little heart rate."
        )
    told = minutes_difference(first, second)
    one, other = earlier.band, later.band
    if one is None or other is None or (one.lower_bpm, one.upper_bpm) == (other.lower_bpm, other.upper_bpm):
        return told
    apart = tr("The bands differ, {earlier} and {later} bpm: these minutes are not of one kind.")
    return f"{told} {apart.format(earlier=one, later=other)}"


def minutes_difference(earlier: TimeAccount, later: TimeAccount) -> str:
    """Minutes and shares of the time with trusted heart rate, both accounts covered."""
    text = tr(
        "The later outing was {in_band} in band ({share} of its time, before {before}) and {above} above it."
    )
    return text.format(
        in_band=_more(later.in_band_s - earlier.in_band_s),
        share=percent(later.in_band_s / later.known_s),
        before=percent(earlier.in_band_s / earlier.known_s),
        above=_more(later.above_s - earlier.above_s),
    )


def _more(seconds: float) -> str:
    minutes = seconds / 60.0
    if abs(minutes) < LEAST_MINUTES:
        return tr("as long")
    words = tr("{n} min longer") if minutes > 0.0 else tr("{n} min shorter")
    return words.format(n=figure(abs(minutes)))


Fair = tuple[float, float, float]
"""Terrain-fair decoupling with the ends of its 95 % interval, percent."""


def _fair(side: Side) -> Fair | None:
    found = side.fair
    if found.percent is None or found.interval_percent is None:
        return None
    return found.percent, *found.interval_percent


def decoupling_difference(earlier: Fair | None, later: Fair | None) -> str:
    """The difference in points with its interval: both fits err on their own, so their errors add as squares.

    It is a difference only where the interval holds no zero and days alone do not make as much.
    """
    if earlier is None or later is None:
        return tr("Terrain-fair decoupling cannot be set side by side: one of them has none.")
    change = later[0] - earlier[0]
    low = change - hypot(later[0] - later[1], earlier[2] - earlier[0])
    high = change + hypot(later[2] - later[0], earlier[0] - earlier[1])
    if low <= 0.0 <= high:
        verdict = tr("no difference can be told")
    elif abs(change) < DAYS_DIFFER_POINTS:
        verdict = tr("days alone differ by about {points} points").format(points=figure(DAYS_DIFFER_POINTS))
    else:
        verdict = tr("a difference")
    text = tr("Terrain-fair decoupling changed by {change} points (95 %: {low} to {high}): {verdict}.")
    ends = {"change": _signed(change), "low": _signed(low), "high": _signed(high)}
    return text.format(verdict=verdict, **ends)


def _signed(points: float) -> str:
    text = figure(points, 1)
    return f"+{text}" if points > 0.0 else text
