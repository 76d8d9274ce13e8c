"""Whether what stands in a library is of the kind it must be: a damaged file may hold anything anywhere."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Iterable
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from functools import lru_cache
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

import numpy as np

from slopebeat.library.faults import LibraryFault
from slopebeat.model.errors import UserError
from slopebeat.model.message import Message

YEARS = (1000, 9000)
"""Times outside these years leave no room to reckon with weeks [project choice]."""

DAY_S = 86_400.0
"""No local time is a day or more off UTC."""

UNREADABLE = (ValueError, TypeError, KeyError, AttributeError, ArithmeticError, RecursionError, UserError)
"""What reading damaged values back may end in."""

T = TypeVar("T")


def checked(record: T) -> T:
    """The record, a dataclass, when every field holds what its annotation says and numbers are finite.

    Raises
    ------
    ValueError
        Naming the field that does not.
    """
    for name, hint in _hints(type(record)):  # type: ignore[arg-type]
        if not _fits(getattr(record, name), hint):
            raise ValueError(f"{type(record).__name__}.{name}")
    return record


def timely(record: T, moment: datetime, utc_offset_s: float | None) -> T:
    """The record, when its moment and local time can be reckoned with; else ValueError."""
    if not YEARS[0] <= moment.year <= YEARS[1] or abs(utc_offset_s or 0.0) >= DAY_S:
        raise ValueError(moment, utc_offset_s)
    return record


@lru_cache(maxsize=64)
def _hints(kind: type) -> tuple[tuple[str, Any], ...]:
    hints = get_type_hints(kind)
    return tuple((field.name, hints[field.name]) for field in fields(kind))


def _fits(value: Any, hint: Any) -> bool:
    origin = get_origin(hint)
    if origin in (Union, UnionType):
        return any(_fits(value, each) for each in get_args(hint))
    if origin is tuple:
        kinds = get_args(hint)
        if not isinstance(value, tuple) or (kinds[-1] is not ... and len(value) != len(kinds)):
            return False
        return all(_fits(each, kinds[0] if kinds[-1] is ... else kinds[at]) for at, each in enumerate(value))
    if origin is np.ndarray:
        return isinstance(value, np.ndarray) and bool(np.all(np.isfinite(value)))
    if origin is dict or hint is Any:
        return origin is not dict or isinstance(value, dict)
    if is_dataclass(hint):
        return isinstance(value, hint) and checked(value) is value  # type: ignore[arg-type]
    return _is_plain(value, hint)


def _is_plain(value: Any, hint: type) -> bool:
    if hint is NoneType:
        return value is None
    if hint in (int, float):
        number = isinstance(value, int) or (hint is float and isinstance(value, float))
        return number and not isinstance(value, bool) and math.isfinite(value)
    if hint is str:
        return isinstance(value, str) and (isinstance(value, Enum) or is_text(value))
    if hint in (datetime, date):
        return isinstance(value, hint)
    return isinstance(value, hint)


def is_text(text: str) -> bool:
    """Whether a text can be written anywhere: JSON can name halves of characters that nothing can encode."""
    return not any("\ud800" <= char <= "\udfff" for char in text)


def decoded(raw: bytes) -> Any:
    """Text of a database; bytes that are no text stay bytes, so that only their row is lost."""
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        return raw


class Damage:
    """What could not be read of a library, each once; any thread may add."""

    def __init__(self) -> None:
        self._found: dict[Message, None] = {}
        self._lock = threading.Lock()

    def add(self, *found: Message) -> None:
        with self._lock:
            self._found |= dict.fromkeys(found)

    @property
    def found(self) -> tuple[Message, ...]:
        with self._lock:
            return tuple(self._found)

    def readable(
        self, rows: Iterable[Any], make: Callable[[Any], T], name: Callable[[Any], Message]
    ) -> list[T]:
        """What ``make`` makes of the rows it can read; each of the others is named by a message."""
        found = []
        for row in rows:
            try:
                found.append(make(row))
            except LibraryFault as fault:
                self.add(*fault.messages)
            except UNREADABLE:
                self.add(name(row))
        return found


def shown(value: Any) -> str:
    """Whatever stands in a damaged row, short and printable."""
    text = value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)
    return "".join(char if char.isprintable() and char != "\ufffd" else "?" for char in text[:60])
