"""One simulated outing: the ground, the movement over it, the heart, and what sensors made of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from .cost import RoadLoad, WalkingCost
from .heart import Heart
from .noise import slow_noise, smooth_noise
from .terrain import Array, Kind, Mode, Profile, named
from .travel import Interruption, Journey, Mover, Rider, Walker, expected_seconds, travel


@dataclass(frozen=True)
class Athlete:
    """An invented athlete. Work is metabolic on foot and at the pedals on a bicycle, so each has its gain.

    The effort grows evenly from level ground to the full-effort grade, and is the climbing one from there.
    """

    body_mass_kg: float = 72.0
    hr_max_bpm: int = 187
    hr_rest_bpm: int = 52
    hike_hr0_bpm: float = 52.0
    hike_gain_bpm_per_w_per_kg: float = 11.4
    ride_hr0_bpm: float = 80.0
    ride_gain_bpm_per_w_per_kg: float = 24.0
    level_speed_mps: float = 1.40
    climb_w_per_kg: float = 7.8
    full_effort_grade: float = 0.08
    ride_level_w_per_kg: float = 1.45
    ride_climb_w_per_kg: float = 2.45
    ride_full_effort_grade: float = 0.05


@dataclass(frozen=True)
class Noise:
    """Errors: standard deviations, with the seconds over which they wander."""

    hr_bpm: float = 2.0
    hr_tau_s: float = 30.0
    barometer_m: float = 0.25
    barometer_wander_m: float = 2.0
    barometer_tau_s: float = 1800.0
    barometer_step_m: float = 0.2
    gps_m: float = 3.0
    gps_tau_s: float = 40.0
    speed_mps: float = 0.06


@dataclass(frozen=True, eq=False)
class Outing:
    """Arrays of one shape (n,), one row per second from 0, timer pauses included.

    ``columns`` holds, as recorded: ``hr_bpm`` (whole beats), ``elevation_m`` (barometer),
    ``distance_m``, ``speed_mps``, ``lat_deg``, ``lon_deg``, ``cadence_rpm``; and as it was:
    ``t_s``, ``true_hr_bpm``, ``true_response_bpm`` (without noise), ``true_elevation_m``,
    ``true_speed_mps``, ``true_grade``, ``true_work_w_per_kg`` (per kg of body mass).
    """

    columns: dict[str, Array]
    moving: NDArray[np.bool_]
    timer_running: NDArray[np.bool_]
    mode: Mode
    heart: Heart
    athlete: Athlete
    noise: Noise
    settings: dict[str, float] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]


def simulate(
    terrain: Kind | Profile,
    mode: Mode,
    hours: float,
    rng: np.random.Generator,
    *,
    drift_bpm_per_h: float = 4.0,
    tau_up_s: float = 50.0,
    tau_down_s: float = 50.0,
    cost_error: float = 0.0,
    noise: Noise = Noise(),
    athlete: Athlete = Athlete(),
    bike_mass_kg: float = 14.0,
    load_kg: float = 0.0,
    load_until_m: float = math.inf,
    interruptions: Sequence[Interruption] | None = None,
) -> Outing:
    """Simulate an outing.

    Parameters
    ----------
    terrain : a kind of ground, made to last about ``hours``; or a given profile, gone to its end
        (then ``hours`` only caps the time).
    cost_error : 0.15 makes every slope term of the cost 15 % dearer than the published curve.
    load_kg : carried until ``load_until_m`` (on foot), or all the way (on a bicycle).
    interruptions : None draws short stops, about two an hour; a sequence is taken as it is.
    """
    mover = _mover(mode, athlete, 1.0 + cost_error, bike_mass_kg, load_kg, load_until_m)
    profile = terrain if isinstance(terrain, Profile) else _lasting(terrain, mode, hours, mover, rng)
    if interruptions is None:
        interruptions = _short_stops(profile.length_m, hours, rng)
    # Out and back needs room to come home; elsewhere the clock ends the outing.
    slack = 1.0 if terrain in ("flat", "laps", "rolling") else 1.15
    journey = travel(profile, mover, interruptions, rng, round(3600.0 * hours * slack))
    heart = Heart(*_intercept_and_gain(mode, athlete), tau_up_s, tau_down_s, drift_bpm_per_h)
    columns = _truth_columns(profile, journey, heart, noise, rng)
    columns |= _recorded_columns(profile, journey, columns, mode, noise, rng)
    on_bike_kg = bike_mass_kg if mode == "ride" else 0.0
    settings = {"cost_error": cost_error, "load_kg": load_kg, "bike_mass_kg": on_bike_kg}
    return Outing(columns, journey.moving, journey.timer_running, mode, heart, athlete, noise, settings)


def _mover(
    mode: Mode, who: Athlete, slope_factor: float, bike_mass_kg: float, load_kg: float, load_until_m: float
) -> Mover:
    if mode == "hike":
        return Walker(
            WalkingCost(slope_factor),
            who.body_mass_kg,
            level_speed_mps=who.level_speed_mps,
            climb_w_per_kg=who.climb_w_per_kg,
            full_effort_grade=who.full_effort_grade,
            load_kg=load_kg,
            load_until_m=load_until_m,
        )
    road_load = RoadLoad(who.body_mass_kg + bike_mass_kg + load_kg, slope_factor)
    return Rider(
        road_load,
        who.body_mass_kg,
        who.ride_level_w_per_kg,
        who.ride_climb_w_per_kg,
        who.ride_full_effort_grade,
    )


def _intercept_and_gain(mode: Mode, who: Athlete) -> tuple[float, float]:
    if mode == "hike":
        return who.hike_hr0_bpm, who.hike_gain_bpm_per_w_per_kg
    return who.ride_hr0_bpm, who.ride_gain_bpm_per_w_per_kg


def _lasting(kind: Kind, mode: Mode, hours: float, mover: Mover, rng: np.random.Generator) -> Profile:
    """Ground of a kind that takes about the given hours; spare length where the clock ends the outing."""
    seed = int(rng.integers(2**32))
    length_m = 3600.0 * hours * (1.0 if mode == "hike" else 4.0)
    for _ in range(3):
        profile = named(kind, mode, length_m, np.random.default_rng(seed))
        length_m = profile.length_m * 3600.0 * hours / expected_seconds(profile, mover)
    if kind in ("flat", "laps", "rolling"):
        length_m *= 1.25
    return named(kind, mode, length_m, np.random.default_rng(seed))


def _short_stops(length_m: float, hours: float, rng: np.random.Generator) -> list[Interruption]:
    count = int(rng.poisson(2.0 * hours))
    return [
        Interruption(float(at), int(seconds))
        for at, seconds in zip(
            rng.uniform(0.05, 0.95, count) * length_m, rng.integers(20, 100, count), strict=True
        )
    ]


def _truth_columns(
    profile: Profile, journey: Journey, heart: Heart, noise: Noise, rng: np.random.Generator
) -> dict[str, Array]:
    return {
        "t_s": np.arange(journey.distance_m.size, dtype=float),
        "true_elevation_m": profile.at(profile.elevation_m, journey.distance_m),
        "true_speed_mps": journey.speed_mps,
        "true_grade": journey.grade,
        "true_work_w_per_kg": journey.work_w_per_kg,
        "true_response_bpm": heart.response_bpm(journey.work_w_per_kg),
        "true_hr_bpm": heart.true_bpm(journey.work_w_per_kg, noise.hr_bpm, noise.hr_tau_s, rng),
    }


def _recorded_columns(
    profile: Profile,
    journey: Journey,
    truth: dict[str, Array],
    mode: Mode,
    noise: Noise,
    rng: np.random.Generator,
) -> dict[str, Array]:
    n = journey.distance_m.size
    wander = smooth_noise(n, noise.barometer_wander_m, noise.barometer_tau_s, rng)
    height = truth["true_elevation_m"] + wander + slow_noise(n, noise.barometer_m, 4.0, rng)
    east = profile.at(profile.east_m, journey.distance_m) + smooth_noise(n, noise.gps_m, noise.gps_tau_s, rng)
    north = profile.at(profile.north_m, journey.distance_m) + smooth_noise(
        n, noise.gps_m, noise.gps_tau_s, rng
    )
    lat, lon = profile.lat_lon_deg(east, north)
    speed = np.maximum(journey.speed_mps + slow_noise(n, noise.speed_mps, 6.0, rng), 0.0)
    return {
        "hr_bpm": np.rint(truth["true_hr_bpm"]),
        "elevation_m": np.rint(height / noise.barometer_step_m) * noise.barometer_step_m,
        "distance_m": np.rint(journey.distance_m * 100.0) / 100.0,
        "speed_mps": np.where(journey.moving, np.rint(speed * 1000.0) / 1000.0, 0.0),
        "lat_deg": lat,
        "lon_deg": lon,
        "cadence_rpm": _cadence_rpm(journey, mode, rng),
    }


def _cadence_rpm(journey: Journey, mode: Mode, rng: np.random.Generator) -> Array:
    """Strides a minute on foot (two steps each), turns of the crank on a bicycle; 0 when coasting."""
    wobble = 1.0 + slow_noise(journey.speed_mps.size, 0.02, 20.0, rng)
    if mode == "hike":
        # Step length grows with the root of speed (common practice, no source); descents take short steps.
        steps_per_s = np.sqrt(journey.speed_mps * 1.4) / 0.74 * np.where(journey.grade < -0.05, 1.2, 1.0)
        rate = 30.0 * steps_per_s
    else:
        rate = np.where(journey.work_w_per_kg > 0.2, 62.0 + 4.0 * np.minimum(journey.speed_mps, 5.0), 0.0)
    return np.where(journey.moving, np.rint(rate * wobble), 0.0)
