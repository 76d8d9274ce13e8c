"""Work rate against published equations, tables and worked examples.

Resistances by kind of riding, beside power that was measured on the road.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from helpers.recordings import recording, track
from slopebeat.analysis.response.work_rate import (
    ROAD,
    STANDING_W_PER_KG,
    TRAIL,
    RoadLoad,
    air_density_kg_m3,
    foot_w_per_kg,
    lcda_walking_w_per_kg,
    minetti_running_j_per_kg_m,
    road_load_of,
    road_load_w,
    work_rate_w_per_kg,
)
from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings
from slopebeat.model.recording import Sport

J_PER_ML_O2 = 20.9
"""Energy of a millilitre of oxygen at a mixed diet; common practice, no source."""


@pytest.mark.parametrize(
    ("speed", "grade", "expected"),
    [
        # Looney et al. 2019, Med Sci Sports Exerc 51(9):1954-1960, recomputed from the printed equation.
        (0.0, 0.0, 1.4400),
        (0.6, 0.0, 3.0285),
        (1.0, 0.0, 3.6200),
        (1.34, 0.0, 4.4140),
        (1.8, 0.0, 6.4573),
        (1.0, 0.10, 6.7732),
        (1.0, 0.20, 10.4130),
        (1.34, -0.10, 3.0738),
        (1.34, -0.20, 3.5112),
        (1.0, -0.40, 3.9786),
        (0.5, 0.40, 9.695),
    ],
)
def test_graded_walking_equation(speed: float, grade: float, expected: float) -> None:
    assert lcda_walking_w_per_kg(speed, grade) == pytest.approx(expected, abs=0.001)


def test_walking_downhill_is_cheapest_near_ten_percent() -> None:
    # Minetti 1994 (J Exp Biol 195:211) finds -10 %, Santee 2001 -8 %; the equation at 1.34 m/s has -10.7 %.
    grades = np.linspace(-0.4, 0.0, 401)
    cheapest = grades[np.argmin(lcda_walking_w_per_kg(1.34, grades))]
    assert -0.12 < cheapest < -0.08


def test_walking_agrees_with_the_acsm_worked_example() -> None:
    # Bushman 2020, doi:10.1249/FIT.0000000000000562: 3.5 mph (93.8 m/min) at 10 % is 29.76 ml/kg/min.
    acsm = 29.76 / 60.0 * J_PER_ML_O2
    assert lcda_walking_w_per_kg(93.8 / 60.0, 0.10) == pytest.approx(acsm, rel=0.15)


def test_walking_outside_its_published_range_is_not_invented() -> None:
    assert np.isnan(lcda_walking_w_per_kg([2.5, -0.1], 0.0)).all()
    assert lcda_walking_w_per_kg(1.0, 0.8) == lcda_walking_w_per_kg(1.0, 0.45)


@pytest.mark.parametrize(
    ("grade", "expected"),
    [
        # Minetti et al. 2002, J Appl Physiol 93:1039-1046: the polynomial, recomputed.
        (-0.45, 4.032),
        (-0.30, 2.462),
        (-0.20, 1.800),
        (-0.10, 2.152),
        (0.0, 3.600),
        (0.10, 5.968),
        (0.20, 9.007),
        (0.30, 12.579),
        (0.45, 19.426),
    ],
)
def test_running_polynomial(grade: float, expected: float) -> None:
    assert minetti_running_j_per_kg_m(grade) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(
    ("grade", "mean", "sd"),
    [(0.0, 3.40, 0.24), (-0.20, 1.73, 0.36), (-0.45, 3.92, 0.81), (0.45, 18.93, 1.74)],
)
def test_running_polynomial_lies_in_the_measured_range(grade: float, mean: float, sd: float) -> None:
    # Measured mean and SD printed in the abstract of Minetti et al. 2002.
    assert abs(minetti_running_j_per_kg_m(grade) - mean) < sd


def test_running_is_cheapest_downhill_near_the_published_grade_and_best_uphill_on_steep_ground() -> None:
    # Vernillo 2017, doi:10.1007/s40279-016-0605-y, puts the minimum at -20 %. The abstract of Minetti et al.
    # 2002 puts the least cost per vertical metre at 20-30 %; per vertical metre the polynomial is flat there.
    grades = np.linspace(-0.45, 0.45, 901)
    cost = minetti_running_j_per_kg_m(grades)
    assert -0.22 < grades[np.argmin(cost)] < -0.15
    climbing = np.sin(np.arctan(grades))
    per_metre = np.where(grades > 0.05, cost / np.where(grades > 0.05, climbing, 1.0), np.inf)
    best = per_metre.min()
    optimum = per_metre[(grades >= 0.20) & (grades <= 0.30)]
    assert np.all(optimum < 1.08 * best)
    assert 0.20 <= grades[np.argmin(per_metre)] <= 0.305


def test_power_on_foot_has_no_jump_between_walking_and_running() -> None:
    speeds = np.linspace(0.0, 4.0, 2001)
    for grade in (-0.2, 0.0, 0.2):
        power = foot_w_per_kg(speeds, grade)
        assert np.max(np.abs(np.diff(power[50:]))) < 0.1
    assert foot_w_per_kg(3.0, 0.0) == pytest.approx(3.0 * 3.6 + STANDING_W_PER_KG)


@pytest.mark.parametrize(
    ("v", "grade", "mass", "cda", "crr", "rho", "watts"),
    [
        # Martin et al. 1998, J Appl Biomech 14:276-291: its equation recomputed with g 9.81, Fw 0.0044 m2,
        # drive efficiency 0.976; the 0.03 % between 9.81 and standard gravity is inside the tolerance.
        (10.0, 0.0, 80, 0.30, 0.0032, 1.225, 218.58),
        (5.0, 0.08, 85, 0.36, 0.005, 1.225, 391.22),
        (2.5, 0.12, 90, 0.45, 0.020, 1.225, 319.10),
        (3.0, 0.10, 85, 0.40, 0.015, 1.0066, 299.28),
        (8.0, -0.03, 85, 0.40, 0.012, 1.225, 8.28),
    ],
)
def test_cycling_road_load(
    v: float, grade: float, mass: float, cda: float, crr: float, rho: float, watts: float
) -> None:
    load = RoadLoad(cda_m2=cda, crr=crr)
    assert road_load_w(v, grade, mass, load, rho) == pytest.approx(watts, rel=5e-4, abs=0.15)


@pytest.mark.parametrize(("height", "density"), [(0, 1.2250), (1000, 1.1116), (2000, 1.0065), (3000, 0.9091)])
def test_air_density_of_the_standard_atmosphere(height: float, density: float) -> None:
    # ISO 2533, at geopotential altitudes.
    assert air_density_kg_m3(height) == pytest.approx(density, abs=3e-4)


@pytest.mark.parametrize(("temperature_c", "density"), [(-10.0, 1.3413), (0.0, 1.2922), (30.0, 1.1644)])
def test_air_density_at_a_known_temperature(temperature_c: float, density: float) -> None:
    """Dry air at 101 325 Pa by the ideal gas law, from the molar constants: p M / (R T)."""
    assert 101_325.0 * 0.0289647 / (8.314462618 * (temperature_c + 273.15)) == pytest.approx(
        density, abs=2e-4
    )
    assert air_density_kg_m3(0.0, temperature_c) == pytest.approx(density, abs=2e-4)


def test_air_at_its_standard_temperature_is_the_standard_air() -> None:
    heights = np.array([0.0, 1500.0, 3000.0])
    told = air_density_kg_m3(heights, 15.0 - 0.0065 * heights)
    assert told == pytest.approx(air_density_kg_m3(heights), rel=1e-12)
    assert air_density_kg_m3(heights, [np.nan, 0.0, np.nan])[[0, 2]] == pytest.approx(
        air_density_kg_m3(heights)[[0, 2]]
    )


def test_coasting_is_coasting_and_braking_is_no_work() -> None:
    downhill = track(np.arange(100.0), grade=-0.08, speed=8.0, on_bike=True)
    assert np.all(work_rate_w_per_kg(downhill, 75.0, 0.0, 14.0) == 0.0)


def test_recorded_power_is_preferred_on_a_bike() -> None:
    ride = track(np.arange(100.0), grade=0.05, speed=4.0, on_bike=True)
    ride.power_w[:] = 150.0
    assert np.allclose(work_rate_w_per_kg(ride, 75.0, 0.0, 14.0), 2.0)


def test_standing_costs_what_standing_costs() -> None:
    t = np.arange(100.0)
    pause = track(t, grade=np.full(100, np.nan), speed=0.0, moving=np.zeros(100, dtype=bool))
    assert np.allclose(work_rate_w_per_kg(pause, 75.0), STANDING_W_PER_KG)


def test_a_load_scales_with_total_mass_and_understates_a_pack() -> None:
    # Huang & Kuo 2014, doi:10.1242/jeb.091587: 7.6 W per kg of load at 1.25 m/s; scaling
    # total mass gives less.
    walk = track(np.arange(100.0), speed=1.25)
    light, laden = (float(work_rate_w_per_kg(walk, 75.0, load)[50]) * 75.0 for load in (0.0, 15.0))
    assert laden / light == pytest.approx(90.0 / 75.0)
    assert 0.0 < (laden - light) / 15.0 < 7.6


T = np.arange(0.0, 1200.0)


def load_of(sport: Sport, said: str, speed: float) -> RoadLoad:
    made = replace(recording(T, speed=speed, sport=sport), sport_text=said)
    return road_load_of(made, clean(made).track)


def test_the_files_words_go_before_the_speed() -> None:
    assert load_of(Sport.CYCLING, "cycling/road", 4.0) is ROAD
    assert load_of(Sport.CYCLING, "cycling/gravel_cycling", 8.0) is TRAIL
    assert load_of(Sport.MOUNTAIN_BIKING, "", 8.0) is TRAIL
    assert load_of(Sport.CYCLING, "cycling", 7.5) is ROAD
    assert load_of(Sport.CYCLING, "cycling", 4.0) is TRAIL


def modelled_over_measured(path: Path, riding: RoadLoad | None) -> float:
    """Mean modelled power over the mean a meter measured, while moving; 75 kg on a bike of 10 kg."""
    track = clean(read_recordings(path)[0]).track
    known = track.moving & np.isfinite(track.power_w) & np.isfinite(track.grade)
    unmetered = replace(track, power_w=np.full(len(track), np.nan))
    load = road_load_of(read_recordings(path)[0], track) if riding is None else riding
    work = 75.0 * work_rate_w_per_kg(unmetered, 75.0, 0.0, 10.0, riding=load)
    seconds = track.recorded_s[known]
    return float(np.average(work[known], weights=seconds) / np.average(track.power_w[known], weights=seconds))


METERED = ("big_endian_auto_pauses", "road_device_zone_times", "road_hr_missing_half", "road_power_1hz")


def test_road_rides_are_nearer_the_meter_than_with_a_forest_bikes_resistances(recordings: Path) -> None:
    """The meters are the outside check; mass and posture of the riders are not known, nor is the wind."""
    new = [modelled_over_measured(recordings / f"{name}.fit", None) for name in METERED]
    old = [modelled_over_measured(recordings / f"{name}.fit", TRAIL) for name in METERED]
    assert np.mean(np.abs(np.log(new))) < 0.6 * np.mean(np.abs(np.log(old)))
    assert np.mean(new) == pytest.approx(1.0, abs=0.2)
