"""Keys instead of words: what is to be said to the user, and enumerations whose members are kept in files.

A message is found below, as a key and its values, and put into words above.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any


class KeyEnum(StrEnum):
    """An enumeration that files keep by the names of its members, which therefore never change.

    The value may be whatever the code needs; a name is taken for its member where a value is looked up.
    """

    @classmethod
    def _missing_(cls, value: object) -> KeyEnum | None:
        return cls.__members__.get(value) if isinstance(value, str) else None


@dataclass(frozen=True)
class Message:
    """A sentence or part of one that is not worded yet.

    Attributes
    ----------
    key : stable; files and JSON may keep it. Its wording stands in ``model.sentences`` where an error may
        carry it, else in ``review.words``.
    values : what the wording needs, by name: SI numbers, keys, further messages, texts of a user or a file.
    """

    key: str
    values: Mapping[str, Any] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((self.key, tuple(sorted(self.values))))


def message(key: str, **values: Any) -> Message:
    """A message with its values by name."""
    return Message(key, values)
