"""The generator does what its documentation says, checked against published values and closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from generator.cost import RoadLoad, WalkingCost
from generator.heart import Heart
from generator.noise import slow_noise, smooth_noise
from generator.outing import Athlete, Noise, Outing, simulate
from generator.scenarios import forest_road_patrol, hut_supply_hike, lake_shore_walk
from generator.terrain import GRID_M, Kind, Mode, from_segments
from generator.travel import Interruption
from generator.truth import ascent_descent_m, climbs, decoupling

KINDS: tuple[Kind, ...] = ("flat", "laps", "rolling", "up_then_down", "down_then_up")
QUIET = Noise(hr_bpm=0.0, barometer_m=0.0, barometer_wander_m=0.0, gps_m=0.0, speed_mps=0.0)


@pytest.fixture(scope="module", params=[(k, m) for k in KINDS for m in ("hike", "ride")], ids=str)
def outing(request: pytest.FixtureRequest) -> Outing:
    kind, mode = request.param
    return simulate(kind, mode, 1.5, np.random.default_rng(11))


# Values of the graded walking equation (Looney et al. 2019), worked by hand from its printed form.
@pytest.mark.parametrize(
    ("speed_mps", "grade_percent", "w_per_kg"),
    [
        (0.0, 0, 1.4400),
        (1.0, 0, 3.6200),
        (1.34, 0, 4.4140),
        (1.0, 10, 6.7732),
        (1.0, 20, 10.4130),
        (1.34, -10, 3.0738),
        (1.34, -20, 3.5112),
        (1.0, -40, 3.9786),
    ],
)
def test_walking_costs_what_the_published_equation_says(
    speed_mps: float, grade_percent: float, w_per_kg: float
) -> None:
    assert WalkingCost().rate_w_per_kg(speed_mps, grade_percent / 100.0) == pytest.approx(w_per_kg, abs=1e-3)


# Road load (Martin et al. 1998) worked by hand: speed, slope, mass, drag area, rolling, density, power.
@pytest.mark.parametrize(
    ("v", "slope", "mass", "area", "rolling", "rho", "power_w"),
    [
        (10.0, 0.0, 80.0, 0.30, 0.0032, 1.225, 218.58),
        (5.0, 0.08, 85.0, 0.36, 0.005, 1.225, 391.22),
        (2.5, 0.12, 90.0, 0.45, 0.020, 1.225, 319.10),
        (3.0, 0.10, 85.0, 0.40, 0.015, 1.0066, 299.28),
    ],
)
def test_riding_takes_the_power_the_road_load_asks_for(
    v: float, slope: float, mass: float, area: float, rolling: float, rho: float, power_w: float
) -> None:
    load = RoadLoad(mass, 1.0, rolling, area, rho)
    # The oracle rounds gravity to 9.81 m/s2: 0.034 % more weight.
    assert load.resistance_n(v, slope) * v / load.efficiency == pytest.approx(power_w, rel=4e-4)
    assert load.steady_speed_mps(power_w, slope, 20.0) == pytest.approx(v, rel=1e-3)


def test_a_cost_error_tilts_the_curve_and_leaves_level_walking() -> None:
    plain, dear = WalkingCost(), WalkingCost(1.15)
    assert dear.rate_w_per_kg(1.2, 0.0) == plain.rate_w_per_kg(1.2, 0.0)
    level = plain.rate_w_per_kg(1.2, 0.0)
    rise = [cost.rate_w_per_kg(1.2, 0.1) - level for cost in (plain, dear)]
    fall = [cost.rate_w_per_kg(1.2, -0.08) - level for cost in (plain, dear)]
    assert rise[1] / rise[0] == pytest.approx(1.15)
    assert fall[1] < fall[0] < 0.0


def test_a_step_of_work_is_followed_by_a_first_order_lag() -> None:
    # 130 -> 160 bpm with a lag of 57.6 s: 145 bpm after tau ln 2 = 39.93 s (closed form).
    heart = Heart(100.0, 10.0, 57.6, 30.0, 0.0)
    work = np.where(np.arange(2000) < 1, 3.0, 6.0)
    work[1000:] = 3.0
    response = heart.response_bpm(work)
    assert np.interp(39.93, np.arange(200.0), response[:200]) == pytest.approx(145.0, abs=0.02)
    down = 130.0 + 30.0 * math.exp(-61 / 30.0)
    assert response[1060] == pytest.approx(down, abs=0.02)


def test_drift_adds_its_beats_per_hour_at_constant_work() -> None:
    response = Heart(60.0, 10.0, 50.0, 50.0, 6.0).response_bpm(np.full(7201, 5.0))
    assert response[0] == 110.0
    assert response[-1] == pytest.approx(122.0)


@pytest.mark.parametrize("noise", [slow_noise, smooth_noise])
def test_noise_has_the_size_asked_for_and_wanders_slowly(noise: object) -> None:
    values = noise(400_000, 2.0, 40.0, np.random.default_rng(5))  # type: ignore[operator]
    assert np.std(values) == pytest.approx(2.0, rel=0.05)
    assert np.mean(values) == pytest.approx(0.0, abs=0.1)
    later = np.corrcoef(values[:-40], values[40:])[0, 1]
    # Correlation after one time constant: 1/e; the second lag holds it a little longer.
    assert 0.33 < later < 0.60


def test_an_outing_lasts_about_as_long_as_asked(outing: Outing) -> None:
    assert outing["t_s"][-1] == pytest.approx(5400.0, rel=0.15)
    assert outing["distance_m"][-1] > 3000.0


def test_ground_covered_is_the_sum_of_speeds_and_height_the_sum_of_grades(outing: Outing) -> None:
    covered = np.sum(outing["true_speed_mps"])
    assert outing["distance_m"][-1] == pytest.approx(covered, rel=1e-3)
    climbed = np.sum((outing["true_grade"] * outing["true_speed_mps"])[1:])
    change = outing["true_elevation_m"][-1] - outing["true_elevation_m"][0]
    assert climbed == pytest.approx(change, abs=4.0)


def test_heart_and_speed_stay_plausible(outing: Outing) -> None:
    rates = outing["true_hr_bpm"]
    assert 55.0 < rates.min() < rates.max() < outing.athlete.hr_max_bpm
    assert outing["true_speed_mps"].max() < (2.2 if outing.mode == "hike" else 9.0)
    assert np.abs(outing["true_grade"]).max() < 0.45


def test_recorded_positions_are_near_the_path_and_as_far_apart_as_the_distance(outing: Outing) -> None:
    # Spherical distance with the mean radius; 0.5 % for the ellipsoid, the rest for position noise.
    lat, lon = np.radians(outing["lat_deg"][::20]), np.radians(outing["lon_deg"][::20])
    steps = 6371008.8 * np.hypot(np.diff(lat), np.diff(lon) * np.cos(lat[:-1]))
    assert np.sum(steps) == pytest.approx(outing["distance_m"][-1], rel=0.08)


def test_the_barometer_errs_by_its_noise_and_in_its_steps(outing: Outing) -> None:
    error = outing["elevation_m"] - outing["true_elevation_m"]
    assert 0.2 < np.std(error) < 5.0
    ticks = outing["elevation_m"] / 0.2
    assert np.allclose(ticks, np.rint(ticks))


def test_one_seed_makes_one_outing() -> None:
    first, again, other = (
        simulate("rolling", "hike", 0.5, np.random.default_rng(seed)) for seed in (7, 7, 8)
    )
    for name, values in first.columns.items():
        assert np.array_equal(values, again[name]), name
    assert not np.array_equal(first["hr_bpm"][:600], other["hr_bpm"][:600])


def test_walking_work_follows_from_the_true_speed_grade_and_load() -> None:
    outing = simulate("rolling", "hike", 0.6, np.random.default_rng(3), load_kg=18.0, cost_error=-0.15)
    cost = WalkingCost(0.85)
    for row in range(5, 2000, 97):
        if outing.moving[row]:
            expected = 1.25 * cost.rate_w_per_kg(outing["true_speed_mps"][row], outing["true_grade"][row])
            assert outing["true_work_w_per_kg"][row] == pytest.approx(expected)


def test_riding_work_balances_height_speed_and_losses() -> None:
    # Energy at the pedals against energy gained and lost over a climb, added up from the speeds.
    ground = from_segments([(3000.0, 180.0)], np.random.default_rng(4), ripple=0.004)
    outing = simulate(ground, "ride", 2.0, np.random.default_rng(4), interruptions=[], noise=QUIET)
    load = RoadLoad(72.0 + 14.0)
    speed, grade = outing["true_speed_mps"], outing["true_grade"]
    spent_j = 0.976 * 72.0 * float(np.sum(outing["true_work_w_per_kg"][30:]))
    needed_j = sum(load.resistance_n(v, g) * v for v, g in zip(speed[30:], grade[30:], strict=True))
    needed_j += 0.5 * load.inertia_kg * float(speed[-1] ** 2 - speed[30] ** 2)
    assert spent_j == pytest.approx(needed_j, rel=0.01)


def test_interruptions_stand_still_for_their_time_and_only_pauses_stop_the_timer() -> None:
    halts = [Interruption(400.0, 90), Interruption(900.0, 200, timer_running=False)]
    outing = simulate("flat", "hike", 0.5, np.random.default_rng(2), interruptions=halts)
    assert int(np.sum(~outing.moving)) == 290
    assert int(np.sum(~outing.timer_running)) == 200
    assert np.all(outing["speed_mps"][~outing.moving] == 0.0)


def test_climbs_of_a_drawn_profile_are_found_where_they_were_drawn() -> None:
    drawn = [(600.0, -14.0), (800.0, 100.0), (500.0, -60.0), (300.0, 20.0), (300.0, -20.0), (700.0, 90.0)]
    ground = from_segments(drawn, np.random.default_rng(6), ripple=0.0)
    outing = simulate(ground, "hike", 3.0, np.random.default_rng(6), interruptions=[])
    found = climbs(outing)
    # The 20 m hump is too small; the corners are rounded over some tens of metres.
    assert [round(c["gain_m"], -1) for c in found] == [100.0, 90.0]
    foot_m = [outing["distance_m"][int(c["foot_s"])] for c in found]
    assert foot_m == pytest.approx([600.0, 2500.0], abs=40.0)
    assert [c["length_m"] for c in found] == pytest.approx([800.0, 700.0], abs=60.0)
    ascent, descent = ascent_descent_m(outing)
    # A corner between grades g and h, rounded by a Gaussian of sd 30 m, loses |g - h| 30 / sqrt(2 pi).
    grades = np.array([rise / length for length, rise in drawn])
    lost = float(np.sum(np.abs(np.diff(grades)))) * 30.0 / math.sqrt(2.0 * math.pi)
    assert ascent == pytest.approx(210.0 - lost, abs=2.0)
    assert ascent - descent == pytest.approx(116.0, abs=1.0)
    assert ground.length_m == pytest.approx(3200.0, abs=GRID_M)


def test_decoupling_of_the_truth_is_drift_over_heart_rate() -> None:
    # Level walking without a stop: halves lie (T - 600 s) / 2 apart, so drift over that time decides.
    outing = simulate(
        "flat", "hike", 2.0, np.random.default_rng(9), drift_bpm_per_h=6.0, interruptions=[], noise=QUIET
    )
    truth = decoupling(outing)
    apart_h = (outing["t_s"][-1] - 600.0) / 2.0 / 3600.0
    late = truth["second_half_hr_bpm"]
    assert truth["percent"] == pytest.approx(100.0 * 6.0 * apart_h / late, abs=0.01)
    still = simulate("rolling", "hike", 1.0, np.random.default_rng(9), drift_bpm_per_h=0.0)
    assert decoupling(still)["percent"] == 0.0


@pytest.mark.parametrize("mode", ["hike", "ride"])
def test_a_known_drift_can_be_read_back_from_the_true_columns(mode: Mode) -> None:
    outing = simulate("up_then_down", mode, 2.0, np.random.default_rng(21), drift_bpm_per_h=7.0)
    steady = simulate("up_then_down", mode, 2.0, np.random.default_rng(21), drift_bpm_per_h=0.0)
    difference = outing["true_response_bpm"] - steady["true_response_bpm"]
    assert np.polyfit(outing["t_s"] / 3600.0, difference, 1)[0] == pytest.approx(7.0)
    assert Athlete().hr_max_bpm == 187


def test_the_samples_span_a_third_to_nearly_all_in_band_and_each_climb_leaves_it() -> None:
    shares = {}
    for scenario in (hut_supply_hike, forest_road_patrol, lake_shore_walk):
        sample = scenario()
        upper = 131
        rates = np.rint(sample.outing["true_hr_bpm"])
        running = sample.outing.timer_running
        shares[scenario.__name__] = float(np.mean((rates >= 112)[running] & (rates <= upper)[running]))
        for climb in climbs(sample.outing):
            on_climb = rates[int(climb["foot_s"]) : int(climb["top_s"])]
            # Not grazed: two minutes more than ten beats over it.
            assert np.sum(on_climb > upper + 10) > 120
    assert 0.30 < shares["hut_supply_hike"] < 0.40
    assert 0.30 < shares["forest_road_patrol"] < 0.40
    assert 0.87 < shares["lake_shore_walk"] < 0.95


def test_the_hike_and_the_walk_are_one_persons() -> None:
    hike, walk = hut_supply_hike().outing, lake_shore_walk().outing
    assert hike.athlete == walk.athlete
    assert hike.heart == walk.heart
    # Brisk level walking without a load, 1.2 to 1.4 m/s: 105 to 120 bpm [plausibility, project choice].
    for speed_mps in (1.2, 1.4):
        assert 105.0 < hike.heart.steady_bpm(WalkingCost().rate_w_per_kg(speed_mps, 0.0), 0.0) < 120.0
