"""Wording of the errors that the layers without words raise, and how any message is worded.

An error is a whole sentence wherever it is caught, also below ``review``, so its text stands here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure, plain
from slopebeat.model.message import Message
from slopebeat.model.names import key_name


@dataclass(frozen=True)
class Wording:
    """A marked text with the names of a message's values, and how each is shown that is no text already."""

    text: str
    shown: Mapping[str, Callable[[Any], str]] = field(default_factory=dict)


def worded(said: Message, wordings: Mapping[str, Wording], name: Callable[[Enum], str] = key_name) -> str:
    """A message in the language in force; messages and keys among its values are worded in their place.

    Raises
    ------
    KeyError
        For a message without a wording.
    """
    wording = wordings[said.key]
    values = {}
    for at, value in said.values.items():
        if isinstance(value, Message):
            value = worded(value, wordings, name)
        elif isinstance(value, Enum):
            value = name(value)
        elif at in wording.shown:
            value = wording.shown[at](value)
        values[at] = value
    return tr(wording.text).format(**values)


def sentence(said: Message) -> str:
    """The whole sentence of an error."""
    return worded(said, SENTENCES)


def _tenth(value: float) -> str:
    return figure(value, 1)


def lactate(mmol_l: float) -> str:
    """A concentration with its unit."""
    return f"{plain(float(f'{mmol_l:.2g}'))} mmol/L"


SENTENCES: Mapping[str, Wording] = {
    "not_plausible": Wording(
        mark("{what} of {value} {unit} is not plausible; give one from {low} to {high}."),
        {"value": plain, "low": plain, "high": plain},
    ),
    "hr_max.no_such_age": Wording(
        mark("A formula for maximal heart rate needs an age from {low} to {high} years; {age} is not one."),
        {"low": figure, "high": figure, "age": plain},
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
"""By key."""
