"""Plans from simulated outings: six teach, the seventh judges; and what a plan says of what it lacks."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

import gpxpy
import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "samples"))

from generator.cost import WalkingCost
from generator.outing import Athlete, Outing, simulate

from slopebeat.analysis.route.evidence import Evidence
from slopebeat.analysis.route.plan import Plan
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.model.athlete import Aim
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.route import Route
from slopebeat.model.samples import sample_table
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.planning.export import as_values, plan_gpx
from slopebeat.review.planning.planning import evidence_from, plan_route, prepare, route_of
from slopebeat.review.planning.words import what_to_expect, what_to_hold

WALKER = Athlete(climb_w_per_kg=6.9)
AIM = Aim(Band(112, 131), 45 * 60.0, body_mass_kg=72.0)
COLUMNS = ("t_s", "hr_bpm", "elevation_m", "distance_m", "speed_mps", "lat_deg", "lon_deg")
TRUE_DRIFT_BPM_PER_H = 4.0
FEW = 100  # runs, where a test asks for a direction and not for an interval


def recording(outing: Outing) -> Recording:
    sport = Sport.HIKING if outing.mode == "hike" else Sport.MOUNTAIN_BIKING
    samples = sample_table({name: outing[name] for name in COLUMNS})
    return Recording(samples, datetime(2026, 5, 1, 7, tzinfo=UTC), sport, title="Ridge walk")


@dataclass(frozen=True)
class School:
    """Six outings that teach, and a seventh on other ground with the day of the six."""

    evidence: tuple[Evidence, ...]
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
    evidence = [evidence_from(review_recording(recording(each), AIM)) for each in made[:-1]]
    last = made[-1]
    at = np.arange(0.0, last["distance_m"][-1], 20.0)
    places = [
        np.interp(at, last["distance_m"], last[name]) for name in ("true_elevation_m", "lat_deg", "lon_deg")
    ]
    route = Route(at, *places, title="Seventh")
    return School(tuple(e for e in evidence if e), last, review_recording(recording(last), AIM), route)


@pytest.fixture(scope="module")
def plan(school: School) -> Plan:
    return plan_route(school.route, school.evidence, AIM)


def test_the_seventh_outing_falls_inside_the_intervals_learnt_from_six(school: School, plan: Plan) -> None:
    account = school.review.account
    assert account is not None
    assert plan.outing_count == 6
    assert plan.usual.total_s.low < account.recorded_s < plan.usual.total_s.high
    assert plan.usual.in_band_s.low < account.in_band_s < plan.usual.in_band_s.high
    assert plan.usual.total_s.middle == pytest.approx(account.recorded_s, rel=0.07)
    assert plan.usual.in_band_s.middle == pytest.approx(account.in_band_s, rel=0.3)


def test_heart_rate_is_foreseen_along_the_way(school: School, plan: Plan) -> None:
    course, seen = plan.usual.course, school.review.track
    warm = course.distance_m > 700.0
    true = np.interp(course.distance_m, school.seventh["distance_m"], school.seventh["true_hr_bpm"])
    assert len(seen) > 3000
    assert np.sqrt(np.mean((course.hr_bpm - true)[warm] ** 2)) < 6.0
    assert np.corrcoef(course.hr_bpm[warm], true[warm])[0, 1] > 0.9
    inside = (true > course.hr_low_bpm) & (true < course.hr_high_bpm)
    assert 0.55 < inside[warm].mean() < 0.99


def test_the_response_is_recovered(plan: Plan) -> None:
    error = np.sqrt(np.diag(plan.response.covariance))
    assert plan.response.mean[1] * 3600.0 == pytest.approx(TRUE_DRIFT_BPM_PER_H, abs=3.5 * error[1] * 3600.0)
    # At the reference work and an hour in, uphill terms aside.
    true = 52.0 + WALKER.hike_gain_bpm_per_w_per_kg * 6.0 + TRUE_DRIFT_BPM_PER_H
    assert plan.response.mean[0] == pytest.approx(true, abs=4.0)
    assert plan.speed.speed_mps[20] == pytest.approx(WALKER.level_speed_mps, rel=0.05)


def test_holding_the_band_costs_time_and_gains_minutes_in_band(plan: Plan) -> None:
    assert plan.hold.hold_bpm is not None
    assert 112 < plan.hold.hold_bpm < 131
    assert plan.hold.total_s.middle > plan.usual.total_s.middle
    assert plan.hold.in_band_s.middle > plan.usual.in_band_s.middle + 300.0
    assert plan.hold.above_s.middle < 0.4 * plan.usual.above_s.middle
    cost = sum(climb.hold_cost_s.middle for climb in plan.climbs)
    assert cost == pytest.approx(plan.hold.total_s.middle - plan.usual.total_s.middle, rel=0.5)


def test_the_truth_stays_in_band_at_the_speed_to_hold(school: School, plan: Plan) -> None:
    """The generator's own heart, going steadily at the planned speed: an independent judge."""
    heart, who = school.seventh.heart, school.seventh.athlete
    assert len(plan.climbs) >= 2
    for climb in plan.climbs:
        assert climb.hold_speed_mps is not None
        work = WalkingCost().rate_w_per_kg(climb.hold_speed_mps.middle, climb.grade_mean)
        settled = heart.steady_bpm(work, climb.held.reach_s.middle)
        assert who.body_mass_kg == AIM.body_mass_kg
        assert settled == pytest.approx(plan.hold.hold_bpm, abs=6.0)


