"""Heart rate from a strap's memory, held against the official decoder, which merges it by default."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from garmin_fit_sdk import Decoder, Stream

from files.fit_making import START_S, Message, encoded, framed, message, record, steady
from slopebeat.files.fit.beats import beats_of, with_beats
from slopebeat.files.fit.decode import decode_file
from slopebeat.files.fit.frame import frames
from slopebeat.files.fit.walk import walk
from slopebeat.files.limits import MOST_RECORDS
from slopebeat.files.progress import Ticker
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording

Read = Callable[..., tuple[Recording, ...]]

IN_A_MESSAGE = 8
"""Beats of one message, as straps write them: twelve bytes of times."""


def packed_12(events: list[int]) -> list[int]:
    """The lowest twelve bits of each, the first in the lowest (FIT profile, components of the field)."""
    bits = sum((event & 0xFFF) << 12 * place for place, event in enumerate(events))
    return list(bits.to_bytes(12 * len(events) // 8, "little"))


def anchor(second: float, event: int, bpm: int = 100) -> Message:
    """What time the strap's clock is at."""
    whole = math.floor(second)
    fraction = {"fractional_timestamp": second - whole}
    times = {"timestamp": START_S + whole, "event_timestamp": [event / 1024]}
    return message("hr", **times, **fraction, filtered_bpm=[bpm])


def packets(events: list[int], bpm: list[int]) -> list[Message]:
    """Messages of the beats behind an anchor."""
    return [
        message(
            "hr",
            event_timestamp_12=packed_12(events[at : at + IN_A_MESSAGE]),
            filtered_bpm=bpm[at : at + IN_A_MESSAGE],
        )
        for at in range(0, len(events), IN_A_MESSAGE)
    ]


def strap(seconds: float, seed: int, clock: int = 5_000_000, anchor_every: int = 0) -> list[Message]:
    """Beats of a made-up heart, with silences twelve bits can tell; the anchor first."""
    dice = random.Random(seed)
    events: list[int] = []
    at = 0
    while at < 1024 * seconds or len(events) % IN_A_MESSAGE:
        at += dice.choice((300, 512, 700, 1000, 1024, 256, 2050, 4000))
        events.append(at)
    bpm = [dice.randint(60, 180) for _ in events]
    made = [anchor(0.25, clock, 90)]
    for part in range(0, len(events), IN_A_MESSAGE):
        if anchor_every and part and part // IN_A_MESSAGE % anchor_every == 0:
            before = events[part - 1]
            made.append(anchor(0.25 + before / 1024, clock + before, bpm[part - 1]))
        stop = part + IN_A_MESSAGE
        made += packets([clock + event for event in events[part:stop]], bpm[part:stop])
    return made


def of_sdk(data: bytes) -> list[int | None]:
    """Heart rate of each record as the official decoder merges it."""
    messages, errors = Decoder(Stream.from_byte_array(bytearray(data))).read()
    assert errors == []
    return [each.get("heart_rate") for each in messages["record_mesgs"]]


def same_as_sdk(read: Read, data: bytes) -> int:
    """Compare every record but those the decoder never ends: it takes the last beats for unfinished."""
    (made,) = read(data)
    ours, theirs = made.samples["hr_bpm"], of_sdk(data)
    known = [place for place, value in enumerate(theirs) if value is not None]
    assert ours[known].tolist() == [theirs[place] for place in known]
    absent = [place for place, value in enumerate(theirs[: known[-1]]) if value is None]
    assert np.isnan(ours[absent]).all()
    return len(known)


@pytest.mark.parametrize("clock", [5_000_000, (1 << 31) + 17])
@pytest.mark.parametrize("step_s", [1, 3, 7])
@pytest.mark.parametrize("anchor_every", [0, 5])
def test_beats_are_merged_as_the_official_decoder_merges_them(
    read: Read, clock: int, step_s: int, anchor_every: int
) -> None:
    records = [record(second, distance=float(second)) for second in range(0, 600, step_s)]
    data = encoded([*records, *strap(590.0, step_s, clock, anchor_every)])
    assert same_as_sdk(read, data) > 550 // step_s


def test_beats_written_between_the_records_are_merged_alike(read: Read) -> None:
    records = [record(second, distance=float(second)) for second in range(300)]
    beats = strap(290.0, 4)
    mixed: list[Message] = []
    while records or beats:
        mixed += records[:12] + beats[:2]
        records, beats = records[12:], beats[2:]
    assert same_as_sdk(read, encoded(mixed)) > 280


def test_whole_times_of_several_beats_are_read_too(read: Read) -> None:
    events = [1000 + 900 * beat for beat in range(160)]
    parts = [events[at : at + 4] for at in range(1, 157, 4)]
    beats = [anchor(0.0, events[0])]
    beats += [
        message("hr", event_timestamp=[event / 1024 for event in part], filtered_bpm=[120, 130, 140, 150])
        for part in parts
    ]
    data = encoded([*(record(second, distance=1.0 * second) for second in range(120)), *beats])
    assert same_as_sdk(read, data) > 110


def test_a_heart_rate_of_the_record_stays_where_the_strap_has_none(read: Read) -> None:
    beats = strap(100.0, 8)
    data = encoded([*steady(200), *beats])
    ours, theirs = read(data)[0].samples["hr_bpm"].tolist(), of_sdk(data)
    differ = [place for place in range(200) if ours[place] != theirs[place]]
    # The record in which the strap's beats end is the one the decoder never ends.
    assert len(differ) == 1
    assert 100 <= differ[0] <= 115
    assert theirs[differ[0] :] == [100 + second % 80 for second in range(differ[0], 200)]


