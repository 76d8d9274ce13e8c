"""Wording of what analysis and cleaning say, and of what keeps a figure from being relied on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from slopebeat.analysis.activity import Activity, Recognised
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import decimal_sign, figure, shortest_number
from slopebeat.model.message import Message
from slopebeat.model.sentences.table import SENTENCES
from slopebeat.model.sentences.wording import Wording, worded
from slopebeat.model.units import duration, percent
from slopebeat.review.words.names import key_name


def say(message: Message) -> str:
    """A message in the language in force."""
    return worded(message, WORDINGS, key_name)


def say_all(messages: Iterable[Message]) -> str:
    """Several sentences, one behind another."""
    return " ".join(say(one) for one in messages)


def _minutes(seconds: float) -> str:
    return figure(seconds / 60.0)


def _signed(points: float) -> str:
    return f"{points:+.1f}".replace(".", decimal_sign())


_HALVES: Mapping[str, str | Wording] = {
    "halves.nothing_left": mark(
        "No moving time with heart rate and output is left after the first 10 minutes."
    ),
    "halves.no_work": mark("The work rate is unknown, so nothing says that the halves were alike."),
    "halves.too_short": Wording(
        mark("Only {length} enter; a drift needs at least {least}."), {"length": duration, "least": duration}
    ),
    "halves.steep": Wording(
        mark("{share} of the time was on grades steeper than {grade}, up or down."),
        {"share": percent, "grade": percent},
    ),
    "halves.no_output": mark("One half had no output to compare with."),
    "halves.dearer": Wording(
        mark("A metre of the second half cost {share} more work, by the ground and the speed alone."),
        {"share": percent},
    ),
    "halves.cheaper": Wording(
        mark("A metre of the second half cost {share} less work, by the ground and the speed alone."),
        {"share": percent},
    ),
    "halves.harder": Wording(
        mark("The second half was worked {share} harder than the first."), {"share": percent}
    ),
    "halves.easier": Wording(
        mark("The second half was worked {share} easier than the first."), {"share": percent}
    ),
    "halves.alike": mark("The halves were alike in ground and work, so the change is the heart's."),
}

_RESPONSE: Mapping[str, str | Wording] = {
    "response.no_samples": mark("The recording holds no samples to fit."),
    "response.usable": Wording(mark("{used} minutes of moving entered the fit."), {"used": _minutes}),
    "response.undecided": mark(
        "Too wide to answer: it is short, ground and time changed alike, or work explains little."
    ),
    "response.no_response": mark(
        "Heart rate did not rise with the work rate: the heart rate or the work rate cannot be right."
    ),
    "response.little_heart_rate": Wording(
        mark("{used} minutes of trusted heart rate are too few to tell a drift; {least} are needed."),
        {"used": _minutes, "least": _minutes},
    ),
    "response.nothing_left": mark("No recorded minute of moving is left after the first 10."),
    "response.too_short": Wording(
        mark("{used} minutes of moving after the first 10 are too few to tell a drift; {least} are needed."),
        {"used": _minutes, "least": _minutes},
    ),
    "response.no_distance": mark(
        "Without distance, speed or position the work rate is unknown, so no drift can be told."
    ),
    "response.no_elevation": mark("Without elevation the work rate is unknown, so no drift can be told."),
    "response.little_work": mark(
        "For most of the recording the work rate is unknown, so no drift can be told."
    ),
}

_DRIFT_TEST: Mapping[str, str | Wording] = {
    "drift_test.none": mark("This outing is no steady-hour check."),
    "drift_test.under": Wording(
        mark(
            "At {edge} bpm decoupling was {drift} %, under your limit of {threshold} % (that 5 % is little "
            "is common practice without a source)."
        ),
        {"drift": _signed, "threshold": shortest_number},
    ),
    "drift_test.over": Wording(
        mark(
            "At {edge} bpm decoupling was {drift} %, not under your limit of {threshold} % (that 5 % is "
            "little is common practice without a source)."
        ),
        {"drift": _signed, "threshold": shortest_number},
    ),
    "drift_test.near": Wording(
        mark("Days alone differ by about {points} points, so repeat the test before changing the band."),
        {"points": figure},
    ),
    "drift_test.too_short": Wording(
        mark("Too short: {used} moving after the first 10 minutes; {least} are needed."),
        {"used": duration, "least": duration},
    ),
    "drift_test.not_level": mark("Not level or not even: {reason}"),
    "drift_test.interrupted": Wording(
        mark("Interrupted: {share} of the time was spent standing."), {"share": percent}
    ),
    "drift_test.not_steady": Wording(
        mark("Not steady: the work rate of 5-minute stretches differed by {spread}."), {"spread": percent}
    ),
    "drift_test.over_edge": Wording(
        mark("Not at the edge: the first half was at {bpm} bpm, {away} over the upper edge of {edge} bpm."),
        {"bpm": figure, "away": figure},
    ),
    "drift_test.under_edge": Wording(
        mark("Not at the edge: the first half was at {bpm} bpm, {away} under the upper edge of {edge} bpm."),
        {"bpm": figure, "away": figure},
    ),
}

_BAND: Mapping[str, str | Wording] = {
    "hr_max.by_age": Wording(
        mark(
            "{name}: {bpm} bpm at {age} years; single people differ from "
            "it by {low}-{high} bpm, one in three by more."
        ),
        {"bpm": figure, "age": figure, "low": figure, "high": figure},
    ),
    "lactate.no_break": mark("No upward break was found."),
    "lactate.methods_disagree": mark(
        "Methods disagree: they put the upper edge from {low} to {high} bpm. "
        "Longer stages, food and the day change lactate too; begin at the lower figure "
        "if in doubt."
    ),
}

_SPORT: Mapping[str, str | Wording] = {
    "sport.not_modelled": mark(
        "The file names a sport that is neither on foot nor on a bike. Work rate and "
        "climbing speed are modelled only for those two, so figures on work do not apply "
        "to this outing."
    ),
    "sport.taken_for_foot": mark("The file does not say what was done; it is read as an outing on foot."),
    "sport.fast_is_ride": mark("The file does not say what was done; by its speed it is read as a ride."),
    "sport.slow_is_foot": mark(
        "The file does not say what was done; by its speed it is read as an outing on foot."
    ),
}

WORDINGS: Mapping[str, str | Wording] = {
    **SENTENCES,
    **_HALVES,
    **_RESPONSE,
    **_DRIFT_TEST,
    **_BAND,
    **_SPORT,
}
"""By key."""


def stale_sentences(count: int) -> tuple[str, ...]:
    """That some outings are kept as they were reviewed with what holds no more; nothing where none is."""
    text = trn(
        "{n} outing was reviewed with another band, load or version; open the library to renew.",
        "{n} outings were reviewed with another band, load or version; open the library to renew.",
        count,
    )
    return (text.format(n=count),) if count > 0 else ()


def activity_sentences(recognised: Recognised, has_work: bool) -> tuple[str, ...]:
    """What has to be said of what was done: that the file says something else, and what follows from it."""
    name = key_name(recognised.kind)
    if recognised.contradicts and recognised.stated is not None:
        sentence = tr(
            "The file says {said}, but by speed, steps and climbing it was: {name}. Put the sport right "
            "under Recording where this is wrong."
        )
        return (sentence.format(said=key_name(recognised.stated), name=name),)
    if recognised.kind is Activity.TREADMILL and not has_work:
        return (
            tr("On a treadmill there is no ground to tell work from; its grade can be declared in a note."),
        )
    if not recognised.kind.has_work and recognised.kind is not Activity.OTHER:
        sentence = tr(
            "What was done: {name}. Time and heart rate count; there is no work rate to set them by."
        )
        return (sentence.format(name=name),)
    return ()
