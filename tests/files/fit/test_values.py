"""Records decoded a column at a time equal, bit for bit, what fitparse decodes one at a time."""

from __future__ import annotations

import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from garmin_fit_sdk import Decoder, Stream
from hypothesis import given, settings
from hypothesis import strategies as st

from files.fit_making import START_S, encoded, framed, message, record, steady, timer
from slopebeat.files import limits
from slopebeat.files.fit import decode as fit_decode
from slopebeat.files.fit.content import RECORD_FIELDS, FitContent
from slopebeat.files.fit.frame import frames
from slopebeat.files.fit.values import RecordColumns
from slopebeat.files.fit.with_fitparse import decode_each
from slopebeat.files.progress import Ticker
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]

UNREAD_BY_FITPARSE = {"misaligned_developer_field.fit"}
"""fitparse stops there at the field that gives the file its name, see the check with the official decoder."""

LARGE_BYTES, BEGINNING_BYTES = 90_000, 50_000
"""Of larger files only so much of the beginning is compared: fitparse takes a second for 150 kB, and the
whole of every file is held against the official decoder in ``test_decoders_agree.py`` [project choice]."""

COMPARED_WHOLE = {"misaligned_developer_field.fit", "split_records_same_timestamp.fit"}
"""What gives these their names comes later in them."""


def both(data: bytes) -> list[tuple[FitContent, FitContent]]:
    ticker = Ticker(None)
    return [
        (fit_decode.decode_file(data, frame, ticker), decode_each(data, frame, ticker))
        for frame in frames(data)[0]
    ]


def assert_same(data: bytes) -> None:
    for ours, reference in both(data):
        for name in RECORD_FIELDS:
            np.testing.assert_array_equal(ours.records[name], reference.records[name], err_msg=name)
        assert ours.messages == reference.messages
        assert ours.warnings == reference.warnings


