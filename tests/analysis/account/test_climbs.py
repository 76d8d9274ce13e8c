from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.account.climbs import Climb, find_climbs
from slopebeat.analysis.account.heart_on_climbs import HeartOnClimbs
from slopebeat.model.bands import Band
from slopebeat.model.spans import Spans
from slopebeat.model.track import Track

BAND = Band(112, 131)


def outing(*legs: tuple[float, float], speed: float = 1.0, hr: float = 120.0) -> Track:
    """A walk of legs (length in metres, grade) at constant speed, one sample a second."""
    grade = np.concatenate([np.full(round(length / speed), g) for length, g in legs] + [[0.0]])
    return track(np.arange(float(grade.size)), hr=hr, grade=grade, speed=speed)


def only(climbs: tuple[Climb, ...]) -> Climb:
    assert len(climbs) == 1
    return climbs[0]


def test_a_plain_climb_is_measured_from_foot_to_top() -> None:
    climb = only(find_climbs(outing((500, 0.0), (1000, 0.10), (500, -0.10))))
    assert climb.gain_m == pytest.approx(100.0, abs=0.2)
    assert climb.length_m == pytest.approx(1000.0, abs=2.0)
    assert climb.grade_mean == pytest.approx(0.10, abs=1e-3)
    assert [climb.start_s, climb.end_s] == pytest.approx([500.0, 1500.0], abs=2)
    assert climb.vertical_speed_m_per_h == pytest.approx(360.0, rel=0.01)
    assert climb.grade_steepest == pytest.approx(0.10, abs=1e-6)


@pytest.mark.parametrize(
    ("legs", "count"),
    [
        (((400, 0.07),), 0),  # 28 m are too little
        (((500, 0.07),), 1),
        (((2000, 0.02),), 0),  # 40 m, but too gentle
        (((500, 0.10), (90, -0.10), (500, 0.10)), 1),  # a dip of 9 m is bridged
        (((1000, 0.20), (250, -0.10), (1000, 0.20)), 1),  # 25 m of 375 m: 7 % is bridged
        (((500, 0.10), (300, -0.10), (500, 0.10)), 2),  # 30 m of 70 m is not
        (((500, 0.10), (3000, 0.0), (500, 0.10)), 2),  # a long flat parts two climbs
        # 15 % of the whole 69 and 71 m are 10.4 and 10.6 m, so the ten metres hardly decide ...
        (((400, 0.10), (90, -0.10), (400, 0.10)), 1),
        (((400, 0.10), (110, -0.10), (400, 0.10)), 2),
        # ... and on 350 and 345 m the share does: 52.5 and 51.8 m.
        (((1000, 0.20), (500, -0.10), (1000, 0.20)), 1),
        (((1000, 0.20), (550, -0.10), (1000, 0.20)), 2),
        # Two low rises: under 67 m in all only ten metres are bridged, more than a share of 15 %.
        (((310, 0.10), (98, -0.10), (310, 0.10)), 1),
    ],
)
def test_what_counts_as_one_climb(legs: tuple[tuple[float, float], ...], count: int) -> None:
    assert len(find_climbs(outing((300, 0.0), *legs, (300, 0.0)))) == count


def test_a_long_gentle_approach_is_not_part_of_the_climb() -> None:
    climb = only(find_climbs(outing((3000, 0.01), (600, 0.15), (3000, 0.01))))
    assert climb.length_m == pytest.approx(600.0, abs=5.0)


def test_the_steepest_hundred_metres_are_steeper_than_the_mean() -> None:
    climb = only(find_climbs(outing((400, 0.05), (100, 0.30), (400, 0.05))))
    assert climb.grade_steepest == pytest.approx(0.30, abs=0.01)


def test_climbs_do_not_overlap_and_stand_in_order() -> None:
    rng = np.random.default_rng(11)
    legs = [(float(rng.integers(100, 900)), float(rng.uniform(-0.2, 0.2))) for _ in range(40)]
    climbs = find_climbs(outing(*legs))
    assert len(climbs) > 3
    for earlier, later in pairwise(climbs):
        assert earlier.end_s <= later.start_s
    assert all(c.gain_m >= 30.0 and c.grade_mean >= 0.03 for c in climbs)


def test_a_barometer_drifting_at_rest_is_no_climb() -> None:
    still = track(np.arange(3600.0), speed=0.0, elevation=np.linspace(0.0, 60.0, 3600))
    assert find_climbs(still) == ()


def test_what_the_heart_did_on_a_climb() -> None:
    ground = outing((500, 0.0), (1000, 0.10), (500, -0.10))
    hr = np.where((ground.t_s >= 560) & (ground.t_s < 1530), 140.0, 120.0)
    ground.hr_bpm[:] = hr
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.from_pairs([(560, 1530)])))
    assert climb.time_to_exit_s == pytest.approx(60.0, abs=2.0)
    assert climb.return_s == pytest.approx(30.0, abs=2.0)
    assert climb.above_s == pytest.approx(940.0, abs=3.0)
    assert climb.share_above == pytest.approx(0.94, abs=0.01)
    assert (climb.hr_foot_bpm, climb.hr_top_bpm) == (120.0, 140.0)
    assert climb.exit_grade == pytest.approx(0.10, abs=0.01)
    assert climb.exit_speed_mps == pytest.approx(1.0)


def test_a_climb_inside_the_band_has_no_exit() -> None:
    ground = outing((500, 0.0), (1000, 0.10))
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.empty()))
    assert (climb.above_s, climb.time_to_exit_s, climb.return_s) == (0.0, None, None)


