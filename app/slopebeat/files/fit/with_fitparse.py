"""Decode FIT messages one by one with fitparse: for records stored in unusual ways, and to check against."""

from __future__ import annotations

import io
import threading
from collections import deque
from collections.abc import Iterator
from itertools import islice

import fitparse.records
import numpy as np
from fitparse import FitFile

from slopebeat.files.fit.content import (
    MESSAGE_FIELDS,
    RECORD_FIELDS,
    FitContent,
    Message,
    Value,
)
from slopebeat.files.fit.frame import CHECK_SUM_BYTES, FitFrame, problems
from slopebeat.files.limits import MOST_RECORDS, too_many
from slopebeat.files.progress import Ticker

_TICK_EVERY_MESSAGES = 32

_ONE_AT_A_TIME = threading.Lock()
"""fitparse keeps the developer fields of a file in a module variable, so files are decoded in turn."""


def decode_each(data: bytes, frame: FitFrame, ticker: Ticker) -> FitContent:
    """Every message of one FIT file that could be decoded, with a warning for what could not."""
    messages: list[Message] = []
    rows: list[list[float]] = []
    reader = _Reader(data, frame)
    with _ONE_AT_A_TIME:
        fitparse.records.DEV_TYPES.clear()
        while batch := list(islice(reader, _TICK_EVERY_MESSAGES)):
            for name, fields in batch:
                if name == "record":
                    rows.append([_float(fields.get(key)) for key in RECORD_FIELDS])
                elif name in MESSAGE_FIELDS:
                    kept = MESSAGE_FIELDS[name]
                    messages.append((name, {key: fields[key] for key in fields if key in kept}))
            if len(rows) > MOST_RECORDS:
                raise too_many("many.records", MOST_RECORDS)
            ticker.tick(reader.good_bytes / max(reader.size, 1))
    table = np.array(rows, dtype=float).reshape(len(rows), len(RECORD_FIELDS))
    records = {name: table[:, index].copy() for index, name in enumerate(RECORD_FIELDS)}
    warnings = problems(data, frame, reader.good_bytes, len(rows), failed=reader.failed)
    return FitContent(records, tuple(messages), warnings)


class _Unprocessed:
    """Stands in for fitparse's conversions: times stay seconds since the FIT epoch, units as they are."""

    def run_type_processor(self, _field_data: object) -> None: ...

    def run_field_processor(self, _field_data: object) -> None: ...

    def run_unit_processor(self, _field_data: object) -> None: ...

    def run_message_processor(self, _message: object) -> None: ...


class _Reader(Iterator[Message]):
    """Messages of one frame until the end or the first damage; those not kept come without fields."""

    def __init__(self, data: bytes, frame: FitFrame) -> None:
        body = data[frame.data_start : frame.data_end]
        # A plain header of our own and no check sum: a damaged header then cannot stop the decoding.
        header = bytes((12, 0x10, 0, 0)) + len(body).to_bytes(4, "little") + b".FIT"
        # Padding, so that a message cut by a byte or two shows as one that runs past the end.
        self._stream = io.BytesIO(header + body + bytes(CHECK_SUM_BYTES))
        self._header_bytes = len(header)
        fit = FitFile(self._stream, check_crc=False, data_processor=_Unprocessed())
        # It would keep every message, and Python's collector stop everything 0.2 s at a time to walk them.
        fit._messages = deque(maxlen=0)
        self._messages = fit.get_messages()
        self.size = len(body)
        self.good_bytes = 0
        self.failed = False

    def __next__(self) -> Message:
        try:
            message = next(self._messages)
            name = message.name
            fields = _fields(message) if name == "record" or name in MESSAGE_FIELDS else {}
        except StopIteration:
            raise
        except Exception:
            # On damaged bytes fitparse fails with whatever its arithmetic meets first.
            self.failed = True
            raise StopIteration from None
        at = self._stream.tell() - self._header_bytes
        if at > self.size:
            self.failed = True
            raise StopIteration
        self.good_bytes = at
        return name, fields


def _fields(message: fitparse.records.DataMessage) -> dict[str, Value]:
    """The fields of a message that have a value; a field written beats one fitparse derived from another."""
    fields: dict[str, Value] = {}
    for item in message.fields:
        if item.value is None or isinstance(item.field_def, fitparse.records.DevFieldDefinition):
            continue
        if item.field_def is None and item.name in fields:
            continue
        value = _plain(item.value)
        if value is not None:
            fields[item.name] = value
    return fields


def _plain(value: object) -> Value | None:
    if isinstance(value, str):
        return value
    if isinstance(value, (int, float)):
        return float(value)
    return None


def _float(value: Value | None) -> float:
    return value if isinstance(value, float) else np.nan
