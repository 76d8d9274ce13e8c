"""What a test needs to be there."""

from __future__ import annotations

from typing import TypeVar

T = TypeVar("T")


def not_none(value: T | None) -> T:
    """The value; where it is absent the test fails here."""
    assert value is not None
    return value
