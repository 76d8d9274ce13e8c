"""What the rows of decoupling come to: one sentence, and the values JSON has of them."""

from __future__ import annotations

from operator import attrgetter
from typing import Any

from slopebeat.analysis.day.drift import Bend
from slopebeat.analysis.response.decoupling import TerrainFair, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.review.outing import Review
from slopebeat.review.present.figure import Figure, On
from slopebeat.review.words.messages import say


def _value(json: str, path: str, end: int | None = None) -> Figure:
    """A value of a review under its name in JSON; ``end`` is 0 or 1 of an interval there may be none of."""
    found = attrgetter(path)

    def get(_index: int, review: Review) -> Any:
        value = found(review)
        return value if end is None or value is None else value[end]

    return Figure(f"decoupling.{json}", json=json, get=get, on=On.NOTHING)


def _bend_value(json: str, name: str) -> Figure:
    """Of a drift that was not even; null where it was."""
    return Figure(
        f"decoupling.{json}",
        json=json,
        get=lambda _i, review: getattr(review.bend, name, None),
        on=On.NOTHING,
    )


DECOUPLING_VALUES: tuple[Figure, ...] = (
    _value("pace_percent", "decoupling.pace.percent"),
    _value("work_percent", "decoupling.work.percent"),
    _value("verdict", "decoupling.pace.verdict"),
    _value("reason", "decoupling.pace.reason"),
    _value("used_s", "decoupling.pace.used_s"),
    _value("excluded_s", "decoupling.pace.excluded_s"),
    _value("terrain_fair_percent", "terrain_fair.percent"),
    _value("terrain_fair_low", "terrain_fair.interval_percent", 0),
    _value("terrain_fair_high", "terrain_fair.interval_percent", 1),
    _value("terrain_fair_verdict", "terrain_fair.status"),
    _value("terrain_fair_reason", "terrain_fair.reason"),
    _value("raw_percent", "terrain_fair.raw_percent"),
    _value("raw_low", "terrain_fair.raw_interval_percent", 0),
    _value("raw_high", "terrain_fair.raw_interval_percent", 1),
    _value("drift_bpm_per_h", "terrain_fair.drift_bpm_per_h"),
    _value("drift_low_bpm_per_h", "terrain_fair.drift_interval_bpm_per_h", 0),
    _value("drift_high_bpm_per_h", "terrain_fair.drift_interval_bpm_per_h", 1),
    _bend_value("drift_early_bpm_per_h", "early_bpm_per_h"),
    _bend_value("drift_late_bpm_per_h", "late_bpm_per_h"),
    _value("lag_s", "terrain_fair.tau_s"),
    _value("delay_s", "terrain_fair.delay_s"),
    _value("residual_rms_bpm", "terrain_fair.residual_rms_bpm"),
)
"""Everything JSON says of decoupling; the row is the review. An interval that is not there is null."""


def decoupling_sentence(review: Review) -> str:
    """Whether the heart rate rose for the same work; else why that cannot be told, and what the rows are."""
    fair = review.terrain_fair
    if fair.status is FitStatus.USABLE and fair.percent is not None and fair.interval_percent is not None:
        rise = _rise(fair.percent, fair.interval_percent)
        return rise if review.bend is None else f"{rise} {bend_sentence(review.bend)}"
    steady = any(row.verdict is Verdict.STEADY for row in (review.decoupling.pace, review.decoupling.work))
    if steady:
        then = tr("The ground was even enough to read the halves as they are.")
    else:
        then = tr("The figures in small print are no answer.")
    return f"{_why_not(fair)} {then}"


def bend_sentence(bend: Bend) -> str:
    """How a drift that was not even changed."""
    text = tr(
        "The drift was not even: {early} bpm an hour in the first half of the time, {late} in the second."
    )
    return text.format(early=signed_bpm(bend.early_bpm_per_h), late=signed_bpm(bend.late_bpm_per_h))


def signed_bpm(bpm: float) -> str:
    """Beats a minute with the sign of a rise."""
    return f"{'+' if bpm >= 0.05 else ''}{figure(bpm, 1)}"


def _rise(percent: float, interval_percent: tuple[float, float]) -> str:
    """By its interval: a rise, a fall, or neither."""
    low, high = interval_percent
    if low > 0.0:
        text = tr("For the same work the heart rate rose by {percent} % (95 %: {low} to {high} %).")
    elif high < 0.0:
        percent, low, high = -percent, -high, -low
        text = tr("For the same work the heart rate fell by {percent} % (95 %: {low} to {high} %).")
    else:
        text = tr(
            "For the same work no change of the heart rate can be told: {percent} % "
            "(95 %: {low} to {high} %)."
        )
    return text.format(percent=figure(percent, 1), low=figure(low, 1), high=figure(high, 1))


def _why_not(fair: TerrainFair) -> str:
    if fair.status is FitStatus.UNDECIDED and fair.interval_percent is not None:
        low, high = fair.interval_percent
        text = tr("Whether the heart rate rose for the same work is undecided: {low} to {high} % (95 %).")
        return text.format(low=figure(low, 1), high=figure(high, 1))
    text = tr("Whether the heart rate rose for the same work cannot be told. {reason}")
    return text.format(reason=say(fair.reason)).strip()
