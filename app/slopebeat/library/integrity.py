"""Whether what stands in a library is of the kind it must be: a damaged file may hold anything anywhere.

Times are kept as whole microseconds since 1970, exact and in order.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from slopebeat.library.faults import LibraryFault
from slopebeat.model import codec
from slopebeat.model.errors import UserError
from slopebeat.model.message import Message, message

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


def to_us(moment: datetime) -> int:
    """Microseconds since 1970-01-01T00:00Z of an aware time."""
    if moment.tzinfo is None:
        raise ValueError("a library keeps aware times only")
    return (moment - _EPOCH) // _MICROSECOND


def from_us(microseconds: int) -> datetime:
    """The aware UTC time back."""
    return _EPOCH + microseconds * _MICROSECOND


def now() -> datetime:
    return datetime.now(UTC)


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
    Undecodable
        Naming the field that does not, which is a ValueError.
    """
    values = vars(record)
    for name, value in values.items():
        if isinstance(value, float) and not math.isfinite(value):
            raise ValueError(f"{type(record).__name__}.{name}")
    return codec.convert(values, type(record))


def timely(record: T, moment: datetime, utc_offset_s: float | None) -> T:
    """The record, when its moment and local time can be reckoned with; else ValueError."""
    if not YEARS[0] <= moment.year <= YEARS[1] or abs(utc_offset_s or 0.0) >= DAY_S:
        raise ValueError(moment, utc_offset_s)
    return record


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

    def clear(self) -> None:
        with self._lock:
            self._found = {}

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


def lost(key: str, **columns: str | int) -> Callable[[Any], Message]:
    """What says which row is damaged: a message with some of its columns, by name or number."""
    return lambda row: message(key, **{name: shown(row[column]) for name, column in columns.items()})


def shown(value: Any) -> str:
    """Whatever stands in a damaged row, short and printable."""
    text = value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)
    return "".join(char if char.isprintable() and char != "\ufffd" else "?" for char in text[:60])
