"""What readers find, in words, for tests that check what a user is told."""

from __future__ import annotations

from collections.abc import Iterable

from slopebeat.model.message import Message
from slopebeat.model.sentences.table import sentence


def sentences_of(found: Iterable[Message]) -> tuple[str, ...]:
    """The sentences in the language in force."""
    return tuple(sentence(each) for each in found)
