"""The outer frame of a FIT file: header, data, check sum, and several of them one after another."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.files.progress import Ticker

SIGNATURE = b".FIT"
"""Bytes 8 to 11 of every FIT header (FIT protocol, "File Header")."""

SIGNATURE_OFFSET = 8
SHORTEST_HEADER = 12
CHECK_SUM_BYTES = 2
_CRC_CHUNK_BYTES = 1 << 15


def _crc_table() -> tuple[int, ...]:
    """Table of CRC-16/ARC (polynomial 0x8005 reflected), which the FIT protocol uses."""
    table = []
    for byte in range(256):
        crc = byte
        for _ in range(8):
            crc = (crc >> 1) ^ 0xA001 if crc & 1 else crc >> 1
        table.append(crc)
    return tuple(table)


_CRC_TABLE = _crc_table()


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
    """The FIT files chained in ``data``, and how many bytes behind them are none (zero padding aside)."""
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
    return found, len(data[start:].rstrip(b"\x00"))


def check_sum_problem(data: bytes, frame: FitFrame, ticker: Ticker) -> str | None:
    """A sentence when the check sum of a complete frame is absent or does not match, else None."""
    stored = data[frame.data_end : frame.data_end + CHECK_SUM_BYTES]
    if len(stored) < CHECK_SUM_BYTES:
        return "The file ends without its check sum, so its values could not be checked against damage."
    crc, size = 0, frame.data_end - frame.start
    table = _CRC_TABLE
    for at in range(frame.start, frame.data_end, _CRC_CHUNK_BYTES):
        for byte in data[at : min(at + _CRC_CHUNK_BYTES, frame.data_end)]:
            crc = (crc >> 8) ^ table[(crc ^ byte) & 0xFF]
        ticker.tick((at - frame.start) / max(size, 1))
    if crc != int.from_bytes(stored, "little"):
        return "The check sum does not match the content: some values may be damaged."
    return None
