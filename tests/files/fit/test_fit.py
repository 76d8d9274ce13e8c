"""FIT files made by the protocol's official encoder: what sessions, pauses and clocks in them mean."""

from __future__ import annotations

import math
import struct
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from garmin_fit_sdk import Encoder, Profile

from files.fit_making import START_S, encoded, framed, message, record, steady, timer
from helpers.sentences import sentences_of
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Lap, Recording, Sport

Read = Callable[..., tuple[Recording, ...]]

FIT_EPOCH_UNIX_S = 631_065_600


def session(start: float, end: float, **fields: Any) -> dict[str, Any]:
    return message("session", timestamp=START_S + end, start_time=START_S + start, **fields)


def test_values_come_back_in_si_units(read: Read) -> None:
    first = record(
        0, heart_rate=101, enhanced_altitude=1234.4, enhanced_speed=2.5, distance=12.34, position_lat=2**29,
        position_long=-(2**30), cadence=55, power=210, temperature=-7,
    )  # fmt: skip
    (recording,) = read(encoded([first, record(1, heart_rate=102)]))
    expected = {
        "t_s": 0.0, "hr_bpm": 101.0, "elevation_m": 1234.4, "speed_mps": 2.5, "distance_m": 12.34,
        "lat_deg": 45.0, "lon_deg": -90.0, "cadence_rpm": 55.0, "power_w": 210.0, "temperature_c": -7.0,
    }  # fmt: skip
    assert recording.samples.frame().iloc[0].to_dict() == pytest.approx(expected)
    assert recording.samples.frame().iloc[1].drop(["t_s", "hr_bpm"]).isna().all()
    assert recording.start_utc.timestamp() == START_S + FIT_EPOCH_UNIX_S


def test_plain_altitude_and_speed_fill_in_for_the_enhanced_ones(read: Read) -> None:
    rows = [record(0, altitude=500.0, speed=1.5), record(1, enhanced_altitude=700.2, altitude=501.0)]
    (recording,) = read(encoded(rows))
    np.testing.assert_allclose(recording.samples["elevation_m"], [500.0, 700.2])
    assert recording.samples["speed_mps"][0] == 1.5


def test_heart_rates_of_0_and_255_are_absent(read: Read) -> None:
    rows = [record(second, heart_rate=hr) for second, hr in enumerate((100, 0, 255, 101))]
    (recording,) = read(encoded(rows))
    assert recording.samples["hr_bpm"].tolist() == pytest.approx([100, math.nan, math.nan, 101], nan_ok=True)


def test_records_of_one_time_are_joined_and_disorder_is_sorted(read: Read) -> None:
    rows = [record(2, heart_rate=102), record(0, heart_rate=100), record(0, power=50), record(1, power=51)]
    (recording,) = read(encoded(rows))
    assert recording.samples["t_s"].tolist() == [0.0, 1.0, 2.0]
    assert recording.samples["hr_bpm"].tolist() == pytest.approx([100, math.nan, 102], nan_ok=True)
    assert recording.samples["power_w"].tolist() == pytest.approx([50, 51, math.nan], nan_ok=True)


@pytest.mark.parametrize("stop", ["stop", "stop_all", "stop_disable", "stop_disable_all"])
def test_pauses_last_from_a_timer_stop_to_the_next_start(read: Read, stop: str) -> None:
    rows = [*steady(10), timer(9, stop), timer(12, "stop_all"), timer(40, "start"), record(41), record(50)]
    (recording,) = read(encoded([timer(0, "start"), *rows]))
    assert list(recording.pauses) == [(9.0, 40.0)]


def test_a_stop_without_a_start_lasts_to_the_last_record(read: Read) -> None:
    (recording,) = read(encoded([*steady(10), timer(7, "stop_all")]))
    assert list(recording.pauses) == [(7.0, 9.0)]


def test_elapsed_time_and_events_of_other_kinds_make_no_pause(read: Read) -> None:
    other = message("event", timestamp=START_S + 3, event="session", event_type="stop_disable_all")
    summed = session(0, 9, total_elapsed_time=9000.0, total_timer_time=9.0)
    (recording,) = read(encoded([timer(0, "start"), *steady(10), other, summed]))
    assert not len(recording.pauses)
    assert recording.totals.timer_s == 9.0


def test_a_stop_and_a_start_in_one_second_keep_their_order(read: Read) -> None:
    rows = [*steady(10), timer(4, "start"), timer(4, "stop_all"), timer(6, "start")]
    (recording,) = read(encoded(rows))
    assert list(recording.pauses) == [(4.0, 6.0)]