def test_every_real_file_decodes_the_same_without_the_slower_decoder(
    fit_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = fit_file.read_bytes()
    if len(data) > LARGE_BYTES and fit_file.name not in COMPARED_WHOLE:
        data = data[:BEGINNING_BYTES]
    if fit_file.name in UNREAD_BY_FITPARSE:
        ((ours, reference),) = both(data)
        count = reference.record_count
        assert count < ours.record_count
        for name in RECORD_FIELDS:
            np.testing.assert_array_equal(ours.records[name][:count], reference.records[name])
        assert ours.warnings == ()
        return
    assert_same(data)
    monkeypatch.setattr("slopebeat.files.fit.with_fitparse.decode_each", None)
    for frame in frames(data)[0]:
        fit_decode.decode_file(data, frame, Ticker(None))


def whole(least: int, most: int) -> st.SearchStrategy[int]:
    return st.integers(least, most)


RECORD = st.fixed_dictionaries(
    {"timestamp": whole(START_S, START_S + 10**6)},
    optional={
        "heart_rate": whole(0, 255),
        "cadence": whole(0, 255),
        "power": whole(0, 65535),
        "temperature": whole(-128, 127),
        "distance": whole(0, 2**32 - 1).map(lambda raw: raw / 100),
        "altitude": whole(0, 65535).map(lambda raw: raw / 5 - 500),
        "enhanced_altitude": whole(0, 2**32 - 1).map(lambda raw: raw / 5 - 500),
        "speed": whole(0, 65535).map(lambda raw: raw / 1000),
        "enhanced_speed": whole(0, 2**32 - 1).map(lambda raw: raw / 1000),
        "position_lat": whole(-(2**31), 2**31 - 1),
        "position_long": whole(-(2**31), 2**31 - 1),
        "grade": whole(-300, 300).map(float),
    },
).map(lambda fields: message("record", **fields))

EVENT = st.builds(timer, whole(0, 10**6), st.sampled_from(["start", "stop", "stop_all"]))
OTHER = st.sampled_from(
    [
        message("lap", timestamp=START_S + 9, start_time=START_S + 3, total_distance=12.5),
        message("session", timestamp=START_S, start_time=START_S, sport="hiking", total_timer_time=7.25),
        message("device_info", device_index="creator", manufacturer="garmin", product=1551),
        message("device_info", device_index=3, manufacturer="suunto", product=1551, product_name="Ridge"),
        message("activity", timestamp=START_S, local_timestamp=START_S + 7200),
        message("monitoring", timestamp=START_S, heart_rate=66),
    ]
)


@settings(max_examples=60, deadline=None)
@given(st.lists(RECORD | EVENT | OTHER, max_size=25))
def test_whatever_the_official_encoder_writes_decodes_the_same(rows: list[dict[str, Any]]) -> None:
    assert_same(encoded([dict(row) for row in rows]))


BASE_SIZES = {
    0x00: 1, 0x01: 1, 0x02: 1, 0x83: 2, 0x84: 2, 0x85: 4, 0x86: 4, 0x07: 1, 0x88: 4, 0x89: 8, 0x0A: 1,
    0x8B: 2, 0x8C: 4, 0x0D: 1, 0x8E: 8, 0x8F: 8, 0x90: 8,
}  # fmt: skip
"""Sizes of the base types (FIT protocol, "Base Types")."""

NUMBERS_AND_TYPES = {
    0: (0, 1, 2, 3, 4, 5, 6, 13, 73, 78, 41, 253),
    1: (0, 1, 2, 3, 4, 5, 9, 22, 24),
}
"""Field numbers: of records (but 8, of which fitparse starts the sum anew at each definition); of others."""


@st.composite
def bare_stream(draw: st.DrawFn) -> bytes:
    """Definitions of any layout in either byte order, and messages of random bytes after each."""
    data = b""
    for _ in range(draw(whole(1, 4))):
        order = draw(st.sampled_from("<>"))
        number = draw(st.sampled_from([20, 20, 20, 18, 19, 21, 23, 34, 0, 12]))
        chosen = draw(st.lists(st.sampled_from(NUMBERS_AND_TYPES[0 if number == 20 else 1]), max_size=5))
        fields, size = b"", 0
        for each in chosen:
            base = draw(st.sampled_from(sorted(BASE_SIZES)))
            if each == 253:
                base = draw(st.sampled_from([0x86, 0x86, 0x84, 0x8C]))
            width = BASE_SIZES[base] * draw(st.sampled_from([1, 1, 1, 1, 3]) if each != 253 else st.just(1))
            fields += bytes((each, width, base))
            size += width
        local = draw(whole(0, 3))
        data += bytes((0x40 | local, 0, order == ">"))
        data += struct.pack(order + "HB", number, len(chosen)) + fields
        for _ in range(draw(whole(0, 4))):
            short = draw(st.booleans())
            header = 0x80 | local << 5 | draw(whole(0, 31)) if short else local
            fill = draw(st.sampled_from([None, 0x00, 0xFF]))
            body = draw(st.binary(min_size=size, max_size=size)) if fill is None else bytes([fill]) * size
            data += bytes((header,)) + body
    return data


@settings(max_examples=100, deadline=None)
@given(bare_stream())
def test_any_layout_in_either_byte_order_decodes_the_same(data: bytes) -> None:
    ((ours, reference),) = both(framed(data))
    # It also stops at lists it wants to take bits from; what came before that must be the same.
    count, kept = reference.record_count, len(reference.messages)
    assert count <= ours.record_count
    for name in RECORD_FIELDS:
        np.testing.assert_array_equal(ours.records[name][:count], reference.records[name], err_msg=name)
    assert ours.messages[:kept] == reference.messages
    if not reference.warnings:
        assert (ours.record_count, len(ours.messages), ours.warnings) == (count, kept, ())


def test_enhanced_values_are_taken_from_the_plain_ones_where_they_are_absent(read: Read) -> None:
    rows = [record(0, altitude=500.0, enhanced_altitude=700.2), record(1, altitude=501.0)]
    ((ours, _),) = both(encoded(rows))
    np.testing.assert_array_equal(ours.records["enhanced_altitude"], [700.2, 501.0])
    np.testing.assert_array_equal(ours.records["altitude"], [500.0, 501.0])


def test_compressed_speed_and_distance_run_on_as_the_official_decoder_has_them() -> None:
    """12 bits of speed in cm/s and 12 of distance in 1/16 m that roll over (FIT profile)."""

    def packed(speed: int, distance: int) -> list[int]:
        return list((speed | (distance & 0xFFF) << 12).to_bytes(3, "little"))

    pairs = [(100 + i, 900 * i) for i in range(12)]
    rows = [record(i, compressed_speed_distance=packed(*pair)) for i, pair in enumerate(pairs)]
    # An event in between, and a heart rate that makes another layout: the sum runs on all the same.
    rows.insert(5, timer(5, "start"))
    rows[8] |= {"heart_rate": 120}
    data = encoded(rows)
    ((ours, _),) = both(data)
    messages, errors = Decoder(Stream.from_byte_array(bytearray(data))).read()
    assert not errors
    theirs = messages["record_mesgs"]
    np.testing.assert_array_equal(ours.records["distance"], [each["distance"] for each in theirs])
    np.testing.assert_array_equal(ours.records["speed"], [each["speed"] for each in theirs])
    np.testing.assert_array_equal(ours.records["distance"], [900 * i / 16 for i in range(12)])


DEFINITION = struct.pack("<BBBHB", 0x60, 0, 0, 20, 2) + bytes((253, 4, 0x86, 3, 1, 0x02))


def test_developer_fields_are_passed_over_by_their_size_alone() -> None:
    """One that no message describes, with a size that fits no type: the official decoder reads on too."""
    data = DEFINITION + bytes((1, 0, 3, 7))
    data += b"".join(b"\x00" + struct.pack("<IB3s", START_S + s, 100 + s, b"abc") for s in range(5))
    ((ours, reference),) = both(framed(data))
    assert reference.record_count == 0
    assert ours.warnings == ()
    assert ours.records["heart_rate"].tolist() == [100, 101, 102, 103, 104]


def test_a_field_whose_size_does_not_fit_its_type_is_passed_over() -> None:
    definition = struct.pack("<BBBHB", 0x40, 0, 0, 20, 3) + bytes((253, 4, 0x86, 7, 3, 0x84, 3, 1, 2))
    rows = b"".join(b"\x00" + struct.pack("<I3sB", START_S + s, b"\x01\x02\x03", 90 + s) for s in range(3))
    ((ours, _),) = both(framed(definition + rows))
    assert ours.records["heart_rate"].tolist() == [90, 91, 92]
    assert np.isnan(ours.records["power"]).all()


def test_records_stored_as_lists_are_left_to_the_slower_decoder(monkeypatch: pytest.MonkeyPatch) -> None:
    definition = struct.pack("<BBBHB", 0x40, 0, 0, 20, 2) + bytes((253, 4, 0x86, 3, 2, 0x02))
    rows = b"".join(b"\x00" + struct.pack("<I2B", START_S + s, 90, 91) for s in range(3))
    data = framed(definition + rows)
    asked: list[int] = []

    def each(*args: Any) -> FitContent:
        asked.append(1)
        return decode_each(*args)

    monkeypatch.setattr("slopebeat.files.fit.with_fitparse.decode_each", each)
    content = fit_decode.decode_file(data, frames(data)[0][0], Ticker(None))
    assert asked == [1]
    assert content.records["timestamp"].tolist() == [START_S, START_S + 1, START_S + 2]


@pytest.mark.parametrize(
    ("module", "limit", "words"),
    [
        ("decode", "MOST_RECORDS", "more than 10 records"),
        ("decode", "MOST_KEPT_MESSAGES", "more than 10 events, laps and device notes"),
        ("walk", "MOST_MESSAGES", "more than 10 messages"),
    ],
)
def test_more_than_any_recording_has_is_refused_in_a_sentence(
    read: Read, monkeypatch: pytest.MonkeyPatch, module: str, limit: str, words: str
) -> None:
    assert getattr(limits, limit) >= 200_000
    monkeypatch.setattr(f"slopebeat.files.fit.{module}.{limit}", 10)
    with pytest.raises(UnreadableFile, match=words):
        read(encoded([*steady(20), *(timer(s, "start") for s in range(20))]))


def test_more_definitions_than_any_recording_has_are_refused() -> None:
    definitions = b"".join(struct.pack("<BBBHB", 0x40, 0, 0, number, 0) for number in range(6000))
    data = framed(definitions)
    with pytest.raises(UnreadableFile, match="more than 5,000 different definitions"):
        fit_decode.decode_file(data, frames(data)[0][0], Ticker(None))


def test_no_records_are_no_columns() -> None:
    made = RecordColumns(np.zeros(0, dtype=np.uint8), []).fill()
    assert {values.size for values in made.values()} == {0}
