"""The row the months keep, against the samples' own truth and the review it comes from."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.codec import decode, encode
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.people import Aim
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.summary import steep_share, summarise

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


@pytest.fixture(scope="module")
def hike() -> Review:
    (recording,) = read_recordings(SAMPLES / "hut_supply_hike.fit")
    return review_recording(recording, Aim(Band(112, 131), load_kg=6.0))


def test_the_parts_sum_to_the_recorded_time(hike: Review) -> None:
    row = summarise(hike)
    parts = [row.in_band_s, row.above_s, row.below_s, row.no_hr_s]
    assert all(part is not None for part in parts)
    assert sum(part or 0.0 for part in parts) == pytest.approx(row.recorded_s, abs=1e-6)
    assert row.yield_share == pytest.approx((row.in_band_s or 0.0) / row.recorded_s)
    assert (row.band_lower_bpm, row.band_upper_bpm, row.load_kg) == (112, 131, 6.0)


def test_a_summary_survives_the_way_through_json(hike: Review) -> None:
    row = summarise(hike)
    assert decode(encode(row), OutingSummary) == row


def test_without_a_band_only_what_needs_one_is_missing(hike: Review) -> None:
    row = summarise(review_recording(hike.recording, Aim(load_kg=6.0)))
    banded = summarise(hike)
    for name in ("in_band_s", "above_s", "below_s", "no_hr_s", "yield_share", "mid_band_speed_mps"):
        assert getattr(row, name) is None
    for name in ("recorded_s", "moving_s", "distance_m", "ascent_m", "terrain_fair_percent", "steep_share"):
        assert getattr(row, name) == getattr(banded, name)
        assert getattr(row, name) is not None


def test_without_heart_rate_nothing_is_made_up(recordings: Path) -> None:
    (recording,) = read_recordings(recordings / "no_heart_rate.tcx")
    row = summarise(review_recording(recording, Aim(Band(112, 131))))
    assert row.in_band_s == 0.0
    assert row.no_hr_s == pytest.approx(row.recorded_s)
    for name in ("pace_percent", "terrain_fair_percent", "drift_bpm_per_h", "mid_band_speed_mps"):
        assert getattr(row, name) is None


def test_the_steep_share_agrees_with_a_count_second_by_second(hike: Review) -> None:
    track = hike.track
    steep = total = 0.0
    for grade, seconds, moving in zip(track.grade, track.recorded_s, track.moving, strict=True):
        if moving and np.isfinite(grade):
            total += seconds
            steep += seconds if grade > 0.03 or grade < -0.03 else 0.0
    assert steep_share(track) == pytest.approx(steep / total)


def test_an_edge_moved_by_three_beats_counts_as_a_review_with_that_edge(hike: Review) -> None:
    row = summarise(hike)

    def moved(lower: int, upper: int) -> OutingSummary:
        return summarise(review_recording(hike.recording, Aim(Band(lower, upper), load_kg=6.0)))

    assert (row.above_upper_down_s, row.above_upper_up_s) == (
        moved(112, 128).above_s,
        moved(112, 134).above_s,
    )
    assert (row.below_lower_down_s, row.below_lower_up_s) == (
        moved(109, 131).below_s,
        moved(115, 131).below_s,
    )
    assert (row.above_upper_down_s or 0) > (row.above_s or 0) > (row.above_upper_up_s or 0)


def test_doubts_are_what_nobody_decided_on_and_seconds_are_of_heart_rate_that_does_not_count(
    hike: Review,
) -> None:
    marks = (
        Mark(600.0, 660.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED),
        Mark(1200.0, 1260.0, Channel.HEART_RATE, Reason.SPIKE),
        Mark(1230.0, 1290.0, Channel.HEART_RATE, Reason.FROZEN),
        Mark(2000.0, 2100.0, Channel.HEART_RATE, Reason.SPIKE, MarkState.REJECTED),
        Mark(3000.0, 3010.0, Channel.ELEVATION, Reason.ELEVATION_STEP),
    )
    row = summarise(review_recording(hike.recording, hike.aim, marks))
    assert row.doubts == 3
    # A minute, and the two that overlap once; recorded second by second.
    assert row.doubtful_s == pytest.approx(60.0 + 90.0, abs=3.0)