def test_each_session_is_a_recording_with_its_own_part(read: Read) -> None:
    rows = [record(second, distance=float(second)) for second in range(60)]
    rows += [timer(5, "stop_all"), timer(10, "start"), timer(40, "stop_all"), timer(45, "start")]
    rows.append(message("lap", timestamp=START_S + 59, start_time=START_S + 35))
    first = session(0, 30, sport="hiking", total_distance=29.0, total_ascent=5, total_descent=6)
    second = session(30, 60, sport="cycling", sub_sport="mountain", total_timer_time=24.0)
    walk, ride = read(encoded([*rows, second, first]), "both.fit")
    assert (walk.sport, ride.sport) == (Sport.HIKING, Sport.MOUNTAIN_BIKING)
    assert (len(walk.samples), len(ride.samples)) == (30, 30)
    assert (list(walk.pauses), list(ride.pauses)) == ([(5.0, 10.0)], [(10.0, 15.0)])
    assert (walk.title, ride.title) == ("both, 1 of 2", "both, 2 of 2")
    assert (walk.totals.distance_m, walk.totals.ascent_m, walk.totals.descent_m) == (29.0, 5.0, 6.0)
    assert ride.totals.timer_s == 24.0
    assert ride.laps == (Lap(5.0, 29.0),)
    # The device counts distance on; the second recording starts at zero again.
    assert ride.samples["distance_m"].tolist() == pytest.approx(list(range(30)))


def test_chained_files_are_recordings_in_order_of_time(read: Read) -> None:
    later = encoded([record(1000), record(1001)])
    earlier = encoded([record(0), record(1), record(2)])
    first, second = read(later + earlier)
    assert (len(first.samples), len(second.samples)) == (3, 2)
    assert first.start_utc < second.start_utc
    assert first.warnings == second.warnings == ()


def test_laps_follow_each_other(read: Read) -> None:
    laps = [message("lap", timestamp=START_S, start_time=START_S + start) for start in (0, 4, 8)]
    (recording,) = read(encoded([*steady(11), *laps]))
    assert recording.laps == (Lap(0.0, 4.0), Lap(4.0, 8.0), Lap(8.0, 10.0))


DAY_S = 86_400


@pytest.mark.parametrize("jump_s", [9 * DAY_S, -9 * DAY_S, -1800])
def test_records_before_a_clock_was_set_are_left_out_and_said(read: Read, jump_s: int) -> None:
    wrong = [record(second - jump_s, heart_rate=90) for second in range(6)]
    (recording,) = read(encoded([*wrong, *(record(second, heart_rate=120) for second in range(6, 2000))]))
    assert len(recording.samples) == 1994
    assert np.nanmin(recording.samples["hr_bpm"]) == 120
    assert [text for text in sentences_of(recording.warnings) if "clock jumped: 6 records" in text]


def test_a_long_pause_is_no_clock_jump(read: Read) -> None:
    night = 2 * DAY_S
    rows = [*steady(20), timer(19, "stop_all"), timer(night, "start")]
    (recording,) = read(encoded([*rows, *(record(night + second) for second in range(20))]))
    assert len(recording.samples) == 40
    assert list(recording.pauses) == [(19.0, float(night))]
    assert recording.warnings == ()


@pytest.mark.parametrize(
    ("difference_s", "offset_s"), [(7200, 7200.0), (-12_600 - 1, -12_600.0), (500, None), (20 * 3600, None)]
)
def test_local_time_is_taken_only_where_a_time_zone_can_be(
    read: Read, difference_s: int, offset_s: float | None
) -> None:
    activity = message("activity", timestamp=START_S, local_timestamp=START_S + difference_s)
    (recording,) = read(encoded([*steady(3), activity]))
    assert recording.utc_offset_s == offset_s


def test_device_is_the_text_of_the_file(read: Read) -> None:
    (recording,) = read(encoded(steady(3)))
    assert recording.device == "development 7"


def test_sport_message_speaks_where_the_session_is_missing(read: Read) -> None:
    (recording,) = read(encoded([message("sport", sport="hiking"), *steady(3)]))
    assert recording.sport is Sport.HIKING


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("swimming", Sport.OTHER),
        ("cross_country_skiing", Sport.OTHER),
        ("transition", Sport.OTHER),
        ("motorcycling", Sport.OTHER),
        ("generic", Sport.UNKNOWN),
        (None, Sport.UNKNOWN),
    ],
)
def test_a_sport_of_another_kind_is_not_one_left_open(read: Read, word: str | None, expected: Sport) -> None:
    said = {} if word is None else {"sport": word}
    (recording,) = read(encoded([*steady(3), session(0, 3, **said)]))
    assert recording.sport is expected