def test_climbs_carry_what_a_card_shows(plan: Plan) -> None:
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
    assert any(climb.usual.exit_probability > climb.held.exit_probability for climb in plan.climbs)


def test_the_parts_of_the_time_add_up_and_states_are_shares(plan: Plan) -> None:
    for strategy in plan.strategies:
        course = strategy.course
        assert course.p_below + course.p_in_band + course.p_above == pytest.approx(1.0)
        assert set(course.state.tolist()) <= {-1, 0, 1}
        assert (np.diff(course.reach_s) > 0.0).all()
        total = strategy.in_band_s.middle + strategy.above_s.middle + strategy.below_s.middle
        assert total == pytest.approx(strategy.total_s.middle, rel=0.05)


def test_what_was_learnt_of_tiring_is_said_and_is_small_where_nobody_tires(plan: Plan) -> None:
    assert any("Speed on one grade changed by" in text for text in plan.warnings)
    # The generator's walker does not tire: no more than 80 % intervals of six short outings can tell.
    low, high = plan.tiring.interval_per_s(2.5)
    assert low < 0.0 < high


def test_one_plan_asked_for_twice_is_one_answer(school: School, plan: Plan) -> None:
    again = plan_route(school.route, school.evidence, AIM)
    assert as_values(again) == as_values(plan)


def test_load_warm_air_and_hours_out_slow_or_raise_and_are_said(school: School, plan: Plan) -> None:
    day = Conditions(load_kg=15.0, load_until_m=2000.0, hours_out=2.0, temperature_c=40.0)
    hard = plan_route(school.route, school.evidence, AIM, day, runs=FEW)
    assert hard.usual.total_s.middle > plan.usual.total_s.middle
    assert hard.usual.above_s.middle > plan.usual.above_s.middle
    said = " ".join(hard.warnings)
    for words in ("four men", "Over 35 °C", "understates", "drifted for 2 h"):
        assert words in said


def test_extra_laps_of_a_loop_reach_a_longer_target(school: School, plan: Plan) -> None:
    far = replace(AIM, target_s=plan.usual.in_band_s.middle + 900.0)
    usual, _hold = plan_route(school.route, school.evidence, far, loop_m=(500.0, 2500.0), runs=FEW).laps
    assert usual.laps is not None
    assert usual.laps >= 1
    assert usual.in_band_s.middle >= far.target_s
    assert usual.total_s.middle > plan.usual.total_s.middle
    # What these laps give in the middle is just reached with them, and a second more needs another lap.
    for more_s, laps in ((0.0, usual.laps), (1.0, usual.laps + 1)):
        aim = replace(AIM, target_s=usual.in_band_s.middle + more_s)
        again = plan_route(school.route, school.evidence, aim, loop_m=(500.0, 2500.0), runs=FEW).laps[0]
        assert again.laps == laps
    with pytest.raises(UserError, match="does not lie on a way"):
        plan_route(school.route, school.evidence, far, loop_m=(500.0, 99_000.0), runs=FEW)


