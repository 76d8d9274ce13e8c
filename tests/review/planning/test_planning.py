"""Plans from simulated outings: six teach, the seventh judges; and what a plan says of what it lacks."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import gpxpy
import numpy as np
import pytest

from helpers.checks import not_none

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "samples"))

from generator.cost import WalkingCost
from generator.outing import Athlete, Outing, simulate

from helpers.earlier_outings import evidence_before, silent
from helpers.ways import route_of
from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.analysis.route.planner import Planning, lap_plan, plan_both
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.route import Route
from slopebeat.model.samples import sample_table
from slopebeat.review.evidence import evidence_of
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.planning import planning
from slopebeat.review.planning.export import as_values, plan_gpx
from slopebeat.review.planning.planning import plan_route, prepare_ground
from slopebeat.review.planning.words import what_to_expect, what_to_hold

WALKER = Athlete(climb_w_per_kg=6.9)
AIM = Aim(Band(112, 131), 45 * 60.0, body_mass_kg=72.0)
COLUMNS = ("t_s", "hr_bpm", "elevation_m", "distance_m", "speed_mps", "lat_deg", "lon_deg")
TRUE_DRIFT_BPM_PER_H = 4.0


def recording(outing: Outing, number: int = 9) -> Recording:
    sport = Sport.HIKING if outing.mode == "hike" else Sport.MOUNTAIN_BIKING
    samples = sample_table({name: outing[name] for name in COLUMNS})
    return Recording(samples, datetime(2026, 5, 1 + number, 7, tzinfo=UTC), sport, title="Ridge walk")


@dataclass(frozen=True)
class School:
    """Six outings that teach, and a seventh on other ground with the day of the six."""

    evidence: tuple[OutingEvidence, ...]
    seventh: Outing
    review: Review
    route: Route


@pytest.fixture(scope="module")
def school() -> School:
    rng = np.random.default_rng(42)
    made = []
    for kind in ("rolling", "laps", "rolling", "up_then_down", "rolling", "laps", "rolling"):
        who = replace(WALKER, hike_hr0_bpm=WALKER.hike_hr0_bpm + rng.normal(0.0, 1.0))
        made.append(simulate(kind, "hike", 1.4, rng, drift_bpm_per_h=TRUE_DRIFT_BPM_PER_H, athlete=who))
    evidence = [
        evidence_of(review_recording(recording(each, number), AIM)) for number, each in enumerate(made[:-1])
    ]
    last = made[-1]
    at = np.arange(0.0, last["distance_m"][-1], 20.0)
    places = [
        np.interp(at, last["distance_m"], last[name]) for name in ("true_elevation_m", "lat_deg", "lon_deg")
    ]
    elevation_m, lat_deg, lon_deg = places
    route = Route(at, elevation_m, lat_deg, lon_deg, title="Seventh")
    return School(tuple(evidence), last, review_recording(recording(last), AIM), route)


@pytest.fixture(scope="module")
def plan(school: School) -> RoutePlan:
    return plan_route(school.route, school.evidence, AIM)


@pytest.fixture(scope="module")
def beginning(school: School) -> Route:
    """Two kilometres of the route, for what does not hang on its length: a plan takes as long as its way."""
    route, here = school.route, school.route.distance_m <= 2000.0
    return Route(route.distance_m[here], route.elevation_m[here], route.lat_deg[here], route.lon_deg[here])


def test_the_seventh_outing_falls_inside_the_intervals_learnt_from_six(
    school: School, plan: RoutePlan
) -> None:
    account = school.review.account
    assert account is not None
    assert plan.outing_count == 6
    assert plan.usual.total_s.low < account.recorded_s < plan.usual.total_s.high
    assert plan.usual.in_band_s.low < account.in_band_s < plan.usual.in_band_s.high
    assert plan.usual.total_s.middle == pytest.approx(account.recorded_s, rel=0.07)
    assert plan.usual.in_band_s.middle == pytest.approx(account.in_band_s, rel=0.3)


def test_heart_rate_is_foreseen_along_the_way(school: School, plan: RoutePlan) -> None:
    course, seen = plan.usual.course, school.review.track
    warm = course.distance_m > 700.0
    true = np.interp(course.distance_m, school.seventh["distance_m"], school.seventh["true_hr_bpm"])
    assert len(seen) > 3000
    assert np.sqrt(np.mean((course.hr_bpm - true)[warm] ** 2)) < 6.0
    assert np.corrcoef(course.hr_bpm[warm], true[warm])[0, 1] > 0.9
    inside = (true > course.hr_low_bpm) & (true < course.hr_high_bpm)
    assert 0.55 < inside[warm].mean() < 0.99


def test_a_lower_heart_rate_held_costs_time_and_takes_minutes_from_above(
    school: School, plan: RoutePlan
) -> None:
    low, high = (plan_route(school.route, school.evidence, AIM, hold_bpm=bpm).hold for bpm in (112.0, 132.0))
    assert plan.hold.hold_bpm == 121.5
    assert low.mean_bpm.middle == pytest.approx(112.0, abs=0.5)
    assert low.total_s.middle > plan.hold.total_s.middle > high.total_s.middle
    assert low.above_s.middle < plan.hold.above_s.middle < high.above_s.middle
    with pytest.raises(UserError, match="hold of 300 bpm"):
        plan_route(school.route, school.evidence, AIM, hold_bpm=300.0)


def test_the_held_plan_shows_its_own_peaks_and_where_it_leaves_the_band(plan: RoutePlan) -> None:
    course = plan.hold.course
    assert course.hr_bpm.max() > plan.hold.mean_bpm.middle + 8.0
    assert any(climb.held.hr_peak_bpm.middle > 131.0 for climb in plan.climbs)
    assert any(climb.held.exit_probability > 0.5 and climb.held.exit_after_m for climb in plan.climbs)


def test_the_truth_stays_near_the_upper_edge_at_the_speed_to_hold(school: School, plan: RoutePlan) -> None:
    """The generator's own heart, going steadily at the planned speed: an independent judge."""
    heart, who = school.seventh.heart, school.seventh.athlete
    assert len(plan.climbs) >= 2
    for climb in plan.climbs:
        assert climb.hold_speed_mps is not None
        work = WalkingCost().rate_w_per_kg(climb.hold_speed_mps.middle, climb.grade_mean)
        settled = heart.steady_bpm(work, climb.held.reach_s.middle)
        assert who.body_mass_kg == AIM.body_mass_kg
        assert 118.0 < settled < 136.0


