"""Names on screen of the keys of ``model``, and how a message is worded: a text with names and values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import partial
from typing import Any

from slopebeat.model.basis import BandMethod
from slopebeat.model.language import mark, tr
from slopebeat.model.marks import Channel, MarkState, Reason
from slopebeat.model.measures import counted, figure
from slopebeat.model.message import Message
from slopebeat.model.note_kinds import RULES, Author, NoteKind
from slopebeat.model.recording import Ground, Sport

NAMES: Mapping[type[Enum], Mapping[Any, str]] = {
    Sport: {
        Sport.WALKING: mark("walking"),
        Sport.HIKING: mark("hiking"),
        Sport.RUNNING: mark("running"),
        Sport.CYCLING: mark("cycling"),
        Sport.MOUNTAIN_BIKING: mark("mountain biking"),
        Sport.OTHER: mark("other"),
        Sport.UNKNOWN: mark("unknown"),
    },
    Ground: {
        Ground.FOOT: mark("on foot"),
        Ground.BIKE: mark("on a bike"),
    },
    BandMethod: {
        BandMethod.HR_MAX: mark("% of maximal heart rate"),
        BandMethod.RESERVE: mark("% of heart-rate reserve"),
        BandMethod.MANUAL: mark("set by hand"),
        BandMethod.LACTATE: mark("lactate test"),
        BandMethod.DRIFT_TEST: mark("steady-hour check"),
    },
    Channel: {
        Channel.HEART_RATE: mark("heart rate"),
        Channel.ELEVATION: mark("elevation"),
        Channel.POSITION: mark("position"),
        Channel.WORK: mark("work rate"),
        Channel.POWER: mark("recorded power"),
    },
    Reason: {
        Reason.SPIKE: mark("changes faster than a heart can"),
        Reason.IMPLAUSIBLE: mark("outside what a heart does"),
        Reason.FROZEN: mark("frozen while the work changed"),
        Reason.DROP_OUT: mark("no heart rate"),
        Reason.STEP_LOCKED: mark("follows the step rate"),
        Reason.AFTER_RESTART: mark("first record after a restart"),
        Reason.POSITION_JUMP: mark("position jumps"),
        Reason.ELEVATION_STEP: mark("elevation steps"),
        Reason.RESTING_RUN: mark("a resting heart rate while running"),
        Reason.ERRATIC: mark("erratic"),
        Reason.FAR_BELOW: mark("far below the rest of this outing"),
        Reason.FAR_ABOVE: mark("far above the rest of this outing"),
        Reason.WRONG_SIDE: mark("the wrong side of a jump no heart makes"),
        Reason.BELOW_EARLIER: mark("below what earlier outings foretell"),
        Reason.ABOVE_EARLIER: mark("above what earlier outings foretell"),
        Reason.TOO_MUCH_WORK: mark("more work than anyone keeps up"),
        Reason.CARRIED: mark("carried up, as by a lift"),
        Reason.TIMER_OFF_CLIMB: mark("climbed or sank with the timer off"),
        Reason.POSITION_FROZEN: mark("positions stood still, then jumped"),
        Reason.NO_POWER: mark("power of nothing but zeros"),
        Reason.ELECTRIC: mark("helped by a motor"),
        Reason.BY_HAND: mark("marked by hand"),
    },
    MarkState: {
        MarkState.PROPOSED: mark("proposed"),
        MarkState.ACCEPTED: mark("accepted"),
        MarkState.REJECTED: mark("rejected"),
    },
    Author: {
        Author.COACH: mark("coach"),
        Author.ATHLETE: mark("athlete"),
    },
    NoteKind: {kind: rule.name for kind, rule in RULES.items()},
}
"""Marked texts, by kind of key: keys of two kinds may be spelled alike."""


def key_name(key: Enum) -> str:
    """The name of a key of this layer in the language in force; ``review.words`` knows those of all."""
    return tr(NAMES[type(key)][key])


@dataclass(frozen=True)
class Wording:
    """A marked text with the names of a message's values, and how each is shown that is no text or count.

    Where there is none of these the text alone stands for it.
    """

    text: str
    shown: Mapping[str, Callable[[Any], str]]


def worded(
    message: Message, wordings: Mapping[str, str | Wording], name: Callable[[Enum], str] = key_name
) -> str:
    """A message in the language in force; messages and keys among its values are worded in their place.

    Raises
    ------
    KeyError
        For a message without a wording.
    """
    wording = wordings[message.key]
    text, shown = (wording, {}) if isinstance(wording, str) else (wording.text, wording.shown)
    values = {}
    for at, value in message.values.items():
        show = shown.get(at, _plain)
        parts = value if isinstance(value, tuple) else (value,)
        values[at] = ", ".join(_part(part, wordings, name, show) for part in parts)
    return tr(text).format(**values)


TENTH = partial(figure, digits=1)


def _plain(value: Any) -> str:
    return counted(value) if isinstance(value, int) else str(value)


def _part(
    value: Any, wordings: Mapping[str, str | Wording], name: Callable[[Enum], str], show: Callable[[Any], str]
) -> str:
    if isinstance(value, Message):
        return worded(value, wordings, name)
    return name(value) if isinstance(value, Enum) else show(value)
