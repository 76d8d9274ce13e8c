"""The causes in words, said once: name, side of the band, meaning, and the phrase of the answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slopebeat.analysis.account.causes import Cause, Causes
from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.language import mark, tr
from slopebeat.model.units import duration

ABOVE, BELOW, NEITHER = BandState.ABOVE, BandState.BELOW, BandState.NO_HEART_RATE


@dataclass(frozen=True)
class CauseWords:
    """A cause's name, the side it leads to, what it means, and its phrase with a share; texts are marked."""

    name: str
    side: BandState
    meaning: str
    phrase: str


CAUSE_WORDS: Mapping[Cause, CauseWords] = {
    Cause.STEEP_CLIMB: CauseWords(
        mark("steep climb"),
        ABOVE,
        mark("a climb that asks for more than the usual effort even at the slowest reasonable speed"),
        mark("{share} went over the band on climbs too steep for it"),
    ),
    Cause.FAST_CLIMB: CauseWords(
        mark("climb too fast"),
        ABOVE,
        mark("a climb gone harder than its steepness asked for"),
        mark("{share} went over the band on climbs gone too fast"),
    ),
    Cause.TOO_FAST: CauseWords(
        mark("too fast"),
        ABOVE,
        mark("more effort than usual off the climbs, for three minutes and more"),
        mark("{share} went over the band by going too fast off the climbs"),
    ),
    Cause.SURGE: CauseWords(
        mark("surge"),
        ABOVE,
        mark("a burst of effort off the climbs, above the band for under three minutes"),
        mark("{share} went over the band in surges"),
    ),
    Cause.DRIFT: CauseWords(
        mark("drift"),
        ABOVE,
        mark("the heart beats faster than at the same effort early on"),
        mark("{share} went over the band by drift"),
    ),
    Cause.USUAL_TOO_HIGH: CauseWords(
        mark("usual effort too high"),
        ABOVE,
        mark("the usual effort of this outing lies over the band by itself"),
        mark("{share} went over the band because the usual effort was too high"),
    ),
    Cause.MORE_THAN_WORK: CauseWords(
        mark("more than the work"),
        ABOVE,
        mark("a heart rate that work, ground and drift do not explain: wind, soft ground, heat, the sensor"),
        mark("{share} went over the band for more than the work explains"),
    ),
    Cause.DESCENT: CauseWords(
        mark("descent"),
        BELOW,
        mark("little effort on a descent"),
        mark("{share} fell under the band on descents"),
    ),
    Cause.STOP: CauseWords(
        mark("stop"),
        BELOW,
        mark("standing with the timer running"),
        mark("{share} fell under the band while standing"),
    ),
    Cause.WARM_UP: CauseWords(
        mark("warm-up"),
        BELOW,
        mark("the first minutes, before the band was reached"),
        mark("{share} was warming up"),
    ),
    Cause.EASY_GROUND: CauseWords(
        mark("easy ground"),
        BELOW,
        mark("less effort than usual on gentle ground"),
        mark("{share} fell under the band on easy ground"),
    ),
    Cause.EASY_CLIMB: CauseWords(
        mark("easy on a climb"),
        BELOW,
        mark("less effort than usual on a climb"),
        mark("{share} fell under the band on climbs gone easily"),
    ),
    Cause.USUAL_TOO_LOW: CauseWords(
        mark("usual effort too low"),
        BELOW,
        mark("the usual effort of this outing lies under the band by itself"),
        mark("{share} fell under the band because the usual effort was too low"),
    ),
    Cause.LESS_THAN_WORK: CauseWords(
        mark("less than the work"),
        BELOW,
        mark("a heart rate lower than work, ground and drift explain: wind behind, cold, the sensor"),
        mark("{share} fell under the band for less than the work explains"),
    ),
    Cause.CANNOT_TELL: CauseWords(
        mark("cannot tell"),
        NEITHER,
        mark("no work rate is known, so no cause can be told"),
        mark("{share} has no cause to tell"),
    ),
    Cause.SENSOR_DOUBT: CauseWords(
        mark("sensor doubt"),
        NEITHER,
        mark("heart rate absent or marked as doubtful"),
        mark("{share} had no trusted heart rate"),
    ),
}


def side_of(cause: Cause) -> BandState:
    """The side of the band a cause leads to."""
    return CAUSE_WORDS[cause].side


def meaning_of(cause: Cause) -> str:
    """What a cause means, in the language in force."""
    return tr(CAUSE_WORDS[cause].meaning)


def about_drift(causes: Causes) -> str:
    """How surely drift was separated from effort; empty where there is nothing to say."""
    if not causes.drift_known:
        return tr("Without a usable fit drift cannot be told from effort.")
    if causes.drift_interval_s is None:
        return ""
    low, high = (duration(seconds) for seconds in causes.drift_interval_s)
    return tr("Drift: {low} to {high} (80 % interval).").format(low=low, high=high)
