"""The kinds of notes and what each may hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum

from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MASS, TEMPERATURE, Measure
from slopebeat.model.message import KeyEnum
from slopebeat.model.recording import Sport


class Author(KeyEnum):
    """Who wrote a note, by role."""

    COACH = "coach"
    ATHLETE = "athlete"


class TalkTest(IntEnum):
    """What could be said while moving; full sentences go with low intensity (common practice, no source)."""

    WORDS = 1
    PHRASES = 2
    FULL_SENTENCES = 3

    @property
    def wording(self) -> str:
        return (tr("single words"), tr("phrases"), tr("full sentences"))[self - 1]


SPORTS = (
    Sport.WALKING,
    Sport.HIKING,
    Sport.RUNNING,
    Sport.CYCLING,
    Sport.MOUNTAIN_BIKING,
    Sport.OTHER,
)
"""What a note on what was done counts through, from 1; files keep the number, so new ones go to the end."""


class NoteKind(KeyEnum):
    """What a note holds."""

    REMARK = "remark"
    EFFORT = "effort"
    TALK_TEST = "talk_test"
    LACTATE = "lactate"
    LOAD = "load"
    SURFACE = "surface"
    WEATHER = "weather"
    FUEL = "fuel"
    SPORT = "sport"
    GRADE = "grade"
    UTC_OFFSET = "utc_offset"


UTC_OFFSETS_H = (-12.0, 14.0)
"""Hours from UTC that clocks on the ground show, least and most (IANA time zone database)."""


@dataclass(frozen=True)
class Rule:
    """What a kind of note may hold: a number in ``unit`` from ``low`` to ``high``, a text, a moment.

    With a ``measure`` the number is shown and typed in the units in force. ``step`` is one step of its box.
    ``question`` asks for one of a few answers whose whole number it is; it and ``name`` are marked texts.
    """

    name: str
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    needs_value: bool = False
    needs_text: bool = False
    at_moment: bool = False
    measure: Measure | None = None
    step: float = 1.0
    question: str = ""

    @property
    def has_value(self) -> bool:
        return self.low < self.high


RULES: Mapping[NoteKind, Rule] = {
    NoteKind.REMARK: Rule(mark("remark"), needs_text=True),
    NoteKind.EFFORT: Rule(mark("perceived effort"), mark("of 10"), 0.0, 10.0, needs_value=True, step=0.5),
    NoteKind.TALK_TEST: Rule(
        mark("talk test"), "", 1.0, 3.0, needs_value=True, question=mark("What could be said while moving")
    ),
    NoteKind.LACTATE: Rule(
        mark("lactate sample"), "mmol/L", 0.3, 25.0, needs_value=True, at_moment=True, step=0.1
    ),
    NoteKind.LOAD: Rule(mark("load carried"), "kg", 0.0, 150.0, needs_value=True, measure=MASS),
    NoteKind.SURFACE: Rule(mark("surface"), needs_text=True),
    NoteKind.WEATHER: Rule(mark("weather"), "°C", -60.0, 60.0, measure=TEMPERATURE),
    NoteKind.FUEL: Rule(mark("fuel and drink"), needs_text=True),
    NoteKind.SPORT: Rule(
        mark("what was done"), "", 1.0, float(len(SPORTS)), needs_value=True, question=mark("What was done")
    ),
    NoteKind.GRADE: Rule(mark("grade of the ground"), "%", -45.0, 45.0, needs_value=True),
    NoteKind.UTC_OFFSET: Rule(mark("time zone"), "h", *UTC_OFFSETS_H, needs_value=True, step=0.25),
}
"""Ranges are what is taken for possible [project choice]; effort is on a scale of 0 to 10 (Borg CR10)."""
