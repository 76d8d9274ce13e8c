"""Names on screen of the keys of ``analysis`` and of ``model``, and the words that join them in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from enum import Enum
from typing import Any

from slopebeat.analysis.account.causes import Cause
from slopebeat.analysis.account.climbs import SMALLEST_GAIN_M
from slopebeat.analysis.account.episodes import Direction
from slopebeat.analysis.account.time_account import BandState
from slopebeat.analysis.activity import Activity
from slopebeat.analysis.band.drift_test import DriftTestOutcome
from slopebeat.analysis.months.trend import PMethod
from slopebeat.analysis.response.decoupling import Output, Verdict
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.grid import TimeLeftOut
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, MASS, TEMPERATURE, System, shortest_number, system
from slopebeat.model.people import PhaseKind
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.sentences import wording
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import percent
from slopebeat.review.words.causes import CAUSE_WORDS

NAMES: Mapping[type[Enum], Mapping[Any, str]] = {
    **wording.NAMES,
    Cause: {cause: words.name for cause, words in CAUSE_WORDS.items()},
    Activity: {
        Activity.WALK: mark("walk or hike"),
        Activity.RUN: mark("run"),
        Activity.MIXED: mark("partly walked, partly run"),
        Activity.RIDE: mark("ride"),
        Activity.ELECTRIC: mark("ride with a motor"),
        Activity.LIFTS: mark("descents after lifts"),
        Activity.SKIING: mark("skiing"),
        Activity.SWIMMING: mark("swimming"),
        Activity.STRENGTH: mark("strength work"),
        Activity.TREADMILL: mark("treadmill"),
        Activity.HEART_ONLY: mark("heart rate and time alone"),
        Activity.FRAGMENT: mark("too little to tell"),
        Activity.OTHER: mark("neither on foot nor on a bike"),
    },
    Direction: {
        Direction.ABOVE: mark("above"),
        Direction.BELOW: mark("below"),
    },
    TimeLeftOut: {
        TimeLeftOut.WARM_UP: mark("first 10 minutes"),
        TimeLeftOut.STOPS: mark("stops"),
        TimeLeftOut.NO_HEART_RATE: mark("no or marked heart rate"),
        TimeLeftOut.NO_OUTPUT: mark("no output"),
        TimeLeftOut.NO_WORK: mark("no work rate"),
        TimeLeftOut.RESTART: mark("after a pause or gap"),
        TimeLeftOut.SURPRISES: mark("out of all pattern"),
    },
    Output: {
        Output.SPEED: mark("speed"),
        Output.WORK_RATE: mark("work rate"),
        Output.POWER: mark("recorded power"),
    },
    DriftTestOutcome: {
        DriftTestOutcome.UNDER: mark("the decoupling at the upper edge was under the limit"),
        DriftTestOutcome.OVER: mark("the decoupling at the upper edge was not under the limit"),
        DriftTestOutcome.NOT_A_TEST: mark("this outing is no steady-hour check"),
    },
    PMethod: {
        PMethod.EXACT: mark("exact"),
        PMethod.NORMAL: mark("normal approximation"),
        PMethod.TIES: mark("normal approximation, because equal values have no exact table"),
        PMethod.NONE: mark("too few points"),
    },
    PhaseKind: {
        PhaseKind.BLOCK: mark("block"),
        PhaseKind.CAMP: mark("camp"),
        PhaseKind.ILLNESS: mark("illness"),
    },
    Verdict: {
        Verdict.STEADY: mark("steady enough"),
        Verdict.TERRAIN: mark("terrain decides"),
        Verdict.TOO_SHORT: mark("too short"),
        Verdict.NO_DATA: mark("no data"),
    },
    FitStatus: {
        FitStatus.USABLE: mark("usable"),
        FitStatus.UNDECIDED: mark("undecided"),
        FitStatus.TOO_SHORT: mark("too short"),
        FitStatus.LITTLE_HEART_RATE: mark("too little heart rate"),
        FitStatus.NO_WORK: mark("no work rate"),
        FitStatus.NO_RESPONSE: mark("heart rate did not follow work"),
        FitStatus.NO_DATA: mark("no data"),
    },
}
"""Marked texts, by kind of key: keys of two kinds may be spelled alike. Of kinds that the review of
one outing does not have they stand in ``OTHER_NAMES``, beside this."""

STATE_WORDS = {
    BandState.BELOW: mark("below"),
    BandState.IN_BAND: mark("in band"),
    BandState.ABOVE: mark("above"),
    BandState.NO_HEART_RATE: mark("not known"),
}
"""Where a heart rate lies, beside the band."""


def key_name(key: Enum) -> str:
    """The name of a key in the language in force."""
    names = NAMES.get(type(key))
    if names is None:
        # Only here: what these are keys of takes a tenth of the start of a review to load.
        from slopebeat.review.words.other_names import OTHER_NAMES

        names = OTHER_NAMES[type(key)]
    return tr(names[key])


def sport_name(kept: str) -> str:
    """The name of a sport by the key a library keeps; one of a later version is shown as it is."""
    try:
        return key_name(Sport(kept))
    except ValueError:
        return kept


def listed(parts: Sequence[str]) -> str:
    """Parts as they are listed in a sentence: ``a, b and c``."""
    if len(parts) < 2:
        return "".join(parts)
    return tr("{most} and {last}").format(most=", ".join(parts[:-1]), last=parts[-1])


def sentence_start(text: str) -> str:
    """A phrase as the beginning of a sentence; the letters after the first stay as they are."""
    return text[:1].upper() + text[1:]


def on_way(metres: float) -> str:
    """A short way along the ground: metres, or miles where those are in force."""
    return HEIGHT.text(metres) if system() is System.METRIC else GROUND.text(metres)


def kilograms(mass_kg: float) -> str:
    """A mass as short as it goes: ``75 kg``, ``7.5 kg``, ``165 lb``."""
    return f"{shortest_number(mass_kg)} {MASS.unit}" if system() is System.METRIC else MASS.text(mass_kg)


def degrees(celsius: float) -> str:
    """A temperature as short as it goes: ``22.5 °C``, ``95 °F``."""
    return f"{shortest_number(round(TEMPERATURE.shown(celsius), 1))} {TEMPERATURE.unit}"


def change_interval(low: float, high: float, amount: Callable[[float], str]) -> str:
    """Both ends of the 95 % interval of a change, each as an amount lower or higher."""
    ends = (
        tr("{amount} lower").format(amount=amount(abs(end)))
        if end < 0.0
        else tr("{amount} higher").format(amount=amount(end))
        for end in (low, high)
    )
    return tr("95 %: {low} to {high}").format(low=next(ends), high=next(ends))


def no_climb() -> str:
    """Said where a table of climbs would be empty."""
    least = HEIGHT.text(SMALLEST_GAIN_M)
    return tr("No climb of {gain} or more at {grade} or more.").format(
        gain=least, grade=percent(CLIMBING_GRADE)
    )


def too_steep(gentlest_grade: float | None, on_bike: bool) -> str:
    """From which grade on no speed anyone keeps stays in band; empty where every grade can be gone."""
    if gentlest_grade is None:
        return ""
    grade = percent(gentlest_grade)
    if on_bike:
        return tr("{grade} is too steep to ride in band: walk, or stay under it.").format(grade=grade)
    return tr("{grade} is too steep to walk in band without rests: stay under it.").format(grade=grade)


def night_words(recording: Recording, start_s: float, end_s: float) -> str:
    """The night, with the time by the clock where the time zone is known."""
    if recording.utc_offset_s is None:
        return tr("night")
    start = recording.start_utc + timedelta(seconds=recording.utc_offset_s)
    first, last = (f"{start + timedelta(seconds=each):%H:%M}" for each in (start_s, end_s))
    return tr("night, {first} to {last}").format(first=first, last=last)
