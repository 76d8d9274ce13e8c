"""Times of messages whose header carries only five bits of time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.fit.layout import NUMBERS, Layout
from slopebeat.files.fit.walk import COMPRESSED

TIMESTAMP = 253
"""Number of the field ``timestamp`` in every message (FIT profile)."""

_LOW_BITS = 0x1F


def stored_numbers(buffer: NDArray[np.uint8], layout: Layout, offset: int, code: str) -> np.ndarray:
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


def short_times(buffer: NDArray[np.uint8], layouts: tuple[Layout, ...]) -> ShortTimes:
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
    at = np.concatenate((full_at, short_at))
    low = np.concatenate((full_s & _LOW_BITS, buffer[short_at] & _LOW_BITS))
    is_full = np.arange(at.size) < full_at.size
    # A message with both has its full time first.
    order = np.lexsort((~is_full, at))
    at, low, is_full = at[order], low[order], is_full[order]
    rise = np.where(is_full, 0, (low - np.concatenate(([0], low[:-1]))) & _LOW_BITS)
    risen = np.cumsum(rise)
    last_full = np.cumsum(is_full) - 1
    base = np.concatenate((full_s[np.argsort(full_at)] - risen[is_full], [0]))  # the last for "none yet"
    return ShortTimes(at[~is_full], (base[last_full] + risen)[~is_full].astype(float))


def _full_times(
    buffer: NDArray[np.uint8], layouts: tuple[Layout, ...]
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
