"""Sentences of errors, and of what readers and the library find.

An error is a whole sentence wherever it is caught, also below ``review``, so its text stands here.
"""

from __future__ import annotations

from collections.abc import Mapping

from slopebeat.model.language import mark
from slopebeat.model.measures import figure, shortest_number
from slopebeat.model.message import Message
from slopebeat.model.sentences.files import FILES
from slopebeat.model.sentences.library import LIBRARY
from slopebeat.model.sentences.wording import Wording, worded


def _tenth(value: float) -> str:
    return figure(value, 1)


def lactate(mmol_l: float) -> str:
    """A concentration with its unit."""
    return f"{shortest_number(float(f'{mmol_l:.2g}'))} mmol/L"


_ANALYSIS: Mapping[str, Wording] = {
    "not_plausible": Wording(
        mark("{what} of {value} {unit} is not plausible; give one from {low} to {high}."),
        {"value": shortest_number, "low": shortest_number, "high": shortest_number},
    ),
    "hr_max.no_such_age": Wording(
        mark("A formula for maximal heart rate needs an age from {low} to {high} years; {age} is not one."),
        {"low": figure, "high": figure, "age": shortest_number},
    ),
    "step_test.few_stages": Wording(mark("A step test needs at least {least} stages; there are {count}.")),
    "step_test.resting_lactate": Wording(mark("The resting lactate")),
    "step_test.stage_lactate": Wording(mark("In stage {number} a lactate")),
    "step_test.stage_heart_rate": Wording(mark("In stage {number} a heart rate")),
    "step_test.no_load": Wording(mark("Stage {number} needs a load above 0 {unit}; rest is entered apart.")),
    "step_test.no_harder": Wording(
        mark("The load has to rise from stage to stage; stage {number} is no harder than the last.")
    ),
    "step_test.lactate_falls": Wording(
        mark("Lactate falls by {fall} mmol/L to stage {number}; check the two readings."), {"fall": _tenth}
    ),
    "step_test.heart_rate_falls": Wording(
        mark("Heart rate falls by {fall} bpm to stage {number}; check the two readings."), {"fall": figure}
    ),
    "lactate.not_reached": Wording(
        mark("The test ended before lactate reached {value}."), {"value": lactate}
    ),
    "lactate.always_over": Wording(
        mark("Lactate was over {value} in every stage: start easier."), {"value": lactate}
    ),
    "plan.too_long": Wording(
        mark("The way takes about {hours} hours of moving, more than one outing; plan it in stages."),
        {"hours": figure},
    ),
}

SENTENCES: Mapping[str, Wording] = {**_ANALYSIS, **FILES, **LIBRARY}
"""By key."""


def sentence(message: Message) -> str:
    """A message in the language in force."""
    return worded(message, SENTENCES)
