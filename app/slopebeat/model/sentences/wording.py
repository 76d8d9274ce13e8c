"""How a message is worded: a text with names, and how each value is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from slopebeat.model.language import tr
from slopebeat.model.message import Message
from slopebeat.model.sentences.names import key_name


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
        show = wording.shown.get(at, str)
        parts = value if isinstance(value, tuple) else (value,)
        values[at] = ", ".join(_part(part, wordings, name, show) for part in parts)
    return tr(wording.text).format(**values)


def _part(
    value: Any, wordings: Mapping[str, Wording], name: Callable[[Enum], str], show: Callable[[Any], str]
) -> str:
    if isinstance(value, Message):
        return worded(value, wordings, name)
    return name(value) if isinstance(value, Enum) else show(value)