def test_climbs_carry_what_a_card_shows(plan: RoutePlan) -> None:
    reached = [climb.usual.reach_s.middle for climb in plan.climbs]
    assert reached == sorted(reached)
    for climb in plan.climbs:
        assert climb.seen
        assert climb.gain_m >= 30.0
        assert climb.usual.speed_mps.low < climb.usual.speed_mps.middle < climb.usual.speed_mps.high
        assert climb.hold_speed_mps is not None
        assert climb.hold_vertical_m_per_h is not None
        assert climb.hold_vertical_m_per_h.middle == pytest.approx(
            3600.0 * climb.hold_speed_mps.middle * climb.grade_mean
        )
        assert "hold under" in what_to_hold(climb)


def test_the_parts_of_the_time_add_up_and_states_are_shares(plan: RoutePlan) -> None:
    for strategy in plan.strategies:
        course = strategy.course
        assert course.p_below + course.p_in_band + course.p_above == pytest.approx(1.0)
        assert set(course.state.tolist()) <= {-1, 0, 1}
        assert (np.diff(course.reach_s) > 0.0).all()
        total = strategy.in_band_s.middle + strategy.above_s.middle + strategy.below_s.middle
        assert total == pytest.approx(strategy.total_s.middle, rel=0.05)


def test_one_plan_asked_for_twice_is_one_answer(school: School, plan: RoutePlan) -> None:
    again = plan_route(school.route, school.evidence, AIM)
    assert as_values(again) == as_values(plan)