def test_without_elevation_the_plan_is_level_and_says_nothing_of_climbs(school: School) -> None:
    flat = Route.of_profile(school.route.distance_m, np.full(len(school.route), np.nan))
    plan = plan_route(flat, school.evidence, AIM, runs=FEW)
    assert plan.climbs == ()
    assert plan.ascent_m is None
    assert as_values(plan)["ascent_m"] is None


def test_without_outings_stated_defaults_stand_with_wide_intervals(school: School, plan: Plan) -> None:
    unknown = plan_route(school.route, (), AIM, on_bike=False, runs=FEW)
    assert "no outing on foot to learn from" in unknown.warnings[0]
    wide, narrow = (each.usual.total_s.high / each.usual.total_s.low for each in (unknown, plan))
    assert wide > 1.3 * narrow
    assert unknown.unseen_share == 1.0


def test_grades_never_seen_are_said(school: School) -> None:
    along = np.linspace(0.0, 4000.0, 201)
    steep = plan_route(Route.of_profile(along, 800.0 + 0.34 * along), school.evidence, AIM, runs=FEW)
    assert steep.unseen_share > 0.9
    assert any("hardly seen" in text for text in steep.warnings)
    assert not steep.climbs[0].seen


def test_outings_of_the_other_kind_are_left_out_and_a_ride_has_no_walking_times(school: School) -> None:
    ride = plan_route(school.route, school.evidence, AIM, on_bike=True, runs=FEW)
    assert ride.outing_count == 0
    assert ride.references == ()
    assert any("6 outings of another kind" in text for text in ride.warnings)


def test_published_walking_time_through_the_whole_join() -> None:
    # 8 km with 900 m up is 4 h by DIN 33466, as the clubs' trail concept (2009) works it out.
    along = np.linspace(0.0, 8000.0, 161)
    plan = plan_route(
        Route.of_profile(along, 600.0 + 900.0 * along / 8000.0), (), AIM, on_bike=False, runs=FEW
    )
    assert {r.name: r.seconds for r in plan.references}["DIN 33466"] / 3600.0 == pytest.approx(4.0, rel=1e-3)


def test_noise_of_a_drawn_elevation_is_taken_out() -> None:
    along = np.arange(0.0, 5000.0, 10.0)
    noise = np.random.default_rng(1).normal(0.0, 1.5, along.size)
    prepared = prepare(Route.of_profile(along, 900.0 + 60.0 * np.sin(along / 800.0) + noise))
    clean = prepare(Route.of_profile(along, 900.0 + 60.0 * np.sin(along / 800.0)))
    # From 0 up to 60, and from -60 back up to 60 sin(4990/800) = -2.
    assert clean.ascent_m == pytest.approx(60.0 + 58.0, abs=1.5)
    assert prepared.ascent_m == pytest.approx(clean.ascent_m, rel=0.12)
    assert np.sqrt(np.mean((prepared.ground.grade - clean.ground.grade) ** 2)) < 0.02


def test_a_recording_can_be_gone_again(school: School) -> None:
    again = route_of(recording(school.seventh))
    assert again.has_times
    assert again.length_m == pytest.approx(school.seventh["distance_m"][-1])
    assert prepare(again).ascent_m == pytest.approx(prepare(school.route).ascent_m, rel=0.06)


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
        plan_route(route, (), aim, day, on_bike=False)


def test_the_map_file_carries_a_waypoint_with_the_speed_to_hold(school: School, plan: Plan) -> None:
    named = replace(school.route, title="Ridge & <hut>")
    other = gpxpy.parse(plan_gpx(plan, named).decode("utf-8"))
    assert other.tracks[0].name == "Ridge & <hut>"
    assert len(other.waypoints) == len(plan.climbs)
    first, climb = other.waypoints[0], plan.climbs[0]
    assert climb.hold_speed_mps is not None
    assert f"{climb.hold_speed_mps.middle * 3.6:.1f} km/h" in first.name
    assert "hold under" in first.description
    near = min(range(len(named)), key=lambda i: abs(named.distance_m[i] - climb.start_m))
    assert first.latitude == pytest.approx(named.lat_deg[near], abs=3e-4)
    with pytest.raises(UserError, match="positions"):
        plan_gpx(plan, Route.of_profile(named.distance_m, named.elevation_m))


def test_the_sentences_name_both_ways_and_the_target(plan: Plan) -> None:
    words = what_to_expect(plan)
    for part in ("Gone as usual", "Holding the band", "45 min", "80 %"):
        assert part in words
