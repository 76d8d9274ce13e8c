"""FIT values equal those of an independent decoder, the protocol's official one, field by field."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

import numpy as np
import pytest
from garmin_fit_sdk import Decoder, Stream

from slopebeat.files.fit.content import RECORD_FIELDS, FitContent
from slopebeat.files.fit.decode import decode_file
from slopebeat.files.fit.frame import frames
from slopebeat.files.progress import Ticker

MESSAGE_FIELDS = {
    "session": (
        "timestamp", "start_time", "sport", "sub_sport", "total_timer_time", "total_distance",
        "total_ascent", "total_descent",
    ),
    "lap": ("timestamp", "start_time"),
    "event": ("timestamp", "event", "event_type"),
    "activity": ("timestamp", "local_timestamp"),
    "file_id": ("type",),
}  # fmt: skip
"""What the interpreter reads of each message."""


def ours(path: Path) -> list[FitContent]:
    data = path.read_bytes()
    return [decode_file(data, frame, Ticker(None)) for frame in frames(data)[0]]


def theirs(path: Path) -> dict[str, list[dict[str, Any]]]:
    # Its sum over every byte is a third of the time, and what it thinks of it is not asked here.
    messages, _errors = Decoder(Stream.from_byte_array(bytearray(path.read_bytes()))).read(
        convert_datetimes_to_dates=False, merge_heart_rates=False, enable_crc_check=False
    )
    return cast("dict[str, list[dict[str, Any]]]", messages)


def column(records: list[dict[str, Any]], name: str) -> np.ndarray:
    values = [entry.get(name) for entry in records]
    return np.array([value if isinstance(value, (int, float)) else np.nan for value in values], dtype=float)


def test_what_is_decoded_is_what_the_official_decoder_says(fit_file: Path) -> None:
    contents, messages = ours(fit_file), theirs(fit_file)
    compare_records(contents, messages["record_mesgs"])
    compare_messages(contents, messages)


def compare_records(contents: list[FitContent], expected: list[dict[str, Any]]) -> None:
    count = sum(content.record_count for content in contents)
    assert count == len(expected) > 0
    for name in RECORD_FIELDS:
        decoded = np.concatenate([content.records[name] for content in contents])
        np.testing.assert_allclose(decoded, column(expected, name), rtol=0, atol=1e-9, err_msg=name)


def compare_messages(contents: list[FitContent], messages: dict[str, list[dict[str, Any]]]) -> None:
    for kind, names in MESSAGE_FIELDS.items():
        decoded = [fields for content in contents for fields in content.all_of(kind)]
        expected = messages.get(f"{kind}_mesgs", [])
        assert len(decoded) == len(expected)
        for mine, other in zip(decoded, expected, strict=True):
            for name in names:
                value = other.get(name)
                if isinstance(value, str):
                    assert mine.get(name) == value, (kind, name)
                else:
                    assert mine.get(name) == pytest.approx(value), (kind, name)
