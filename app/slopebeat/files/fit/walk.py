"""Find every message of a FIT file without looking into it.

Where a header carries only five bits of time, the rest follows from the messages before it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.fit.layout import IS_DEFINITION, NUMBERS, MessageLayout, definition_size, layout_of
from slopebeat.files.limits import MOST_DEFINITIONS, MOST_MESSAGES, too_many
from slopebeat.files.progress import Ticker

COMPRESSED = 0x80
"""Bit of a header that carries five bits of time (FIT protocol, "Compressed Timestamp Header")."""

COMPRESSED_TYPES = 4
"""Local message types a compressed header can name."""

_STEPS = 128  # at most this many parts between two words of progress
_SHORTEST_STEP_BYTES = 32
_LONGEST_STEP_BYTES = 1 << 16


@dataclass(frozen=True, eq=False)
class Walk:
    """What was found.

    Attributes
    ----------
    layouts : every different layout, each with the starts of its messages.
    good_end : behind the last message that is whole.
    failed : whether what follows ``good_end`` makes no message.
    """

    layouts: tuple[MessageLayout, ...]
    good_end: int
    failed: bool


class _Table:
    """The layouts in force, by the header of the messages they describe."""

    def __init__(self) -> None:
        self.sizes = [0] * 256
        self.take: list[Callable[[int], None]] = [_refuse] * 256
        self.layouts: dict[bytes, MessageLayout] = {}
        self.definition_count = 0

    def define(self, definition: bytes) -> None:
        """Put a layout in force for its local message type; one met before is gone on with."""
        self.definition_count += 1
        # Devices repeat definitions, so bits 0-3, which say for which local type, are left out.
        key = bytes((definition[0] & 0xF0,)) + definition[2:]
        layout = self.layouts.get(key)
        if layout is None:
            if len(self.layouts) >= MOST_DEFINITIONS:
                raise too_many("many.definitions", MOST_DEFINITIONS)
            layout = self.layouts[key] = layout_of(definition)
        local = definition[0] & 0x0F
        headers = [local, local | 0x10, local | 0x20, local | 0x30]
        if local < COMPRESSED_TYPES:
            first = COMPRESSED | local << 5
            headers += range(first, first + (1 << 5))
        for header in headers:
            self.sizes[header], self.take[header] = layout.size, layout.starts.append

    def check_limits(self) -> None:
        """Refuse a file that holds more messages than any recording."""
        count = self.definition_count + sum(len(layout.starts) for layout in self.layouts.values())
        if count > MOST_MESSAGES:
            raise too_many("many.messages", MOST_MESSAGES)


def _refuse(_at: int) -> None:
    raise AssertionError("a header without a layout has no size")


def walk(data: bytes, start: int, end: int, ticker: Ticker) -> Walk:
    """Every message in ``data[start:end]`` up to the first that is cut or makes no sense.

    Raises
    ------
    UnreadableFile
        When there are more messages, or definitions, than any recording has.
    """
    table = _Table()
    sizes, take = table.sizes, table.take
    length = max(end - start, 1)
    step = min(max(length // _STEPS, _SHORTEST_STEP_BYTES), _LONGEST_STEP_BYTES)
    at = start
    while at < end:
        stop = min(end, at + step)
        while at < stop:
            header = data[at]
            size = sizes[header]
            if size:
                if at + size > end:
                    return Walk(tuple(table.layouts.values()), at, failed=True)
                take[header](at)
                at += size
                continue
            defined = definition_size(data, at, end) if header & 0xC0 == IS_DEFINITION else None
            if defined is None:
                return Walk(tuple(table.layouts.values()), at, failed=True)
            table.define(data[at : at + defined])
            at += defined
        table.check_limits()
        ticker.tick((at - start) / length)
    return Walk(tuple(table.layouts.values()), at, failed=False)


TIMESTAMP = 253
"""Number of the field ``timestamp`` in every message (FIT profile)."""

_LOW_BITS = 0x1F


def stored_numbers(buffer: NDArray[np.uint8], layout: MessageLayout, offset: int, code: str) -> np.ndarray:
    """One field of every message of a layout, as stored; shape (n,)."""
    size = int(code[1:])
    # The bytes of each field one after another: the window over the bytes copies nothing until indexed.
    windows = np.lib.stride_tricks.sliding_window_view(buffer, size)
    rows = windows[layout.start_indices + offset]
    return np.asarray(rows.view(np.dtype(layout.byte_order + code))[:, 0])


@dataclass(frozen=True, eq=False)
class ShortTimes:
    """Times of messages with a compressed header: ``starts`` rising, ``time_s`` since the FIT epoch."""

    starts: NDArray[np.intp]
    time_s: NDArray[np.float64]

    def of(self, starts: NDArray[np.intp]) -> NDArray[np.float64]:
        """Times of the messages that begin there, NaN where the header is no compressed one."""
        if not self.starts.size:
            return np.full(starts.shape, np.nan)
        nearest = np.minimum(np.searchsorted(self.starts, starts), self.starts.size - 1)
        return np.where(self.starts[nearest] == starts, self.time_s[nearest], np.nan)


def short_times(buffer: NDArray[np.uint8], layouts: tuple[MessageLayout, ...]) -> ShortTimes:
    """Times of the messages whose header is a compressed one.

    Such a header says the lowest five bits; the time before it in the file, of any message, says the
    rest, and a smaller value than that time's has rolled over (FIT protocol, "Compressed Timestamp
    Header"); before the first full time the rest is 0.
    """
    short = [layout.start_indices[buffer[layout.start_indices] >= COMPRESSED] for layout in layouts]
    short_at = np.concatenate([np.zeros(0, dtype=np.intp), *short])
    if not short_at.size:
        return ShortTimes(short_at, np.zeros(0))
    full_at, full_s = _full_times(buffer, layouts)
    at, raw = np.concatenate((full_at, short_at)), np.concatenate((full_s, buffer[short_at]))
    is_full = np.arange(at.size) < full_at.size
    # A message with both has its full time first.
    order = np.lexsort((~is_full, at))
    at, raw, is_full = at[order], raw[order], is_full[order]
    return ShortTimes(at[~is_full], carried_on(raw, is_full, _LOW_BITS)[~is_full].astype(float))


def carried_on(raw: NDArray[np.int64], whole: NDArray[np.bool_], low_bits: int) -> NDArray[np.int64]:
    """(n,) numbers that only rise: where not ``whole``, the lowest bits of one go on from the one before."""
    low = raw & low_bits
    rise = np.where(whole, 0, (low - np.concatenate(([0], low[:-1]))) & low_bits)
    risen = np.cumsum(rise)
    base = np.append(raw[whole] - risen[whole], 0)  # the last for "none yet"
    return np.asarray(base[np.cumsum(whole) - 1] + risen)


def _full_times(
    buffer: NDArray[np.uint8], layouts: tuple[MessageLayout, ...]
) -> tuple[NDArray[np.intp], NDArray[np.int64]]:
    starts, times = [np.zeros(0, dtype=np.intp)], [np.zeros(0, dtype=np.int64)]
    for layout in layouts:
        for field in layout.fields:
            if field.number != TIMESTAMP or not field.is_integer or not layout.starts:
                continue
            raw = stored_numbers(buffer, layout, field.offset, field.code or "")
            known = raw != NUMBERS[field.base_type][2]
            starts.append(layout.start_indices[known])
            times.append(raw[known].astype(np.int64))
    return np.concatenate(starts), np.concatenate(times)
