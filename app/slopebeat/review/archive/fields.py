"""JSON values of an archive taken one by one: each of the type it must be, or a sentence."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import UTC, date, datetime
from enum import Enum
from typing import Any, TypeVar

from slopebeat.model.basis import Basis
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr

LONGEST_TEXT = 100_000
"""Longest text of one value, in characters [project choice]."""

E = TypeVar("E", bound=Enum)


class DamagedArchive(UserError):
    """An archive that does not hold what it must; nothing of it was brought in."""


class Fields:
    """The values of one JSON object.

    Every method raises :class:`DamagedArchive` when the value is missing or of another kind.
    """

    def __init__(self, values: object, what: str) -> None:
        if not isinstance(values, Mapping):
            raise DamagedArchive(tr("The archive is damaged: {what} is not there.").format(what=tr(what)))
        self._values: Mapping[str, Any] = values
        self._what = what

    def _wrong(self, name: str) -> DamagedArchive:
        told = tr("The archive is damaged: {name} of {what} is not what it should be.")
        return DamagedArchive(told.format(name=name, what=tr(self._what)))

    def _get(self, name: str) -> Any:
        if name not in self._values:
            raise self._wrong(name)
        return self._values[name]

    def absent(self, name: str) -> bool:
        return self._get(name) is None

    def text(self, name: str) -> str:
        """A text that can be stored and shown: no half characters, no NUL."""
        value = self._get(name)
        if not isinstance(value, str) or not _is_sound(value):
            raise self._wrong(name)
        return value

    def basis(self, name: str) -> Basis:
        """How a band was found."""
        try:
            found = Basis.of_values(self._get(name))
        except (ValueError, TypeError, RecursionError):
            raise self._wrong(name) from None
        if not _is_sound(found.text):
            raise self._wrong(name)
        return found

    def number(self, name: str, low: float = -math.inf, high: float = math.inf) -> float:
        """A finite number in a range."""
        value = self._get(name)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self._wrong(name)
        try:
            number = float(value)
        except OverflowError:
            raise self._wrong(name) from None
        if not (math.isfinite(number) and low <= number <= high):
            raise self._wrong(name)
        return number

    def maybe_number(self, name: str, low: float = -math.inf, high: float = math.inf) -> float | None:
        return None if self.absent(name) else self.number(name, low, high)

    def whole(self, name: str, low: int, high: int) -> int:
        """A whole number in a range."""
        value = self._get(name)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise self._wrong(name)
        return value

    def maybe_whole(self, name: str, low: int, high: int) -> int | None:
        return None if self.absent(name) else self.whole(name, low, high)

    def flag(self, name: str) -> bool:
        value = self._get(name)
        if not isinstance(value, bool):
            raise self._wrong(name)
        return value

    def time(self, name: str) -> datetime:
        """An aware time, in UTC."""
        try:
            value = datetime.fromisoformat(self.text(name))
            if value.tzinfo is None:
                raise self._wrong(name)
            return value.astimezone(UTC)
        except (ValueError, OverflowError):
            raise self._wrong(name) from None

    def maybe_time(self, name: str) -> datetime | None:
        return None if self.absent(name) else self.time(name)

    def day(self, name: str) -> date:
        try:
            return date.fromisoformat(self.text(name))
        except ValueError:
            raise self._wrong(name) from None

    def word(self, name: str, words: type[E]) -> E:
        """A member of an enumeration by its name; an unknown one is of a later version."""
        text = self.text(name)
        try:
            return words[text]
        except KeyError:
            told = tr(
                "The archive holds {name} {text}, which this version does not know; update the program."
            )
            raise DamagedArchive(told.format(name=name, text=repr(text[:40]))) from None

    def inner(self, name: str, what: str) -> Fields:
        """The values of an object inside this one."""
        return Fields(self._get(name), what)

    def items(self, name: str) -> list[Any]:
        value = self._get(name)
        if not isinstance(value, list):
            raise self._wrong(name)
        return value


def _is_sound(text: str) -> bool:
    """Whether a text can be stored and shown, and is no longer than any that was ever typed."""
    halves = any(0xD800 <= ord(char) <= 0xDFFF for char in text)
    return len(text) <= LONGEST_TEXT and "\x00" not in text and not halves