def test_without_heart_rate_the_climb_stays_a_climb() -> None:
    ground = outing((500, 0.0), (1000, 0.10), hr=float("nan"))
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.empty()))
    assert climb.above_s is None
    assert climb.hr_foot_bpm is None


def test_a_rest_at_the_top_is_not_climbing() -> None:
    ground = outing((500, 0.0), (1000, 0.10))
    t = np.concatenate((ground.t_s, ground.t_s[-1] + 1.0 + np.arange(900.0)))
    speed = np.concatenate((np.full(ground.t_s.size, 1.0), np.zeros(900)))
    grade = np.concatenate((ground.grade, np.zeros(900)))
    rested = track(t, speed=speed, grade=grade, moving=speed > 0)
    rested.elevation_m[:] += np.where(t > 1600, 0.3, 0.0)  # the weather lifts the barometer a little
    climb = only(find_climbs(rested))
    assert climb.end_s == pytest.approx(1500, abs=4)
    assert climb.vertical_speed_m_per_h == pytest.approx(360.0, rel=0.02)


def test_milling_about_on_the_top_is_not_climbing() -> None:
    """Half an hour of walking to and fro within a metre of the top, the highest step last."""
    ground = outing((500, 0.0), (1000, 0.10), (1800, 0.0))
    ground.elevation_m[:] += np.where(ground.t_s > 3200, 0.6, 0.0)
    climb = only(find_climbs(ground))
    assert climb.end_s == pytest.approx(1490, abs=15)


def test_standing_on_the_way_is_shown_apart() -> None:
    """1,000 m up at 10 % with five minutes of standing half way: 360 m/h while moving."""
    legs = outing((500, 0.0), (1000, 0.10), (500, -0.10))
    stop = 1000
    t = np.arange(float(legs.t_s.size + 300))
    speed = np.concatenate((np.ones(stop), np.zeros(300), np.ones(legs.t_s.size - stop)))
    grade = np.concatenate((legs.grade[:stop], np.zeros(300), legs.grade[stop:]))
    climb = only(find_climbs(track(t, speed=speed, grade=grade, moving=speed > 0)))
    assert climb.standing_s == pytest.approx(300.0, abs=2.0)
    assert climb.moving_s == pytest.approx(1000.0, abs=4.0)
    assert climb.moving_s + climb.standing_s == pytest.approx(climb.end_s - climb.start_s)
    assert climb.vertical_speed_m_per_h == pytest.approx(360.0, rel=0.01)


def test_nothing_is_steep_where_the_distance_stands_still() -> None:
    """For a minute of a climb the distance is frozen while the elevation goes on: no ground, no grade."""
    ground = outing((500, 0.0), (1000, 0.10), (500, 0.0))
    held = np.clip(ground.distance_m - 900.0, 0.0, 60.0)
    ground.distance_m[:] = ground.distance_m - held
    climb = only(find_climbs(ground))
    assert climb.grade_steepest == pytest.approx(0.10, abs=0.005)
    assert climb.grade_mean == pytest.approx(0.10, abs=0.002)


def test_a_climb_made_while_nothing_was_recorded_was_not_gone() -> None:
    """A cable car takes 300 m between two records amid a climb of 100 m."""
    ground = outing((500, 0.0), (500, 0.10), (500, 0.10), (500, 0.0))
    ground.elevation_m[1000:] += 300.0
    ground.distance_m[1000:] += 1200.0
    later = track(np.concatenate((ground.t_s[:1000], ground.t_s[1000:] + 600.0)), speed=1.0)
    later.elevation_m[:], later.distance_m[:] = ground.elevation_m, ground.distance_m
    climb = only(find_climbs(later))
    assert climb.gain_m == pytest.approx(100.0, abs=1.0)
    assert climb.grade_mean == pytest.approx(0.10, abs=0.005)
    assert climb.grade_steepest == pytest.approx(0.10, abs=0.005)


def test_mean_and_highest_heart_rate_of_a_climb() -> None:
    ground = outing((500, 0.0), (1000, 0.10), (500, -0.10))
    ground.hr_bpm[:] = np.interp(ground.t_s, [500.0, 1500.0], [120.0, 160.0])
    climb = only(find_climbs(ground))
    assert climb.hr_mean_bpm == pytest.approx(140.0, abs=0.5)
    assert climb.hr_max_bpm == pytest.approx(160.0, abs=0.2)


def test_a_foot_above_the_band_is_said_so() -> None:
    ground = outing((500, 0.0), (1000, 0.10))
    ground.hr_bpm[:] = 140.0
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.from_pairs([(0.0, 1500.0)])))
    assert climb.above_at_foot
    assert climb.time_to_exit_s == 0.0


def test_no_share_is_told_of_little_heart_rate() -> None:
    ground = outing((500, 0.0), (1000, 0.10), (500, 0.0))
    ground.hr_bpm[800:] = np.nan
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.empty()))
    assert climb.share_above is None
    assert climb.above_s == 0.0


def test_only_an_episode_on_the_climb_is_its_exit() -> None:
    """Above before the foot and again after the top is no exit; above on the way is, where it began."""
    ground = outing((500, 0.0), (1000, 0.10), (500, 0.0))
    beside = [(200.0, 400.0), (1700.0, 1900.0)]
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, Spans.from_pairs(beside)))
    assert (climb.time_to_exit_s, climb.exit_grade, climb.exit_speed_mps) == (None, None, None)
    assert not climb.above_at_foot
    within = Spans.from_pairs([beside[0], (900.0, 1100.0), beside[1]])
    climb = only(HeartOnClimbs(find_climbs(ground), ground).seen(BAND, within))
    assert climb.time_to_exit_s == pytest.approx(400.0, abs=2.0)
