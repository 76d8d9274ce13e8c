"""The outer frame of a FIT file: header, data, check sum, and several of them one after another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from slopebeat.files.limits import MOST_TRACKS, too_many
from slopebeat.model.message import Message, message

SIGNATURE = b".FIT"
"""Bytes 8 to 11 of every FIT header (FIT protocol, "File Header")."""

SIGNATURE_OFFSET = 8
SHORTEST_HEADER = 12
CHECK_SUM_BYTES = 2


_POLYNOMIAL = 0xA001
"""Of CRC-16/ARC, bits reversed (0x8005), which the FIT protocol uses ("CRC")."""


@dataclass(frozen=True)
class FitFrame:
    """Where one FIT file lies in the bytes: ``[start, data_start)`` header, ``[data_start, data_end)`` data.

    Attributes
    ----------
    promised_bytes : data bytes the header announces; more than there are when the file is cut.
    """

    start: int
    data_start: int
    data_end: int
    promised_bytes: int

    @property
    def missing_bytes(self) -> int:
        return max(0, self.promised_bytes - (self.data_end - self.data_start))


def is_fit(data: bytes, offset: int = 0) -> bool:
    """Whether a FIT header starts at ``offset``."""
    at = offset + SIGNATURE_OFFSET
    return data[at : at + len(SIGNATURE)] == SIGNATURE


def frames(data: bytes) -> tuple[list[FitFrame], int]:
    """The FIT files chained in ``data``, and how many bytes behind them are none (zero padding aside).

    Raises
    ------
    UnreadableFile
        When there are more of them than of activities in any file.
    """
    found: list[FitFrame] = []
    start = 0
    while is_fit(data, start):
        data_start = start + max(data[start], SHORTEST_HEADER)
        promised = int.from_bytes(data[start + 4 : start + 8], "little")
        if promised == 0:
            # A device that lost power before closing the file leaves the size at zero.
            promised = max(0, len(data) - data_start)
        end = min(data_start + promised, len(data))
        found.append(FitFrame(start, min(data_start, len(data)), end, promised))
        start = end + CHECK_SUM_BYTES
        if len(found) > MOST_TRACKS:
            raise too_many("many.fit_files", MOST_TRACKS)
    return found, len(data[start:].rstrip(b"\x00"))


def problems(
    data: bytes, frame: FitFrame, good_bytes: int, record_count: int, *, failed: bool
) -> tuple[Message, ...]:
    """What to say when the data are cut, not decoded to their end, or do not match their check sum."""
    if failed or frame.missing_bytes:
        unread = frame.promised_bytes - good_bytes
        key = "fit.ends_early" if frame.missing_bytes else "fit.damaged"
        return (message(key, unread=unread, total=frame.promised_bytes, kept=record_count),)
    stored = data[frame.data_end : frame.data_end + CHECK_SUM_BYTES]
    if len(stored) < CHECK_SUM_BYTES:
        return (message("fit.no_check_sum"),)
    if check_sum(data[frame.start : frame.data_end]) != int.from_bytes(stored, "little"):
        return (message("fit.check_sum"),)
    return ()


@cache
def _behind(doublings: int) -> NDArray[np.uint16]:
    """What each state of the check sum becomes when two zero bytes follow, twice as many for each doubling.

    Kept, as making one takes as long as summing up a file; there are a dozen or two of 128 kB.
    """
    if doublings:
        half = _behind(doublings - 1)
        return half[half]
    state: NDArray[np.uint16] = np.arange(1 << 16, dtype=np.uint16)
    for _bit in range(16):
        state = (state >> np.uint16(1)) ^ ((state & np.uint16(1)) * np.uint16(_POLYNOMIAL))
    return state


def check_sum(data: bytes) -> int:
    """CRC-16/ARC of bytes.

    It is linear over bits and zeros before the first one leave it 0, so the sums of neighbours are joined
    pairwise, moving the left one behind as many bytes as the right one has: a few passes over arrays.
    """
    # A check sum that meets two bytes is what their sum with it becomes behind two zero bytes.
    doublings = 0
    sums = _behind(doublings)[np.frombuffer(bytes(len(data) % 2) + data, dtype="<u2")]
    while sums.size > 1:
        if sums.size % 2:
            sums = np.concatenate((np.zeros(1, dtype=np.uint16), sums))
        sums = _behind(doublings)[sums[0::2]] ^ sums[1::2]
        doublings += 1
    return int(sums[0]) if sums.size else 0
