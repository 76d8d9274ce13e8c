"""The FIT sample, read by the official decoder, holds the truth it was made from."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

sdk = pytest.importorskip("garmin_fit_sdk", reason="the official FIT decoder is not installed")
FIT_EPOCH = datetime(1989, 12, 31, tzinfo=UTC)


@pytest.fixture(scope="module")
def messages(samples_folder: Path) -> dict[str, list[dict[str, Any]]]:
    path = str(samples_folder / "hut_supply_hike.fit")
    # Each decoder reads its stream once to the end.
    assert sdk.Decoder(sdk.Stream.from_file(path)).check_integrity()
    # Nor need the second add up every byte again.
    found, errors = sdk.Decoder(sdk.Stream.from_file(path)).read(enable_crc_check=False)
    assert errors == []
    return dict(found)


@pytest.fixture(scope="module")
def truth(truths: dict[str, dict[str, Any]]) -> dict[str, Any]:
    return truths["hut_supply_hike"]


def _seconds(messages: dict[str, list[dict[str, Any]]], kind: str) -> list[float]:
    begin = messages["session_mesgs"][0]["start_time"]
    return [(m["timestamp"] - begin).total_seconds() for m in messages[kind]]


def test_an_activity_of_a_neutral_maker_with_one_session(messages: dict[str, Any]) -> None:
    assert messages["file_id_mesgs"][0]["type"] == "activity"
    assert messages["file_id_mesgs"][0]["manufacturer"] == "development"
    assert [m["sport"] for m in messages["session_mesgs"]] == ["hiking"]
    assert len(messages["activity_mesgs"]) == 1


def test_one_record_a_second_while_the_timer_runs(messages: dict[str, Any], truth: dict[str, Any]) -> None:
    seconds = np.array(_seconds(messages, "record_mesgs"))
    assert len(seconds) == truth["records"]
    assert seconds[0] == 0.0
    assert seconds[-1] == truth["span_s"]
    (pause,) = truth["pauses"]
    assert not np.any((seconds >= pause["start_s"]) & (seconds < pause["end_s"]))
    steps = np.diff(seconds)
    assert sorted(set(steps.tolist())) == [1.0, pause["end_s"] - pause["start_s"] + 1.0]


def test_timer_events_enclose_the_pause(messages: dict[str, Any], truth: dict[str, Any]) -> None:
    kinds = [m["event_type"] for m in messages["event_mesgs"] if m["event"] == "timer"]
    assert kinds == ["start", "stop_all", "start", "stop_all"]
    (pause,) = truth["pauses"]
    expected = [0.0, pause["start_s"], pause["end_s"], truth["span_s"]]
    assert _seconds(messages, "event_mesgs") == expected
    session = messages["session_mesgs"][0]
    assert session["total_elapsed_time"] == truth["span_s"]
    assert session["total_timer_time"] == truth["timer_s"]


def test_laps_follow_one_another_and_add_up(messages: dict[str, Any], truth: dict[str, Any]) -> None:
    laps, session = messages["lap_mesgs"], messages["session_mesgs"][0]
    starts = [(m["start_time"] - session["start_time"]).total_seconds() for m in laps]
    assert starts == truth["lap_starts_s"]
    assert session["num_laps"] == len(laps)
    for name in ("total_timer_time", "total_elapsed_time", "total_distance"):
        assert sum(m[name] for m in laps) == pytest.approx(session[name], abs=0.02)


def test_local_time_is_two_hours_ahead(messages: dict[str, Any], truth: dict[str, Any]) -> None:
    activity = messages["activity_mesgs"][0]
    utc_s = (activity["timestamp"] - FIT_EPOCH).total_seconds()
    assert activity["local_timestamp"] - utc_s == 7200
    start = datetime.fromisoformat(truth["start_local"])
    assert messages["session_mesgs"][0]["start_time"] == start


def test_records_hold_the_truth(messages: dict[str, Any], truth: dict[str, Any]) -> None:
    records = messages["record_mesgs"]
    heart_rate = np.array([m["heart_rate"] for m in records])
    low, high = truth["true_hr_range_bpm"]
    assert heart_rate.min() == pytest.approx(low, abs=0.51)
    assert heart_rate.max() == pytest.approx(high, abs=0.51)
    lower, upper = truth["athlete"]["band_bpm"]
    counted = heart_rate[:-1]
    assert np.sum((counted >= lower) & (counted <= upper)) == truth["seconds"]["in_band"]
    assert np.sum(counted > upper) == truth["seconds"]["above"]
    assert np.sum(counted < lower) == truth["seconds"]["below"]
    assert records[-1]["distance"] == pytest.approx(truth["distance_m"], abs=0.01)


def test_climbs_of_the_truth_are_seen_by_the_barometer(
    messages: dict[str, Any], truth: dict[str, Any]
) -> None:
    at = dict(zip(_seconds(messages, "record_mesgs"), messages["record_mesgs"], strict=True))
    assert len(truth["climbs"]) == 3
    for climb in truth["climbs"]:
        foot, top = at[climb["foot_s"]], at[climb["top_s"]]
        rise = top["enhanced_altitude"] - foot["enhanced_altitude"]
        # Two readings of a barometer that wanders by 2 m (one standard deviation).
        assert rise == pytest.approx(climb["gain_m"], abs=4 * 2.0 * 2**0.5)
        assert top["distance"] - foot["distance"] == pytest.approx(climb["length_m"], abs=0.1)


def test_the_load_tells_between_the_way_up_and_the_way_down(truth: dict[str, Any]) -> None:
    assert truth["load"]["load_kg"] == 14.0
    # The load comes off at the hut, some steps before the timer is stopped.
    assert 0 <= truth["pauses"][0]["start_s"] - truth["load"]["carried_until_s"] < 30


def test_stops_with_the_timer_running_stand_in_one_place(
    messages: dict[str, Any], truth: dict[str, Any]
) -> None:
    at = dict(zip(_seconds(messages, "record_mesgs"), messages["record_mesgs"], strict=True))
    assert len(truth["stops"]) == 3
    for stop in truth["stops"]:
        during = [at[s] for s in range(stop["start_s"], stop["end_s"])]
        assert {m["enhanced_speed"] for m in during} == {0.0}
        assert len({m["distance"] for m in during}) == 1
