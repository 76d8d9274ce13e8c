"""Definition messages of the FIT protocol: how the data messages after them are laid out."""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

HEADER_BYTES = 1
_FIXED_BYTES = 6  # header, reserved, architecture, message number (2), count of fields
_FIELD_BYTES = 3

IS_DEFINITION = 0x40
HAS_DEVELOPER_FIELDS = 0x20
"""Bits of a normal message header (FIT protocol, "Record Header")."""

TEXT = 0x07
BYTES = 0x0D

NUMBERS: dict[int, tuple[str, str, float | None]] = {
    0x00: ("u1", "B", 0xFF),
    0x01: ("i1", "b", 0x7F),
    0x02: ("u1", "B", 0xFF),
    0x83: ("i2", "h", 0x7FFF),
    0x84: ("u2", "H", 0xFFFF),
    0x85: ("i4", "i", 0x7FFFFFFF),
    0x86: ("u4", "I", 0xFFFFFFFF),
    0x88: ("f4", "f", None),
    0x89: ("f8", "d", None),
    0x0A: ("u1", "B", 0),
    0x8B: ("u2", "H", 0),
    0x8C: ("u4", "I", 0),
    0x8E: ("i8", "q", 0x7FFFFFFFFFFFFFFF),
    0x8F: ("u8", "Q", 0xFFFFFFFFFFFFFFFF),
    0x90: ("u8", "Q", 0),
}
"""Numeric base types: NumPy's code, that of ``struct``, and the value that means "none" (FIT protocol,
"Base Types"); floating point numbers are none when they are NaN."""


@dataclass(frozen=True)
class StoredField:
    """A field as a definition lays it out, at ``offset`` bytes from the header of each message."""

    number: int
    size: int
    base_type: int
    offset: int

    @property
    def code(self) -> str | None:
        """NumPy's code of a field that holds one number, else None."""
        row = NUMBERS.get(self.base_type)
        return row[0] if row and int(row[0][1:]) == self.size else None

    @property
    def is_integer(self) -> bool:
        return self.code is not None and self.code[0] != "f"


@dataclass(frozen=True, eq=False)
class MessageLayout:
    """One kind of data message, and where those of it lie.

    Attributes
    ----------
    message : number of the message in the profile.
    size : bytes of each, header and developer fields included.
    starts : where each begins in the data, rising.
    """

    message: int
    big_endian: bool
    fields: tuple[StoredField, ...]
    size: int
    starts: array[int] = field(default_factory=lambda: array("I"))

    @property
    def byte_order(self) -> str:
        return ">" if self.big_endian else "<"

    @cached_property
    def start_indices(self) -> np.ndarray:
        """``starts`` for indexing, once all are found."""
        return np.array(self.starts, dtype=np.intp)


def definition_size(data: bytes, at: int, end: int) -> int | None:
    """Bytes of the definition message at ``at``; None when it is cut by ``end``."""
    size = _FIXED_BYTES
    if at + size > end:
        return None
    size += _FIELD_BYTES * data[at + 5]
    if data[at] & HAS_DEVELOPER_FIELDS:
        if at + size >= end:
            return None
        size += 1 + _FIELD_BYTES * data[at + size]
    return size if at + size <= end else None


def layout_of(definition: bytes) -> MessageLayout:
    """The layout a complete definition message says.

    Developer fields count only by their size: what they mean is said elsewhere in the file, at times
    wrongly, and none of it is read. A field whose size does not fit its base type is passed over.
    """
    big_endian = definition[2] != 0
    message = int.from_bytes(definition[3:5], "big" if big_endian else "little")
    offset, fields = HEADER_BYTES, []
    behind = _FIXED_BYTES + _FIELD_BYTES * definition[5]
    for at in range(_FIXED_BYTES, behind, _FIELD_BYTES):
        number, size, base_type = definition[at : at + _FIELD_BYTES]
        fields.append(StoredField(number, size, base_type, offset))
        offset += size
    if definition[0] & HAS_DEVELOPER_FIELDS:
        sizes = definition[behind + 2 :: _FIELD_BYTES]
        offset += sum(sizes)
    return MessageLayout(message, big_endian, tuple(fields), offset)
