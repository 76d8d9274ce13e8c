"""Make FIT files for tests: with the protocol's official encoder, and byte by byte where it cannot."""

from __future__ import annotations

import struct
from collections.abc import Iterable
from typing import Any

from garmin_fit_sdk import CrcCalculator, Encoder, Profile

START_S = 1_100_000_000
"""A time in seconds since the FIT epoch."""

Message = dict[str, Any]


def message(name: str, **fields: Any) -> Message:
    """A message by its name in the FIT profile, for example ``record``."""
    return {"mesg_num": Profile["mesg_num"][name.upper()], **fields}


def record(second: float, **fields: Any) -> Message:
    return message("record", timestamp=START_S + second, **fields)


def timer(second: float, event_type: str) -> Message:
    return message("event", timestamp=START_S + second, event="timer", event_type=event_type)


def file_id(kind: str = "activity") -> Message:
    return message("file_id", type=kind, manufacturer="development", product=7, time_created=START_S)


def encoded(messages: Iterable[Message], kind: str = "activity") -> bytes:
    """A FIT file with a ``file_id`` of the kind given before the messages."""
    encoder = Encoder()
    encoder.write_mesg(file_id(kind))
    for each in messages:
        encoder.write_mesg(each)
    return bytes(encoder.close())


def framed(data: bytes) -> bytes:
    """Data messages made by hand, in the protocol's frame of header and check sum."""
    header = struct.pack("<BBHI4s", 12, 0x20, 2100, len(data), b".FIT")
    whole = header + data
    return whole + struct.pack("<H", CrcCalculator.calculate_crc(whole, 0, len(whole)))


def steady(count: int, **fields: Any) -> list[Message]:
    """Records one second apart, heart rate rising from 100 by one each."""
    return [record(second, heart_rate=100 + second % 80, **fields) for second in range(count)]