def test_a_session_that_leaves_the_sport_open_yields_to_the_sport_message(read: Read) -> None:
    rows = [message("sport", sport="hiking"), *steady(3), session(0, 3, sport="generic")]
    (recording,) = read(encoded(rows))
    assert recording.sport is Sport.HIKING


def test_a_file_that_broke_off_before_its_session_leaves_the_sport_open(read: Read) -> None:
    (recording,) = read(encoded(steady(3)))
    assert recording.sport is Sport.UNKNOWN


@pytest.mark.parametrize(
    ("kind", "rows", "words"),
    [
        ("settings", [message("user_profile", weight=70.0)], "of type settings and holds no records"),
        ("course", [record(0), record(1)], "planned course"),
        ("activity", [record(0)], "1 record; an activity needs 2"),
        ("activity", [record(0), record(0)], "2 records; an activity needs 2 at different times"),
        ("activity", [message("record", heart_rate=100)] * 3, "3 records"),
    ],
)
def test_a_fit_file_without_an_activity_is_refused_in_a_sentence(
    read: Read, kind: str, rows: list[dict[str, Any]], words: str
) -> None:
    with pytest.raises(UnreadableFile, match=words):
        read(encoded(rows, kind))


def test_records_without_a_time_are_left_out_and_said(read: Read) -> None:
    (recording,) = read(encoded([*steady(3), message("record", heart_rate=99)]))
    assert len(recording.samples) == 3
    assert sentences_of(recording.warnings) == ("1 record without a time left out.",)


def test_a_developer_field_does_not_pass_for_the_heart_rate(read: Read) -> None:
    developer = message("developer_data_id", developer_data_index=0, application_id=list(range(16)))
    description = message(
        "field_description", developer_data_index=0, field_definition_number=0, fit_base_type_id=2,
        field_name="heart_rate",
    )  # fmt: skip
    own: Any = {"own": {"developer_data_id_mesg": developer, "field_description_mesg": description}}
    encoder = Encoder(own)
    for row in (developer, description, *(dict(record(s, heart_rate=100)) for s in range(3))):
        if row["mesg_num"] == Profile["mesg_num"]["RECORD"]:
            row["developer_fields"] = {"own": 77}
        encoder.write_mesg(row)
    (recording,) = read(bytes(encoder.close()))
    assert recording.samples["hr_bpm"].tolist() == [100.0] * 3


RECORD_NUMBER = 20
TIME = bytes((253, 4, 0x86))  # field 253 timestamp, uint32
HEART_RATE = bytes((3, 1, 0x02))  # field 3 heart_rate, uint8


def test_big_endian_records_are_read(read: Read) -> None:
    definition = b"\x40\x00\x01" + struct.pack(">HB", RECORD_NUMBER, 2) + TIME + HEART_RATE
    rows = b"".join(b"\x00" + struct.pack(">IB", START_S + second, 100 + second) for second in range(3))
    (recording,) = read(framed(definition + rows))
    assert recording.samples["t_s"].tolist() == [0.0, 1.0, 2.0]
    assert recording.samples["hr_bpm"].tolist() == [100.0, 101.0, 102.0]


def test_compressed_timestamps_roll_over(read: Read) -> None:
    """FIT protocol, "Compressed Timestamp Header": 5 bits of time, a smaller value means rolled over."""
    full = b"\x40\x00\x00" + struct.pack("<HB", RECORD_NUMBER, 2) + TIME + HEART_RATE
    short = b"\x41\x00\x00" + struct.pack("<HB", RECORD_NUMBER, 1) + HEART_RATE
    start = START_S - START_S % 32 + 28
    rows = b"\x00" + struct.pack("<IB", start, 100)
    for later in (1, 3, 6, 38 - 7):
        rows += bytes((0x80 | 1 << 5 | (start + later) % 32, 100 + later))
    (recording,) = read(framed(full + short + rows))
    assert recording.samples["t_s"].tolist() == [0.0, 1.0, 3.0, 6.0, 31.0]
    assert recording.samples["hr_bpm"].tolist() == [100.0, 101.0, 103.0, 106.0, 131.0]


def test_times_since_switch_on_are_kept_with_a_warning(read: Read) -> None:
    rows = [message("record", timestamp=1000 + second, heart_rate=100) for second in range(3)]
    (recording,) = read(encoded(rows))
    assert recording.span_s == 2.0
    assert [text for text in sentences_of(recording.warnings) if "clock was not set" in text]
