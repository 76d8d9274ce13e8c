"""Values of the few messages that are no records, one at a time."""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from dataclasses import dataclass

from slopebeat.files.fit.content import MESSAGE_FIELDS, Message, Value
from slopebeat.files.fit.layout import NUMBERS, TEXT, Layout, StoredField
from slopebeat.files.fit.profile import ProfileField, fields_of

TIMESTAMP_NAME = "timestamp"

Raw = int | float | str | None


@dataclass(frozen=True, eq=False)
class _Read:
    number: int
    meant: ProfileField | None
    raw: Callable[[bytes, int], Raw]


class MessageDecoder:
    """Decodes the messages of one layout.

    Parameters
    ----------
    name : the message's name in the profile.
    """

    def __init__(self, name: str, layout: Layout) -> None:
        self._name = name
        profile = fields_of(layout.message)
        others = {
            number
            for meant in profile.values()
            for conditions, _ in meant.alternatives
            for number, _ in conditions
        }
        self._reads: list[_Read] = []
        for field in layout.fields:
            reader = _raw_reader(field, layout.byte_order)
            if reader is not None and (field.number in profile or field.number in others):
                self._reads.append(_Read(field.number, profile.get(field.number), reader))

    def decode(self, data: bytes, start: int, header_time_s: float) -> Message:
        """The message that begins at ``start``: fields without a value are left out.

        ``header_time_s`` is the time its header says, NaN for most; a field with the time beats it.
        """
        raws = [(each, each.raw(data, start)) for each in self._reads]
        fields: dict[str, Value] = {}
        for each, raw in raws:
            if raw is None or each.meant is None:
                continue
            meant = _resolved(each.meant, raws)
            if meant.wanted:
                value = meant.value(raw)
                fields[meant.name] = value if isinstance(value, str) else float(value)
        if not math.isnan(header_time_s) and TIMESTAMP_NAME in MESSAGE_FIELDS[self._name]:
            fields.setdefault(TIMESTAMP_NAME, header_time_s)
        return self._name, fields


def _resolved(meant: ProfileField, raws: list[tuple[_Read, Raw]]) -> ProfileField:
    """The field a message means, which may hang on another of its fields."""
    for conditions, other in meant.alternatives:
        for number, expected in conditions:
            if any(each.number == number and raw == expected for each, raw in raws):
                return other
    return meant


def _raw_reader(field: StoredField, byte_order: str) -> Callable[[bytes, int], Raw] | None:
    """Reads one number or one text; None for lists and bytes, of which no field that is kept is made."""
    if field.base_type == TEXT and field.size:
        return lambda data, start: _text(data[start + field.offset : start + field.offset + field.size])
    if field.code is None:
        return None
    _code, letter, none = NUMBERS[field.base_type]
    unpack = struct.Struct(byte_order + letter).unpack_from

    def number(data: bytes, start: int) -> Raw:
        (value,) = unpack(data, start + field.offset)
        return None if value == none or (none is None and math.isnan(value)) else value

    return number


def _text(stored: bytes) -> str | None:
    return stored.split(b"\x00", 1)[0].decode("utf-8", errors="replace") or None
