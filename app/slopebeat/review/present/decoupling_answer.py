"""What the rows of decoupling come to, in one sentence."""

from __future__ import annotations

from slopebeat.analysis.response.decoupling import TerrainFair, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.review.outing import Review
from slopebeat.review.words.messages import say


def decoupling_sentence(review: Review) -> str:
    """Whether the heart rate rose for the same work; else why that cannot be told, and what the rows are."""
    fair = review.terrain_fair
    if fair.status is FitStatus.USABLE and fair.percent is not None and fair.interval_percent is not None:
        return _rise(fair.percent, fair.interval_percent)
    steady = any(row.verdict is Verdict.STEADY for row in (review.decoupling.pace, review.decoupling.work))
    if steady:
        then = tr("The ground was even enough to read the halves as they are.")
    else:
        then = tr("The figures in small print are no answer.")
    return f"{_why_not(fair)} {then}"


def _rise(percent: float, interval_percent: tuple[float, float]) -> str:
    """By its interval: a rise, a fall, or neither."""
    low, high = interval_percent
    if low > 0.0:
        said = tr("For the same work the heart rate rose by {percent} % (95 %: {low} to {high} %).")
    elif high < 0.0:
        percent, low, high = -percent, -high, -low
        said = tr("For the same work the heart rate fell by {percent} % (95 %: {low} to {high} %).")
    else:
        said = tr(
            "For the same work no change of the heart rate can be told: {percent} % "
            "(95 %: {low} to {high} %)."
        )
    return said.format(percent=figure(percent, 1), low=figure(low, 1), high=figure(high, 1))


def _why_not(fair: TerrainFair) -> str:
    if fair.status is FitStatus.UNDECIDED and fair.interval_percent is not None:
        low, high = fair.interval_percent
        said = tr("Whether the heart rate rose for the same work is undecided: {low} to {high} % (95 %).")
        return said.format(low=figure(low, 1), high=figure(high, 1))
    said = tr("Whether the heart rate rose for the same work cannot be told. {reason}")
    return said.format(reason=say(fair.reason)).strip()
