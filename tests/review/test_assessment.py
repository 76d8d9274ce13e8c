"""What was done and whose work it was, joined in a review; what users say goes first."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.analysis.activity import Activity
from slopebeat.analysis.response.work_rate import foot_w_per_kg
from slopebeat.model.marks import Channel, MarkState, Reason
from slopebeat.model.notes import SPORTS, Author, Note, NoteKind, new_note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Sport
from slopebeat.review.assessment import corrected
from slopebeat.review.evidence import evidence_of
from slopebeat.review.outing import Review, review_recording

T = np.arange(0.0, 2400.0)


def moving_work(review: Review) -> np.ndarray:
    return review.work_w_per_kg[review.track.moving]


def sport_note(sport: Sport) -> Note:
    return new_note(NoteKind.SPORT, Author.ATHLETE, value=float(SPORTS.index(sport) + 1))


def test_an_electric_bicycle_is_doubted_on_its_own_channel_and_can_be_used_after_all() -> None:
    ride = replace(recording(T, speed=6.0, sport=Sport.CYCLING), sport_text="cycling/e_bike_fitness")
    review = review_recording(ride, Aim())
    (mark,) = [m for m in review.marks if m.channel is Channel.WORK]
    assert mark.reason is Reason.ELECTRIC
    assert np.isnan(review.work_w_per_kg).all()
    assert review.work_source is None
    assert evidence_of(review).kind == "electric"
    used = review_recording(ride, Aim(), (replace(mark, state=MarkState.REJECTED),))
    assert np.isfinite(moving_work(used)).all()
    assert used.recognised.kind is Activity.RIDE
    assert used.work_source == "model"


def test_skiing_has_time_and_heart_rate_and_no_work() -> None:
    tour = replace(recording(T, speed=1.2, sport=Sport.OTHER), sport_text="alpine_skiing/backcountry")
    review = review_recording(tour, Aim())
    assert np.isnan(review.work_w_per_kg).all()
    assert any("skiing" in warning for warning in review.warnings)
    assert evidence_of(review).work_source is None


def test_a_ride_recorded_as_a_run_has_no_work_until_it_is_put_right() -> None:
    ride = recording(T, speed=8.0, sport=Sport.RUNNING)
    review = review_recording(ride, Aim())
    assert np.isnan(moving_work(review)).all()
    assert any("run" in warning and "ride" in warning for warning in review.warnings)
    right = review_recording(ride, Aim(), notes=(sport_note(Sport.CYCLING),))
    assert right.track.on_bike
    assert np.isfinite(moving_work(right)).all()
    assert right.recording.sport is Sport.CYCLING
    assert not any("recorded as" in warning or "file says" in warning for warning in right.warnings)


def test_of_two_corrections_the_later_holds_and_one_taken_back_does_not() -> None:
    first = sport_note(Sport.CYCLING)
    later = replace(sport_note(Sport.HIKING), created_utc=first.created_utc.replace(year=2099))
    later = replace(later, changed_utc=later.created_utc)
    outing = recording(T, speed=1.3, sport=Sport.RUNNING)
    assert review_recording(outing, Aim(), notes=(first, later)).recording.sport is Sport.HIKING
    gone = later.taken_back(later.changed_utc)
    assert review_recording(outing, Aim(), notes=(first, gone)).recording.sport is Sport.CYCLING


@pytest.mark.parametrize("percent", [0.0, 8.0])
def test_ground_can_be_declared_where_there_is_no_elevation(percent: float) -> None:
    """A treadmill: the published costs at its speed and grade (Looney 2019, Minetti 2002) hold throughout."""
    made = recording(T, speed=1.4, elevation=lambda t: np.full(t.shape, np.nan), sport=Sport.WALKING)
    without = review_recording(made, Aim())
    assert np.isnan(moving_work(without)).all()
    assert without.work_source is None
    assert any("level" in warning for warning in without.warnings)
    note = new_note(NoteKind.GRADE, Author.ATHLETE, value=percent)
    declared = review_recording(made, Aim(), notes=(note,))
    wanted = float(foot_w_per_kg(1.4, percent / 100.0))
    assert np.median(moving_work(declared)) == pytest.approx(wanted, rel=0.02)
    assert declared.elevation.ascent_m is None


def test_declared_ground_changes_nothing_where_elevation_was_recorded() -> None:
    hilly = recording(T, elevation=lambda t: 500.0 + 30.0 * np.sin(t / 200.0))
    note = new_note(NoteKind.GRADE, Author.ATHLETE, value=0.0)
    plain, declared = review_recording(hilly, Aim()), review_recording(hilly, Aim(), notes=(note,))
    assert np.array_equal(plain.work_w_per_kg, declared.work_w_per_kg, equal_nan=True)


def test_power_and_model_are_told_apart() -> None:
    t = T
    metered = recording(t, speed=7.0, sport=Sport.CYCLING, power_w=150.0 + 20.0 * np.sin(t / 30.0))
    assert review_recording(metered, Aim()).work_source == "power"
    assert review_recording(recording(t, speed=7.0, sport=Sport.CYCLING), Aim()).work_source == "model"
    zeros = recording(t, speed=7.0, sport=Sport.CYCLING, power_w=np.zeros(t.shape))
    assert review_recording(zeros, Aim()).work_source == "model"


def test_the_time_zone_a_note_says_stands_before_the_files() -> None:
    walk = replace(recording(T, speed=1.2), utc_offset_s=3600.0)
    notes = [new_note(NoteKind.UTC_OFFSET, Author.ATHLETE, value=hours) for hours in (-3.5, 5.75)]
    there = datetime.astimezone(walk.start_utc, ZoneInfo("Asia/Kathmandu"))
    later = replace(notes[1], created_utc=notes[0].created_utc + timedelta(seconds=1))
    fixed = corrected(walk, [later, notes[0]])
    assert fixed.start_text == f"{there:%Y-%m-%d %H:%M}"
    assert notes[1].heading == "time zone: UTC+05:45"
    assert notes[0].heading == "time zone: UTC−03:30"
    assert corrected(walk, []).start_text == walk.start_text


def test_every_offset_in_use_is_on_offer() -> None:
    from slopebeat.window.outing.time_zone import OFFSETS_H

    used = set()
    for name in available_timezones():
        for month in (1, 7):
            offset = datetime(2026, month, 15, tzinfo=ZoneInfo(name)).utcoffset()
            assert offset is not None
            used.add(offset.total_seconds() / 3600.0)
    assert used <= set(OFFSETS_H)