def test_a_silence_longer_than_five_seconds_stays_one(read: Read) -> None:
    # The next packet begins with an anchor: twelve bits alone tell no more than 4 s.
    events = [1000 * beat for beat in range(1, 9)]
    beats = [
        anchor(0.0, 0),
        *packets(events, [100] * 8),
        anchor(60.0, 61_440),
        *packets([62_000] * 8, [120] * 8),
    ]
    data = encoded([*(record(second, distance=1.0 * second) for second in range(90)), *beats])
    (made,) = read(data)
    assert np.isnan(made.samples["hr_bpm"][15:60]).all()
    same_as_sdk(read, data)


def test_a_clock_that_begins_again_goes_on() -> None:
    # 32 bits of 1/1024 s last 48.5 days; the official decoder refuses the step back.
    top = (1 << 32) - 1024
    made = [anchor(0.0, top, 100), *packets([top + 512 * beat for beat in range(1, 9)], [101] * 8)]
    made.append(message("hr", event_timestamp=[1024 * 4 / 1024], filtered_bpm=[102]))
    data = encoded(made)
    found = beats_of(np.frombuffer(data, dtype=np.uint8), walk(data, 14, len(data) - 2, Ticker(None)).layouts)
    assert found is not None
    assert (found.time_s - START_S).tolist() == [*(0.5 * beat for beat in range(9)), 5.0]


@pytest.mark.parametrize("absent", [0, 255])
def test_padding_is_no_beat_and_does_not_move_the_clock(read: Read, absent: int) -> None:
    events = [1000 * beat for beat in range(1, 17)]
    padded = [*events[:6], 0xFFF, 0xFFF, *events[6:12], 0xFFF, 0xFFF]
    bpm = [120] * 6 + [absent] * 2 + [140] * 6 + [absent] * 2
    data = encoded([*(record(second) for second in range(20)), anchor(0.0, 0, 120), *packets(padded, bpm)])
    hr = read(data)[0].samples["hr_bpm"]
    assert hr[1:6].tolist() == [120.0] * 5
    assert hr[8:11].tolist() == [140.0] * 3
    assert not set(hr[np.isfinite(hr)].tolist()) - {float(bpm) for bpm in range(120, 141)}


def test_beats_before_any_time_was_said_are_left_out(read: Read) -> None:
    data = encoded(
        [*(record(second) for second in range(20)), *packets([1000 * beat for beat in range(8)], [99] * 8)]
    )
    assert np.isnan(read(data)[0].samples["hr_bpm"]).all()


def test_more_beats_than_any_recording_has_are_refused(read: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    most = MOST_RECORDS // 20
    for module in ("beats", "fit_recording"):
        monkeypatch.setattr(f"slopebeat.files.fit.{module}.MOST_RECORDS", most)
    per_message = 255
    definition = bytes((0x40, 0, 0, 132, 0, 2, 6, per_message, 2, 10, per_message, 13))
    one = bytes((0,)) + bytes(2 * per_message)
    count = most // per_message + 1
    data = framed(definition + one * count)
    with pytest.raises(UnreadableFile, match="beats"):
        read(data)
    # Neither file has too many, both together have: one beat a message, each with its time.
    definition = bytes((0x40, 0, 0, 132, 0, 3, 253, 4, 0x86, 9, 4, 0x86, 6, 1, 2))
    one = bytes((0,)) + START_S.to_bytes(4, "little") + (1024).to_bytes(4, "little") + bytes((100,))
    half = framed(definition + one * (most // 2 + 1))
    with pytest.raises(UnreadableFile, match="beats"):
        read(half * 2)


def test_a_damaged_definition_of_beats_costs_nothing_else(read: Read) -> None:
    dice = random.Random(11)
    whole = encoded([*steady(60), *strap(50.0, 3)])
    at = whole.index(bytes((132, 0)))
    for _ in range(150):
        damaged = bytearray(whole)
        for _ in range(3):
            damaged[at + dice.randrange(-3, 20)] = dice.randrange(256)
        with suppress(UnreadableFile):
            read(bytes(damaged))


def test_beats_written_as_a_file_of_their_own_behind_the_recording_are_merged(read: Read) -> None:
    records = encoded([record(second, distance=float(second)) for second in range(300)])
    assert same_as_sdk(read, records + encoded(strap(290.0, 6))) > 280


def test_a_real_recording_is_merged_as_the_official_decoder_merges_it(fit_file: Path) -> None:
    data = fit_file.read_bytes()
    contents = [decode_file(data, frame, Ticker(None)) for frame in frames(data)[0]]
    if all(content.beats is None for content in contents):
        pytest.skip("no heart rate from a strap's memory in this file")
    ours = np.concatenate([content.records["heart_rate"] for content in with_beats(contents)])
    theirs = of_sdk(data)
    assert len(theirs) == ours.size
    differ = [place for place, value in enumerate(theirs) if value is not None and ours[place] != value]
    assert len(differ) <= 1, "the record in which the beats end"
    absent = [place for place, value in enumerate(theirs) if value is None]
    assert np.count_nonzero(np.isfinite(ours[absent])) <= 1
