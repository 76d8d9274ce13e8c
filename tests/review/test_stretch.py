"""A stretch measured, against figures worked out by hand, the whole outing's own, and devices' laps."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.account.splits import climbed_m
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.stretch import STRETCH_FIGURES, SplitBy, measure_stretch, splits

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
RECORDINGS = Path(__file__).resolve().parents[3] / "shared" / "recordings"


@pytest.fixture(scope="module")
def walk() -> Review:
    walked = read_recordings(SAMPLES / "lake_shore_walk.gpx")[0]
    return review_recording(walked, Aim(band=Band(112, 131)))


def test_the_whole_outing_measured_is_the_outing(walk: Review) -> None:
    whole, account = measure_stretch(walk, 0.0, float(walk.track.t_s[-1])), walk.account
    assert account is not None
    assert whole.recorded_s == pytest.approx(account.recorded_s)
    assert whole.moving_s == pytest.approx(account.moving_s)
    assert whole.hr_max_bpm == np.nanmax(walk.track.hr_bpm)
    assert whole.share_in_band == pytest.approx(account.in_band_s / (account.recorded_s - account.no_hr_s))
    assert whole.ascent_m == pytest.approx(walk.elevation.ascent_m, abs=2.0)


def test_parts_laid_end_to_end_are_the_whole(walk: Review) -> None:
    ends = np.linspace(0.0, float(walk.track.t_s[-1]), 6)
    parts = [measure_stretch(walk, a, b) for a, b in pairwise(ends)]
    whole = measure_stretch(walk, 0.0, float(ends[-1]))
    for name in ("recorded_s", "moving_s"):
        assert sum(getattr(p, name) for p in parts) == pytest.approx(getattr(whole, name))
    assert sum(p.distance_m or 0.0 for p in parts) == pytest.approx(whole.distance_m)


def test_beats_and_work_counted_second_by_second(walk: Review) -> None:
    found, track = measure_stretch(walk, 600.0, 1200.0), walk.track
    beats = joules = 0.0
    for at in np.flatnonzero((track.t_s >= 600.0) & (track.t_s < 1200.0) & track.moving):
        beats += track.hr_bpm[at] / 60.0 * track.recorded_s[at]
        joules += walk.work_w_per_kg[at] * track.recorded_s[at]
    assert found.beats_per_kj_per_kg == pytest.approx(beats / (joules / 1000.0), rel=0.02)


def test_nothing_is_made_up_where_nothing_is_known(walk: Review) -> None:
    empty = measure_stretch(walk, 10.0, 10.0)
    assert empty.recorded_s == 0.0
    measured = [f for f in STRETCH_FIGURES if f.json not in ("start_s", "end_s", "recorded_s", "moving_s")]
    assert [f.value(0, empty) for f in measured] == [None] * len(measured)
    for figure in STRETCH_FIGURES:
        assert figure.kind.write(None) == "–"


@pytest.mark.skipif(not RECORDINGS.is_dir(), reason="the folder of real recordings is not here")
@pytest.mark.parametrize("name", ["run_developer_fields", "road_power_1hz", "road_1hz_few_pauses"])
def test_laps_measured_agree_with_what_the_device_summed_up(name: str) -> None:
    """Distance, mean and highest heart rate of each lap, as decoded by the official SDK."""
    from garmin_fit_sdk import Decoder, Stream

    path = RECORDINGS / f"{name}.fit"
    # Its sum over every byte, fields made of others and beats between records are not asked here.
    messages, _ = Decoder(Stream.from_file(str(path))).read(
        enable_crc_check=False, expand_components=False, merge_heart_rates=False
    )
    review = review_recording(read_recordings(path)[0], Aim())
    start, checked = review.recording.start_utc, 0
    laps: Any = messages["lap_mesgs"]
    for lap in laps:
        begins = (lap["start_time"] - start).total_seconds()
        if lap["total_timer_time"] < 120.0 or begins < 0.0:
            continue
        found = measure_stretch(review, begins, (lap["timestamp"] - start).total_seconds())
        assert found.distance_m == pytest.approx(lap["total_distance"], rel=0.02, abs=20.0)
        if lap.get("avg_heart_rate") and not any(mark.counts for mark in review.marks):
            assert found.hr_mean_bpm == pytest.approx(lap["avg_heart_rate"], abs=2.0)
            assert found.hr_max_bpm == pytest.approx(lap["max_heart_rate"], abs=1.0)
        checked += 1
    assert checked


def test_splits_by_hand() -> None:
    """An even walk of 2.6 km in 2,600 s recorded each 7 s: kilometres end at 1,000 and 2,000 s."""
    t = np.arange(0.0, 2601.0, 7.0)
    made = recording(t, elevation=lambda t: 0.1 * np.where(t < 1300.0, t, 2600.0 - t), speed=1.0)
    review = review_recording(made, Aim(band=Band(112, 131)))
    parts = splits(review, SplitBy.DISTANCE)
    assert [round(p.start_s) for p in parts] == [0, 1000, 2000]
    assert [round(p.distance_m or 0.0) for p in parts] == [1000, 1000, round(float(t[-1]) - 2000)]
    steps = splits(review, SplitBy.ASCENT)
    # 130 m are climbed by 1,300 s: the first hundred after 1,000 s, all the rest is what was left.
    assert len(steps) == 2
    assert steps[0].end_s == pytest.approx(1000.0, abs=25.0)
    assert sum(p.recorded_s for p in steps) == pytest.approx(sum(p.recorded_s for p in parts))


def test_climbed_by_hand() -> None:
    """Up 10, down 4, up 6 with noise under two metres: 16 m."""
    heights = np.array([0.0, 5.0, 4.5, 10.0, np.nan, 6.0, 7.0, 6.5, 12.0, 11.0])
    found = climbed_m(heights, 2.0)
    assert np.isnan(found[4])
    assert list(found[[0, 1, 2, 3, 5, 6, 7, 8, 9]]) == [0, 5, 5, 10, 10, 11, 11, 16, 16]


def test_kilometres_of_every_real_recording_add_up(walk: Review) -> None:
    whole = measure_stretch(walk, 0.0, float(walk.track.t_s[-1]))
    parts = splits(walk, SplitBy.DISTANCE)
    assert sum(p.distance_m or 0.0 for p in parts) == pytest.approx(whole.distance_m, abs=1.0)
    assert all(p.distance_m == pytest.approx(1000.0, abs=1.0) for p in parts[:-1])
    assert splits(walk, SplitBy.LAP) == []


@pytest.mark.skipif(not RECORDINGS.is_dir(), reason="the folder of real recordings is not here")
def test_real_recordings_are_cut_end_to_end() -> None:
    for name in ("run_developer_fields.fit", "road_power_1hz.fit", "walk.tcx"):
        review = review_recording(read_recordings(RECORDINGS / name)[0], Aim(band=Band(120, 140)))
        span = float(review.track.t_s[-1])
        whole = measure_stretch(review, 0.0, span)
        for by in (SplitBy.DISTANCE, SplitBy.ASCENT):
            parts = splits(review, by)
            assert parts[0].start_s == 0.0
            assert parts[-1].end_s == span
            assert all(a.end_s == b.start_s for a, b in pairwise(parts))
            assert sum(p.recorded_s for p in parts) == pytest.approx(whole.recorded_s)
            assert sum(p.distance_m or 0.0 for p in parts) == pytest.approx(whole.distance_m, abs=2.0)
