"""What is to be said to the user, as a key and its values: found below, put into words above."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


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