def test_load_warm_air_and_hours_out_slow_or_raise_and_are_said(school: School, plan: RoutePlan) -> None:
    day = Conditions(load_kg=15.0, load_until_m=2000.0, hours_out=2.0, temperature_c=40.0)
    hard = plan_route(school.route, school.evidence, AIM, day)
    assert hard.usual.total_s.middle > plan.usual.total_s.middle
    assert hard.usual.above_s.middle > plan.usual.above_s.middle
    said = " ".join(hard.warnings)
    for words in ("four men", "Over 35 °C", "understates", "drifted for 2 h"):
        assert words in said


def test_extra_laps_of_a_loop_reach_a_longer_target(
    school: School, beginning: Route, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[Planning] = []

    def kept(*given: Any, **words: Any) -> Planning:
        made.append(plan_both(*given, **words))
        return made[-1]

    monkeypatch.setattr(planning, "plan_both", kept)
    once = plan_route(beginning, school.evidence, AIM)
    far = replace(AIM, target_s=once.usual.in_band_s.middle + 300.0)
    usual, _hold = plan_route(beginning, school.evidence, far, loop_m=(500.0, 1900.0)).laps
    assert usual.laps is not None
    assert usual.laps >= 1
    assert usual.in_band_s.middle >= far.target_s
    assert usual.total_s.middle > once.usual.total_s.middle
    # What these laps give in the middle is just reached with them, and a second more needs another lap.
    for more_s, laps in ((0.0, usual.laps), (1.0, usual.laps + 1)):
        asked = replace(made[-1].asked, target_s=usual.in_band_s.middle + more_s)
        again = lap_plan(replace(made[-1], asked=asked), 500.0, 1900.0, StrategyName.USUAL)
        assert again.laps == laps
    with pytest.raises(UserError, match="does not lie on a way"):
        plan_route(beginning, school.evidence, far, loop_m=(500.0, 99_000.0))


def test_without_elevation_the_plan_is_level_and_says_nothing_of_climbs(
    school: School, beginning: Route
) -> None:
    flat = Route.of_profile(beginning.distance_m, np.full(len(beginning), np.nan))
    plan = plan_route(flat, school.evidence, AIM)
    assert plan.climbs == ()
    assert plan.ascent_m is None
    assert as_values(plan)["ascent_m"] is None


def test_fewer_than_five_outings_give_a_sentence_and_published_times(
    school: School, beginning: Route
) -> None:
    with pytest.raises(UserError, match=r"needs 5 outings.*there are 4.*DIN 33466"):
        plan_route(beginning, school.evidence[:4], AIM)
    with pytest.raises(UserError, match="there are 0"):
        plan_route(beginning, (), AIM)
    # Five, but one without heart rate.
    with pytest.raises(UserError, match="there are 4"):
        plan_route(beginning, (*school.evidence[:4], silent(school.evidence[4])), AIM)
    assert plan_route(beginning, school.evidence[:5], AIM).outing_count == 5


def test_a_wide_interval_and_few_outings_are_said_in_words(school: School, beginning: Route) -> None:
    few = plan_route(beginning, school.evidence[:5], AIM)
    assert any("7 of 10" in text for text in few.warnings)
    off = plan_route(beginning, school.evidence, AIM, hold_bpm=150.0)
    assert any("less certain" in text and "150 bpm" in text for text in off.warnings)
    high = replace(AIM, band=Band(135, 150))
    assert "follow how hard you go" in what_to_expect(plan_route(beginning, school.evidence, high))


def test_grades_never_seen_are_said(school: School) -> None:
    along = np.linspace(0.0, 1500.0, 76)
    steep = plan_route(Route.of_profile(along, 800.0 + 0.34 * along), school.evidence, AIM)
    assert steep.unseen_share > 0.9
    assert any("hardly seen" in text for text in steep.warnings)
    assert not steep.climbs[0].seen


def test_a_ride_has_no_walking_times_and_pauses_stand_apart(school: School) -> None:
    ride = plan_route(school.route, evidence_before(on_bike=True), AIM)
    assert ride.on_bike
    assert ride.references == ()
    # The rider of these tests pauses for 300 s in outings of about 4000 to 7000 s of moving.
    share = ride.usual.pause_s.middle / ride.usual.moving_s.middle
    assert 300.0 / 7000.0 < share < 300.0 / 4000.0
    assert ride.usual.moving_s.middle <= ride.usual.total_s.middle
    walk = plan_route(school.route, evidence_before(), AIM)
    assert any("Pauses with the timer off" in text for text in walk.warnings)
    assert as_values(ride)["pause_s"] == ride.usual.pause_s.middle


def test_published_walking_time_through_the_whole_join() -> None:
    # 8 km with 900 m up is 4 h by DIN 33466, as the clubs' trail concept (2009) works it out.
    along = np.linspace(0.0, 8000.0, 161)
    plan = plan_route(Route.of_profile(along, 600.0 + 900.0 * along / 8000.0), evidence_before(), AIM)
    assert {r.name: r.seconds for r in plan.references}["DIN 33466"] / 3600.0 == pytest.approx(4.0, rel=1e-3)


def test_noise_of_a_drawn_elevation_is_taken_out() -> None:
    along = np.arange(0.0, 5000.0, 10.0)
    noise = np.random.default_rng(1).normal(0.0, 1.5, along.size)
    prepared = prepare_ground(Route.of_profile(along, 900.0 + 60.0 * np.sin(along / 800.0) + noise))
    clean = prepare_ground(Route.of_profile(along, 900.0 + 60.0 * np.sin(along / 800.0)))
    # From 0 up to 60, and from -60 back up to 60 sin(4990/800) = -2.
    assert clean.ascent_m == pytest.approx(60.0 + 58.0, abs=1.5)
    assert prepared.ascent_m == pytest.approx(clean.ascent_m, rel=0.12)
    assert np.sqrt(np.mean((prepared.ground.grade - clean.ground.grade) ** 2)) < 0.02


def test_a_recording_can_be_gone_again(school: School) -> None:
    again = route_of(recording(school.seventh))
    assert again.length_m == pytest.approx(school.seventh["distance_m"][-1])
    assert prepare_ground(again).ascent_m == pytest.approx(prepare_ground(school.route).ascent_m, rel=0.06)


@pytest.mark.parametrize(
    ("route", "aim", "day", "words"),
    [
        (Route.of_profile(np.array([0.0, 4.0]), np.array([1.0, 1.0])), AIM, Conditions(), "shorter than"),
        (
            Route.of_profile(np.array([0.0, 400.0]), np.array([1.0, 1.0])),
            Aim(),
            Conditions(),
            "needs a heart",
        ),
        (Route.of_profile(np.array([0.0, 400.0]), np.array([1.0, 1.0])), AIM, Conditions(-1.0), "load of -1"),
        (
            Route.of_profile(np.array([0.0, 400.0]), np.array([1.0, 1.0])),
            AIM,
            Conditions(temperature_c=99.0),
            "temperature of 99",
        ),
    ],
)
def test_what_cannot_be_planned_gets_a_sentence(route: Route, aim: Aim, day: Conditions, words: str) -> None:
    with pytest.raises(UserError, match=words):
        plan_route(route, evidence_before(), aim, day)


def test_the_map_file_carries_a_waypoint_with_the_speed_to_hold(school: School, plan: RoutePlan) -> None:
    named = replace(school.route, title="Ridge & <hut>")
    other = gpxpy.parse(plan_gpx(plan, named).decode("utf-8"))
    assert other.tracks[0].name == "Ridge & <hut>"
    assert len(other.waypoints) == len(plan.climbs)
    first, climb = other.waypoints[0], plan.climbs[0]
    assert climb.hold_speed_mps is not None
    assert f"{climb.hold_speed_mps.middle * 3.6:.1f} km/h" in not_none(first.name)
    assert "hold under" in not_none(first.description)
    near = min(range(len(named)), key=lambda i: abs(named.distance_m[i] - climb.start_m))
    assert first.latitude == pytest.approx(named.lat_deg[near], abs=3e-4)
    with pytest.raises(UserError, match="positions"):
        plan_gpx(plan, Route.of_profile(named.distance_m, named.elevation_m))


def test_the_sentences_name_both_ways_and_the_target(plan: RoutePlan) -> None:
    words = what_to_expect(plan)
    for part in ("Going as usual", "With the mean held at 122 bpm", "45 min", "80 %"):
        assert part in words
