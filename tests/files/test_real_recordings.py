"""Real recordings against counts made with independent readers and against the devices' own sums."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from helpers.checks import not_none
from helpers.sentences import sentences_of
from slopebeat.files.reading import read_recordings
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import COLUMNS, counted_time

Opened = Callable[[Path], tuple[Recording, ...]]
Row = dict[str, str]

MERGED = {"split_records_same_timestamp.fit"}
"""Files whose index counts records before those with one timestamp are merged."""

LEFT_OUT = {"clock_jump.fit": 17, "few_times.gpx": 291}
"""Records before the device's clock was corrected, read off the file's timestamps; points without time."""

STOPPED_EARLY = {"misaligned_developer_field.fit": 1785}
"""Records of a file whose index was made by readers that stop there; its other 9,487 records and its
session, which come behind that, are held against the official decoder."""

TIMER_TOLERANCE_S = 15.0

FROM_A_STRAP = {"chained_triathlon.fit"}
"""The index knows the heart rate of the records alone, which fail in the water; what a strap's memory adds is
held against the official decoder in test_fit_beats.py, record by record."""

SPARSE = {"walk.tcx", "two_activities.tcx"}
"""Files without pause marks and with breaks over 30 s of which the device counted some: the counting
rule cannot tell those from stops, so their timer time lies between the recorded time and it plus gaps."""


def recorded_s(recording: Recording) -> float:
    return float(counted_time(recording.samples["t_s"], recording.pauses).recorded_s.sum())


def gap_s(recording: Recording) -> float:
    return float(counted_time(recording.samples["t_s"], recording.pauses).gap_s.sum())


def as_indexed(name: str, recordings: tuple[Recording, ...]) -> tuple[Recording, ...]:
    """The recordings as far as the readers saw them that made the index."""
    if name not in STOPPED_EARLY:
        return recordings
    (whole,) = recordings
    return (replace(whole, samples=whole.samples.rows(slice(STOPPED_EARLY[name]))),)


def heart_rates(recordings: tuple[Recording, ...]) -> pd.Series:
    return pd.concat([recording.samples.frame()["hr_bpm"] for recording in recordings]).dropna()


def test_every_recording_opens_as_a_well_formed_table(recording_file: Path, opened: Opened) -> None:
    for recording in opened(recording_file):
        t = recording.samples["t_s"]
        assert tuple(recording.samples.columns) == COLUMNS
        assert t[0] == 0.0
        assert np.all(np.diff(t) > 0.0)
        assert recording.start_utc.utcoffset() == timedelta(0)
        assert recording.file_name == recording_file.name
        assert recording.title


def test_every_other_file_is_refused_in_a_sentence(other_file: Path, opened: Opened) -> None:
    with pytest.raises(UnreadableFile, match=rf"^{other_file.name} is not a .* it is plain text\.$"):
        opened(other_file)


def test_record_count_and_heart_rate_agree_with_the_index(
    indexed: Row, opened: Opened, recordings_folder: Path
) -> None:
    name = indexed["file"]
    recordings = as_indexed(name, opened(recordings_folder / name))
    count = sum(len(recording.samples) for recording in recordings)
    expected = int(float(indexed["records"])) - LEFT_OUT.get(name, 0)
    if name not in MERGED:
        # Repeated timestamps, at most 15 in any of these files, are merged.
        assert expected - 15 <= count <= expected
    hr = heart_rates(recordings)
    if not indexed["hr_mean"]:
        assert hr.empty
        return
    assert hr.min() == float(indexed["hr_min"])
    assert hr.max() == float(indexed["hr_max"])
    if name in FROM_A_STRAP:
        assert len(hr) == count
        return
    assert hr.mean() == pytest.approx(float(indexed["hr_mean"]), abs=0.15)
    if name not in MERGED:
        assert 100 * len(hr) / count == pytest.approx(float(indexed["hr_coverage_pct"]), abs=0.2)


def test_span_agrees_with_the_index(indexed: Row, opened: Opened, recordings_folder: Path) -> None:
    recordings = as_indexed(indexed["file"], opened(recordings_folder / indexed["file"]))
    last = recordings[-1]
    span = (last.start_utc - recordings[0].start_utc).total_seconds() + last.span_s
    if indexed["file"] == "clock_jump.fit":
        # The index counts from the first of the 17 records before the jump: 69 s of them, then the jump.
        span += 69.0 + 736_205.0
    assert span == pytest.approx(float(indexed["span_s"]), abs=0.5)


def test_span_without_pauses_and_gaps_is_the_device_timer(
    timed: Row, opened: Opened, recordings_folder: Path
) -> None:
    name = timed["file"]
    recordings = opened(recordings_folder / name)
    timer_s = float(timed["timer_s"])
    if name in SPARSE:
        least = sum(recorded_s(recording) for recording in recordings)
        most = least + sum(gap_s(recording) for recording in recordings)
        assert least - TIMER_TOLERANCE_S <= timer_s <= most + TIMER_TOLERANCE_S
        return
    if name == "clock_jump.fit":
        # By the file's events the timer ran 55 s and then 3 s to the last record before the jump.
        timer_s -= 58.0
    assert sum(recorded_s(recording) for recording in recordings) == pytest.approx(
        timer_s, abs=TIMER_TOLERANCE_S
    )


def test_each_session_has_its_own_timer_and_distance(opened: Opened, recordings_folder: Path) -> None:
    recordings = opened(recordings_folder / "chained_triathlon.fit")
    assert len(recordings) == 5
    assert [recording.sport for recording in recordings[2::2]] == [Sport.CYCLING, Sport.RUNNING]
    for recording in recordings:
        assert recording.totals.timer_s == pytest.approx(recorded_s(recording), abs=TIMER_TOLERANCE_S)
        assert recording.totals.distance_m == pytest.approx(
            np.nanmax(recording.samples["distance_m"]), abs=10.0
        )


def test_pauses_agree_with_the_index(paused: Row, opened: Opened, recordings_folder: Path) -> None:
    name = paused["file"]
    count, total_s = float(paused["n_pauses"]), float(paused["paused_s"])
    if name == "clock_jump.fit":
        # Read off its events: two pauses, of 33 and 11 s, come before the clock was corrected.
        count, total_s = count - 2, total_s - 44.0
    recording = opened(recordings_folder / name)[0]
    # The index leaves out a stop at the very end and counts one for each of two pauses that touch.
    assert len(recording.pauses) == pytest.approx(count, abs=2)
    assert recording.pauses.total_s == pytest.approx(total_s, abs=TIMER_TOLERANCE_S)


def test_device_totals_are_passed_on(indexed: Row, opened: Opened, recordings_folder: Path) -> None:
    recordings = opened(recordings_folder / indexed["file"])
    if indexed["file"] in STOPPED_EARLY:
        return
    ascents = [recording.totals.ascent_m for recording in recordings]
    if indexed["device_ascent_m"]:
        assert sum(ascent or 0.0 for ascent in ascents) == float(indexed["device_ascent_m"])
    else:
        assert not any(ascents)


@pytest.mark.parametrize(
    "name", ["mtb_long_standing_stops.fit", "road_device_zone_times.fit", "gravel_device_zone_times.fit"]
)
def test_time_per_heart_rate_zone_is_the_device_own(
    name: str, opened: Opened, recordings_folder: Path
) -> None:
    device = json.loads((recordings_folder / "device_zone_times.json").read_text())[name]
    (recording,) = opened(recordings_folder / name)
    hr = recording.samples["hr_bpm"]
    seconds = counted_time(recording.samples["t_s"], recording.pauses).recorded_s
    known = np.isfinite(hr)
    zone = np.digitize(hr[known], device["zone_boundaries"])  # a lower bound belongs to its zone
    counted = np.bincount(zone, weights=seconds[known], minlength=len(device["zone_boundaries"]) + 1)
    np.testing.assert_allclose(counted, device["device_time_in_hr_zone_s"], rtol=0, atol=20.0)


def test_clock_jump_is_dropped_and_said(opened: Opened, recordings_folder: Path) -> None:
    (recording,) = opened(recordings_folder / "clock_jump.fit")
    assert recording.start_utc.date().isoformat() == "2015-08-20"
    assert recording.span_s < 3 * 3600
    assert [warning for warning in sentences_of(recording.warnings) if "clock jumped: 17 records" in warning]


def test_complementary_records_of_one_timestamp_are_joined(opened: Opened, recordings_folder: Path) -> None:
    (recording,) = opened(recordings_folder / "split_records_same_timestamp.fit")
    assert len(recording.samples) == 2989
    # One record carries heart rate, the other the position: joined, most samples have both.
    both = recording.samples.frame()[["hr_bpm", "lat_deg"]].notna().all(axis=1)
    assert both.mean() > 0.25


def test_points_without_time_are_left_out_and_said(opened: Opened, recordings_folder: Path) -> None:
    (recording,) = opened(recordings_folder / "few_times.gpx")
    assert len(recording.samples) == 5
    assert recording.span_s == 57.0
    assert sentences_of(recording.warnings) == ("291 points without a time left out.",)


def test_two_activities_of_one_file_are_two_recordings(opened: Opened, recordings_folder: Path) -> None:
    first, second = opened(recordings_folder / "two_activities.tcx")
    assert first.start_utc < second.start_utc
    assert first.title != second.title
    assert not_none(first.totals.timer_s) + not_none(second.totals.timer_s) == pytest.approx(8529.0)


def test_reading_twice_gives_the_same(recordings_folder: Path, opened: Opened) -> None:
    path = recordings_folder / "run_developer_fields.fit"
    # Developer fields of other files read in between must not leak into this one.
    opened(recordings_folder / "run_broken_developer_fields.fit")
    (before,), (after,) = opened(path), read_recordings(path)
    pd.testing.assert_frame_equal(before.samples.frame(), after.samples.frame())
