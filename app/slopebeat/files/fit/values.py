"""Values of all record messages at once, a column at a time; of the few others, one message at a time."""

from __future__ import annotations

import math
import struct
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.fit.content import MESSAGE_FIELDS, RECORD_FIELDS, Message, Value
from slopebeat.files.fit.layout import BYTES, NUMBERS, TEXT, MessageLayout, StoredField
from slopebeat.files.fit.profile import Component, ProfileField, fields_of
from slopebeat.files.fit.walk import stored_numbers

Columns = dict[str, NDArray[np.float64]]

_MOST_PACKED_BYTES = 7  # bytes that fit an int64 whatever they hold


class NotCovered(Exception):
    """The records are stored in a way this module does not decode; a slower decoder may."""


class RecordColumns:
    """The records of one file in its order, filled layout by layout.

    Parameters
    ----------
    buffer : the bytes of the data. layouts : those of record messages.
    """

    def __init__(self, buffer: NDArray[np.uint8], layouts: Iterable[MessageLayout]) -> None:
        self._buffer = buffer
        self._layouts = [layout for layout in layouts if layout.starts]
        nothing = np.zeros(0, dtype=np.intp)
        self.starts = np.sort(np.concatenate([nothing, *(each.start_indices for each in self._layouts)]))
        self.columns = {name: np.full(self.starts.size, np.nan) for name in RECORD_FIELDS}
        self._sums: dict[Component, list[tuple[NDArray[np.intp], NDArray[np.int64]]]] = {}

    def fill(self) -> Columns:
        """Decode every field that is kept.

        Raises
        ------
        NotCovered
            When a field that is kept is stored as a list, as bytes or as text.
        """
        # Damaged floating point numbers may be anything, signalling NaNs included.
        with np.errstate(invalid="ignore", over="ignore"):
            for layout in self._layouts:
                self._fill(layout)
        for component, parts in self._sums.items():
            self._fill_absent(component.name, *_summed(component, parts))
        return self.columns

    def _fill(self, layout: MessageLayout) -> None:
        rows = np.searchsorted(self.starts, layout.start_indices)
        profile = fields_of(layout.message)
        stored = [(field, profile[field.number]) for field in layout.fields if field.number in profile]
        for field, meant in stored:
            if meant.wanted:
                self._take_field(rows, layout, field, meant)
        # A field that is written beats one that is part of another.
        for field, meant in stored:
            if meant.components:
                self._take_components(rows, layout, field, meant.components)

    def _take_field(
        self, rows: NDArray[np.intp], layout: MessageLayout, field: StoredField, meant: ProfileField
    ) -> None:
        code = field.code
        if code is None:
            if _holds_nothing(field):
                return
            raise NotCovered
        raw = stored_numbers(self._buffer, layout, field.offset, code)
        known = _known(raw, field)
        values = meant.scaled(raw.astype(float))
        self.columns[meant.name][rows[known]] = values[known]

    def _take_components(
        self,
        rows: NDArray[np.intp],
        layout: MessageLayout,
        field: StoredField,
        components: tuple[Component, ...],
    ) -> None:
        if _holds_nothing(field):
            return
        raw, known = self._packed(layout, field)
        rows, raw = rows[known], raw[known]
        for part in components:
            if part.first_bit and part.first_bit >= 8 * field.size:
                continue
            bits = (raw >> part.first_bit) & ((1 << part.bits) - 1)
            if part.accumulated:
                self._sums.setdefault(part, []).append((rows, bits))
            else:
                self._fill_absent(part.name, rows, bits / part.scale - part.offset)

    def _packed(
        self, layout: MessageLayout, field: StoredField
    ) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
        """A field as whole numbers to take bits from, and where it holds one."""
        if field.is_integer and field.size < 8:
            raw = stored_numbers(self._buffer, layout, field.offset, field.code or "")
            return raw.astype(np.int64), _known(raw, field)
        if field.base_type != BYTES or field.size > _MOST_PACKED_BYTES:
            raise NotCovered
        parts = [stored_numbers(self._buffer, layout, field.offset + i, "u1") for i in range(field.size)]
        each = np.array(parts, dtype=np.int64)
        shifts = 8 * np.arange(field.size, dtype=np.int64)[:, None]
        return (each << shifts).sum(axis=0), ~np.all(each == 0xFF, axis=0)

    def _fill_absent(self, name: str, rows: NDArray[np.intp], values: NDArray[np.float64]) -> None:
        column = self.columns[name]
        absent = np.isnan(column[rows])
        column[rows[absent]] = values[absent]


def _holds_nothing(field: StoredField) -> bool:
    """A field without bytes, of no known type, or with a size that does not fit its type."""
    if field.size == 0:
        return True
    if field.base_type not in NUMBERS:
        return field.base_type not in (TEXT, BYTES)
    return field.size % int(NUMBERS[field.base_type][0][1:]) != 0


def _known(raw: np.ndarray, field: StoredField) -> NDArray[np.bool_]:
    none = NUMBERS[field.base_type][2]
    return ~np.isnan(raw) if none is None else np.asarray(raw != none)


def _summed(
    component: Component, parts: list[tuple[NDArray[np.intp], NDArray[np.int64]]]
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Rows and values of a sum of which only the lowest bits are stored, from 0 at the start of the file."""
    rows = np.concatenate([rows for rows, _bits in parts])
    bits = np.concatenate([bits for _rows, bits in parts])
    order = np.argsort(rows, kind="stable")
    rows, bits = rows[order], bits[order]
    risen = np.diff(bits, prepend=0) & ((1 << component.bits) - 1)
    return rows, np.cumsum(risen) / component.scale - component.offset


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

    def __init__(self, name: str, layout: MessageLayout) -> None:
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
