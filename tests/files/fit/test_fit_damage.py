"""Damaged FIT files give what was readable, with a sentence on the loss, and never a traceback."""

from __future__ import annotations

import contextlib
import random
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import fitdecode
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from files.fit_making import encoded, message, record, steady, timer
from helpers.checks import not_none
from helpers.sentences import sentences_of
from slopebeat.files.fit.decode import decode_file
from slopebeat.files.fit.fit_recording import read_fit
from slopebeat.files.fit.frame import frames
from slopebeat.files.progress import Ticker
from slopebeat.files.reading import read_recordings
from slopebeat.files.source import Source
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]


@cache
def small_file() -> bytes:
    return encoded([timer(0, "start"), *steady(40, power=150, altitude=800.0), timer(39, "stop_all")])


@cache
def record_ends() -> tuple[int, ...]:
    """Where each record of the small file ends, by an independent decoder."""
    ends = []
    with fitdecode.FitReader(small_file(), keep_raw_chunks=True) as reader:
        for frame in reader:
            if frame.frame_type == fitdecode.FIT_FRAME_DATA and frame.name == "record":
                ends.append(frame.chunk.offset + len(frame.chunk.bytes))
    return tuple(ends)


def test_the_independent_decoder_sees_every_record() -> None:
    assert len(record_ends()) == 40


@settings(max_examples=60, deadline=None)
@given(st.integers(min_value=12, max_value=len(small_file()) - 3))
def test_a_cut_file_gives_exactly_the_records_before_the_cut(length: int) -> None:
    data = small_file()[:length]
    ((frame,), trailing) = frames(data)
    content = decode_file(data, frame, Ticker(None))
    whole = sum(end <= length for end in record_ends())
    assert trailing == 0
    assert content.record_count == whole
    expected = [100 + second for second in range(whole)]
    assert content.records["heart_rate"].tolist() == expected
    (warning,) = sentences_of(content.warnings)
    total = len(small_file()) - 14 - 2
    lost = int(not_none(re.search(r"ends early: ([\d,]+) of", warning))[1].replace(",", ""))
    assert f"of {total:,} bytes" in warning
    assert f"{whole} records before that were kept" in warning
    # No more is lost than what lies behind the cut and the message it went through.
    assert len(small_file()) - 2 - max(length, 14) <= lost <= len(small_file()) - 2 - length + 40


FLIPS = st.tuples(st.integers(0, len(small_file()) - 1), st.integers(1, 255))
"""Where, and which bits."""


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, len(small_file()) - 1), st.integers(1, 255)), min_size=1, max_size=4)
)
def test_flipped_bytes_never_cause_a_traceback(flips: list[tuple[int, int]]) -> None:
    data = bytearray(small_file())
    for at, mask in flips:
        data[at] ^= mask
    # Either outcome is right: a sentence, or recordings whose times rise.
    with contextlib.suppress(UnreadableFile):
        for recording in read_fit(Source("flipped.fit", bytes(data)), Ticker(None)):
            assert np.all(np.diff(recording.samples["t_s"]) > 0)


def test_every_real_file_cut_anywhere_gives_records_or_a_sentence(fit_file: Path, tmp_path: Path) -> None:
    data = fit_file.read_bytes()
    dice = random.Random(fit_file.name)
    for length in (dice.randrange(1, len(data) // 8), dice.randrange(1, len(data) // 2)):
        path = tmp_path / f"{length}.fit"
        path.write_bytes(data[:length])
        try:
            recordings = read_recordings(path)
        except UnreadableFile:
            # Only where the cut left no two records at different times.
            assert length < 12 or count_of_records(data[:length]) < 2
            continue
        assert all(
            any("could not be read" in text for text in sentences_of(recording.warnings))
            for recording in recordings
        )


def count_of_records(data: bytes) -> int:
    return sum(decode_file(data, frame, Ticker(None)).record_count for frame in frames(data)[0])


def test_a_wrong_check_sum_is_said_and_nothing_is_lost(read: Read) -> None:
    data = bytearray(small_file())
    data[-1] ^= 0xFF
    (recording,) = read(bytes(data))
    assert len(recording.samples) == 40
    assert sentences_of(recording.warnings) == (
        "The check sum does not match the content: some values may be damaged.",
    )


def test_an_absent_check_sum_is_said(read: Read) -> None:
    (recording,) = read(small_file()[:-2])
    assert len(recording.samples) == 40
    assert [text for text in sentences_of(recording.warnings) if "without its check sum" in text]


def test_a_damaged_header_check_sum_loses_nothing(read: Read) -> None:
    data = bytearray(small_file())
    data[12] ^= 0xFF
    (recording,) = read(bytes(data))
    assert len(recording.samples) == 40


def test_a_file_never_closed_is_read_to_its_end(read: Read) -> None:
    """A unit that loses power leaves the size in the header at zero and writes no check sum."""
    data = bytearray(small_file()[:-2])
    data[4:8] = bytes(4)
    (recording,) = read(bytes(data))
    assert len(recording.samples) == 40
    assert recording.samples["hr_bpm"][-1] == 139


def test_bytes_behind_the_end_are_said_and_zeros_are_padding(read: Read) -> None:
    (padded,) = read(small_file() + bytes(512))
    assert padded.warnings == ()
    (junk,) = read(small_file() + b"some junk")
    assert sentences_of(junk.warnings) == (
        "9 bytes behind the end of the recording are no FIT data; left out.",
    )


def test_damage_in_one_of_two_chained_files_leaves_the_other_whole(read: Read) -> None:
    second = encoded([record(5000 + s) for s in range(20)])
    first, cut = read(small_file() + second[:-30])
    assert len(first.samples) == 40
    assert first.warnings == ()
    assert 2 <= len(cut.samples) < 20
    assert "ends early" in sentences_of(cut.warnings)[0]


def test_damage_before_any_record_is_part_of_the_refusal(read: Read) -> None:
    data = encoded([message("user_profile", weight=70.0), *steady(5)])
    with pytest.raises(UnreadableFile, match=r"0 records; .* could not be read"):
        read(data[:60])
