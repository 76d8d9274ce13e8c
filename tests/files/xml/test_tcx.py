"""TCX made as text: activities, laps, stops between tracks, sensors."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from files.tcx_making import activity, clock, lap, point, tcx, track
from helpers.sentences import sentences_of
from slopebeat.model.errors import UnreadableFile
from slopebeat.model.recording import Lap, Recording, Sport

Read = Callable[..., tuple[Recording, ...]]


def test_every_value_of_a_point_is_read(read: Read) -> None:
    inside = (
        "<Position><LatitudeDegrees>46.5</LatitudeDegrees><LongitudeDegrees>14.25</LongitudeDegrees></Position>"
        "<AltitudeMeters>812.5</AltitudeMeters><DistanceMeters>17.5</DistanceMeters>"
        "<HeartRateBpm><Value>111</Value></HeartRateBpm><Cadence>60</Cadence>"
        "<Extensions><e:TPX><e:Speed>1.75</e:Speed><e:Watts>205</e:Watts></e:TPX></Extensions>"
    )
    (recording,) = read(tcx(activity(lap(0, 5.0, f"<Track>{point(0, inside)}{point(5)}</Track>"))))
    assert recording.samples.frame().iloc[0].dropna().to_dict() == {
        "t_s": 0.0, "hr_bpm": 111.0, "elevation_m": 812.5, "distance_m": 17.5, "speed_mps": 1.75,
        "lat_deg": 46.5, "lon_deg": 14.25, "cadence_rpm": 60.0, "power_w": 205.0,
    }  # fmt: skip
    assert recording.samples.frame().iloc[1].drop("t_s").isna().all()
    assert recording.device == "ridge patrol watch"


def test_run_cadence_extension_is_the_cadence(read: Read) -> None:
    inside = "<Extensions><TPX><RunCadence>81</RunCadence></TPX></Extensions>"
    (recording,) = read(tcx(activity(lap(0, 1.0, f"<Track>{point(0, inside)}{point(1)}</Track>"))))
    assert recording.samples["cadence_rpm"][0] == 81.0


@pytest.mark.parametrize(
    ("word", "sport"), [("Running", Sport.RUNNING), ("Biking", Sport.CYCLING), ("Other", Sport.UNKNOWN)]
)
def test_sport_is_passed_on(read: Read, word: str, sport: Sport) -> None:
    (recording,) = read(tcx(activity(lap(0, 1.0, track(0, 1)), sport=word)))
    assert recording.sport is sport


def test_every_activity_is_a_recording(read: Read) -> None:
    late, early = activity(lap(500, 2.0, track(500, 502))), activity(lap(0, 3.0, track(0, 3)))
    first, second = read(tcx(late, early))
    assert (first.span_s, second.span_s) == (3.0, 2.0)


def test_a_new_track_within_a_lap_is_a_pause(read: Read) -> None:
    (recording,) = read(tcx(activity(lap(0, 30.0, track(0, 5, 10), track(25, 45)))))
    assert list(recording.pauses) == [(10.0, 25.0)]


def test_a_new_lap_alone_is_no_pause(read: Read) -> None:
    laps = (lap(0, 12.0, track(0, 5, 10)), lap(12, 8.0, track(14, 20)))
    (recording,) = read(tcx(activity(*laps)))
    assert not len(recording.pauses)
    assert recording.laps == (Lap(0.0, 12.0), Lap(12.0, 20.0))
    assert (recording.totals.timer_s, recording.totals.distance_m) == (20.0, 200.0)


def test_a_stop_between_laps_is_what_the_timer_of_the_lap_leaves_over(read: Read) -> None:
    # The first lap lasted 40 s, of which its timer counted 12; the points break off for 30 s.
    laps = (lap(0, 12.0, track(0, 5, 10)), lap(40, 8.0, track(40, 48)))
    (recording,) = read(tcx(activity(*laps)))
    assert list(recording.pauses) == [(12.0, 40.0)]


def test_a_pause_within_a_lap_is_not_counted_again_behind_it(read: Read) -> None:
    laps = (lap(0, 20.0, track(0, 10), track(30, 36)), lap(40, 8.0, track(42, 48)))
    (recording,) = read(tcx(activity(*laps)))
    assert list(recording.pauses) == [(10.0, 30.0)]


def test_laps_without_timer_have_no_total(read: Read) -> None:
    (recording,) = read(tcx(activity(lap(0, None, track(0, 5)), lap(5, 5.0, track(5, 10)))))
    assert recording.totals.timer_s is None
    assert recording.totals.distance_m == 200.0


def test_points_without_time_are_left_out_and_said(read: Read) -> None:
    tracks = f"<Track>{point(0)}<Trackpoint/>{point(4)}</Track>"
    (recording,) = read(tcx(activity(lap(0, 4.0, tracks))))
    assert recording.samples["t_s"].tolist() == [0.0, 4.0]
    assert sentences_of(recording.warnings) == ("1 point without a time left out.",)


def test_a_file_that_breaks_off_gives_what_came_before(read: Read) -> None:
    whole = tcx(activity(lap(0, 50.0, track(*range(50)))))
    (recording,) = read(whole[: whole.index(clock(20))])
    assert len(recording.samples) == 20
    assert [text for text in sentences_of(recording.warnings) if "breaks off" in text]


def test_a_file_without_activities_is_refused_in_a_sentence(read: Read) -> None:
    course = (
        f"<TrainingCenterDatabase><Courses><Course>{track(0, 1)}</Course></Courses></TrainingCenterDatabase>"
    )
    with pytest.raises(UnreadableFile, match="0 activities"):
        read(f"<TrainingCenterDatabase>{course}</TrainingCenterDatabase>")
