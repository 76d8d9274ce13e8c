"""Records of the program as JSON and back, every field of the kind its annotation says.

Fields keep their names, times are ISO 8601, members of :class:`slopebeat.model.message.KeyEnum` go by name.
What a later version adds to a record is passed over; a field without a default must be there.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date, datetime
from enum import Enum
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import Annotated, Any, TypeVar, get_origin, get_type_hints

import msgspec

from slopebeat.model.basis import Basis
from slopebeat.model.message import KeyEnum

ARRAY_DIGITS = 10
"""Significant digits kept of an array: centred sums lose a few to cancelling [project choice]."""

Finite = Annotated[float, msgspec.Meta(ge=-sys.float_info.max, le=sys.float_info.max)]
"""A number; JSON can also write what is too large for one."""

Instant = Annotated[datetime, msgspec.Meta(tz=True)]
"""A time that says how far it is off UTC."""

PLAIN = frozenset({float, int, str, bool, type(None)})
"""What JSON has itself, asked first: nearly all that is kept of an outing is numbers."""

_PLACE = re.compile(r" - at `\$\.?(.*)`$")

_making = Lock()
"""The library keeps what it knows of a class on the class, half made while one thread makes it: another that
decoded with it meanwhile would end the process."""

T = TypeVar("T")


class Undecodable(ValueError):
    """Text or values that are not the record they should be.

    Attributes
    ----------
    field : the first field that is not, such as ``outings[3].outing.load_kg``; empty for all of it.
    unknown : whether it names a member of an enumeration that this version does not know.
    """

    def __init__(self, problem: Exception) -> None:
        super().__init__(str(problem))
        found = _PLACE.search(str(problem))
        self.field = found[1] if found else ""
        self.unknown = str(problem).startswith("Invalid enum value")


def encode(record: Any, indent: int | None = None) -> str:
    """The record as JSON text in ASCII; ValueError for a number that is not finite."""
    return json.dumps(to_builtins(record), allow_nan=False, indent=indent)


def to_builtins(value: Any) -> Any:
    """The value as JSON values."""
    if type(value) in PLAIN:
        return value
    if isinstance(value, Enum):
        return value.name if isinstance(value, KeyEnum) else value.value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Basis):
        return value.values
    if is_dataclass(value):
        return {field.name: to_builtins(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {key: to_builtins(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [to_builtins(item) for item in value]
    if _is_array(type(value)):
        return [float(f"{number:.{ARRAY_DIGITS}g}") for number in value.ravel()]
    return str(value) if isinstance(value, Path) else value


def decode(text: str | bytes, kind: type[T]) -> T:
    """The record of a type from JSON text; :class:`Undecodable` when that is none.

    Text that nothing could store, with halves of characters, is none either.
    """
    try:
        found: T = _decoder(kind).decode(text)  # type: ignore[arg-type]
    except (msgspec.DecodeError, UnicodeError, RecursionError) as problem:
        raise Undecodable(problem) from problem
    return found


def parse(text: str) -> Any:
    """JSON values as they are, with the halves of characters that names of files may hold."""
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise Undecodable(problem) from problem


def convert(values: Any, kind: type[T]) -> T:
    """The record of a type from JSON values or from values of its fields; else :class:`Undecodable`."""
    _decoder(kind)  # type: ignore[arg-type]
    try:
        return msgspec.convert(values, kind, dec_hook=_own)
    except (msgspec.ValidationError, RecursionError) as problem:
        raise Undecodable(problem) from problem


def repaired(values: Mapping[str, Any], default: T, damaged: list[str], within: str = "") -> T:
    """A record like ``default`` with what is sound of the values; ``damaged`` gets the names of the rest.

    Records inside are repaired in the same way, their fields named with dots.
    """
    found: dict[str, Any] = {}
    for name, hint in _hints(type(default)).items():  # type: ignore[arg-type]
        before = getattr(default, name)
        try:
            if name in values and is_dataclass(before):
                inner = convert(values[name], dict[str, Any])
                found[name] = repaired(inner, before, damaged, f"{within}{name}.")
            elif name in values:
                found[name] = convert(values[name], hint)
        except Undecodable:
            damaged.append(within + name)
    return replace(default, **found)  # type: ignore[type-var]


@lru_cache(maxsize=64)
def _hints(kind: type) -> dict[str, Any]:
    hints = get_type_hints(kind, include_extras=True)
    return {field.name: hints[field.name] for field in fields(kind)}


@lru_cache(maxsize=64)
def _decoder(kind: Any) -> msgspec.json.Decoder[Any]:
    with _making:
        return msgspec.json.Decoder(kind, dec_hook=_own)


def _is_array(kind: Any) -> bool:
    """Told by its name: most records hold none, and NumPy takes longer to load than all that reads them."""
    return getattr(kind, "__name__", "") == "ndarray"


def _own(kind: Any, value: Any) -> Any:
    """Values of types the library does not know."""
    if _is_array(get_origin(kind)):
        import numpy as np  # It is loaded: who asks for an array has named its type.

        if isinstance(value, np.ndarray):
            return value
        if not (isinstance(value, list) and all(type(item) in (int, float) for item in value)):
            raise TypeError("an array is a list of numbers")
        return np.array(value, dtype=float)
    if kind is Path and isinstance(value, str):
        return Path(value)
    raise TypeError(f"{value!r} is no {kind}")
