"""Find every message of a FIT file without looking into it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slopebeat.files.fit.layout import IS_DEFINITION, Layout, definition_size, layout_of
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

    layouts: tuple[Layout, ...]
    good_end: int
    failed: bool


class _Table:
    """The layouts in force, by the header of the messages they describe."""

    def __init__(self) -> None:
        self.sizes = [0] * 256
        self.take: list[Callable[[int], None]] = [_refuse] * 256
        self.layouts: dict[bytes, Layout] = {}
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
