"""A stretch measured, against figures worked out by hand, the whole outing's own, and devices' laps."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.athlete import Aim
from slopebeat.model.bands import Band
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.stretch import STRETCH_FIGURES, measure

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
RECORDINGS = Path(__file__).resolve().parents[3] / "shared" / "recordings"


@pytest.fixture(scope="module")
def walk() -> Review:
    recording = read_recordings(SAMPLES / "lake_shore_walk.gpx")[0]
    return review_recording(recording, Aim(band=Band(112, 131)))


def test_the_whole_outing_measured_is_the_outing(walk: Review) -> None:
    whole, account = measure(walk, 0.0, float(walk.track.t_s[-1])), walk.account
    assert account is not None
    assert whole.recorded_s == pytest.approx(account.recorded_s)
    assert whole.moving_s == pytest.approx(account.moving_s)
    assert whole.hr_max_bpm == np.nanmax(walk.track.hr_bpm)
    assert whole.share_in_band == pytest.approx(account.in_band_s / (account.recorded_s - account.no_hr_s))
    assert whole.ascent_m == pytest.approx(walk.elevation.ascent_m, abs=2.0)


def test_parts_laid_end_to_end_are_the_whole(walk: Review) -> None:
    ends = np.linspace(0.0, float(walk.track.t_s[-1]), 6)
    parts = [measure(walk, a, b) for a, b in pairwise(ends)]
    whole = measure(walk, 0.0, float(ends[-1]))
    for name in ("recorded_s", "moving_s"):
        assert sum(getattr(p, name) for p in parts) == pytest.approx(getattr(whole, name))
    # A part's distance runs from its first record to its last, so the steps between the parts are missing.
    steps = 5 * float(np.nanmax(np.diff(walk.track.distance_m)))
    assert whole.distance_m is not None
    assert whole.distance_m - sum(p.distance_m or 0.0 for p in parts) == pytest.approx(0.0, abs=steps)


def test_beats_and_work_counted_second_by_second(walk: Review) -> None:
    found, track = measure(walk, 600.0, 1200.0), walk.track
    beats = joules = 0.0
    for at in np.flatnonzero((track.t_s >= 600.0) & (track.t_s < 1200.0) & track.moving):
        beats += track.hr_bpm[at] / 60.0 * track.recorded_s[at]
        joules += walk.work_w_per_kg[at] * track.recorded_s[at]
    assert found.beats_per_kj_per_kg == pytest.approx(beats / (joules / 1000.0), rel=0.02)


def test_nothing_is_made_up_where_nothing_is_known(walk: Review) -> None:
    empty = measure(walk, 10.0, 10.0)
    assert empty.recorded_s == 0.0
    assert [f.value(empty) for f in STRETCH_FIGURES[3:]] == [None] * (len(STRETCH_FIGURES) - 3)
    for figure in STRETCH_FIGURES:
        assert figure.text(None) == "–"


@pytest.mark.skipif(not RECORDINGS.is_dir(), reason="the folder of real recordings is not here")
@pytest.mark.parametrize("name", ["run_developer_fields", "road_power_1hz", "road_1hz_few_pauses"])
def test_laps_measured_agree_with_what_the_device_summed_up(name: str) -> None:
    """Distance, mean and highest heart rate of each lap, as decoded by the official SDK."""
    from garmin_fit_sdk import Decoder, Stream

    path = RECORDINGS / f"{name}.fit"
    messages, _ = Decoder(Stream.from_file(str(path))).read()
    review = review_recording(read_recordings(path)[0], Aim())
    start, checked = review.recording.start_utc, 0
    for lap in messages["lap_mesgs"]:
        begins = (lap["start_time"] - start).total_seconds()
        if lap["total_timer_time"] < 120.0 or begins < 0.0:
            continue
        found = measure(review, begins, (lap["timestamp"] - start).total_seconds())
        assert found.distance_m == pytest.approx(lap["total_distance"], rel=0.02, abs=20.0)
        if lap.get("avg_heart_rate") and not any(mark.counts for mark in review.marks):
            assert found.hr_mean_bpm == pytest.approx(lap["avg_heart_rate"], abs=2.0)
            assert found.hr_max_bpm == pytest.approx(lap["max_heart_rate"], abs=1.0)
        checked += 1
    assert checked
