"""How somebody goes along a way: speed, grade and true work at every second of moving."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from chance import Array, Rng, patches, wander, waves
from people import AIR_KG_M3, BIKE_KG, BODY_KG, DRIVE, GRAVITY, Person
from worlds import DOWN_UP, STOP_AND_GO, UP_DOWN, World, grade_along

CRUISE_MPS = {"run": 2.9, "hike": 1.3, "ride": 6.0}


@dataclass(frozen=True, eq=False)
class Going:
    """At every second of moving: speed (m/s), grade, true work (W/kg of body mass)."""

    speed_mps: Array
    grade: Array
    work: Array


def go(rng: Rng, person: Person, world: World, terrain: str, seconds: int) -> Going:
    """Go for ``seconds``, on a way that is as long as they last where it has a turning point."""
    seeds = rng.integers(2**32, size=2)
    load = _load(rng, world, seconds)
    length = CRUISE_MPS[person.sport] * seconds * (1.0 if terrain in (UP_DOWN, DOWN_UP) else 2.0)
    for _ in range(6):
        ways, legs = np.random.default_rng(seeds[0]), np.random.default_rng(seeds[1])
        grade = grade_along(ways, person.sport, terrain, max(length, 2000.0))
        ground = patches(ways, grade.size, world.ground, (150.0, 1500.0))
        gone = (_ride if person.sport == "ride" else _foot)(legs, person, world, grade, ground, load, terrain)
        covered = float(gone.speed_mps.sum())
        if terrain not in (UP_DOWN, DOWN_UP) or abs(covered / length - 1.0) < 0.03:
            break
        length = float(np.sqrt(length * covered))
    return gone


def _load(rng: Rng, world: World, seconds: int) -> Array:
    """Kilograms nobody told the program of, set down somewhere on the way."""
    kilograms = rng.uniform(0.3, 1.0) * world.load_kg * (rng.random() < 0.5)
    return np.where(np.arange(seconds) < seconds * rng.uniform(0.2, 0.8), kilograms, 0.0)


def _effort(rng: Rng, terrain: str, seconds: int) -> Array:
    held = np.exp(wander(rng, seconds, 0.09, 900.0) + wander(rng, seconds, 0.06, 60.0))
    if terrain == STOP_AND_GO:
        held = held * np.where(waves(rng, seconds, 60.0) > 0.3, 1.25, 0.85)
    return np.asarray(held * (1.0 + rng.uniform(-0.12, 0.08) * np.arange(seconds) / seconds))


def _foot(
    rng: Rng, person: Person, world: World, grade: Array, ground: Array, load: Array, terrain: str
) -> Going:
    effort = _effort(rng, terrain, load.size)
    best = rng.uniform(2.4, 3.4) if person.sport == "run" else rng.uniform(1.1, 1.45)
    # A runner eases off by half of what the slope costs; a walker by Tobler's exponential.
    steep = np.polyval([155.4, -30.4, -43.3, 46.3, 19.5, 3.6], np.clip(grade, -0.3, 0.4)) / 3.6
    tobler = np.exp(-3.0 * np.abs(grade + 0.05) + 0.15)
    of_ground = best * (np.maximum(steep, 0.6) ** -0.6 if person.sport == "run" else tobler)
    speed, here, at = np.empty(load.size), np.empty(load.size, int), 0.0
    for k in range(load.size):
        here[k] = i = min(int(at), grade.size - 1)
        speed[k] = of_ground[i] * effort[k]
        at += speed[k]
    work = person.cost(speed, grade[here], ground[here], load)
    if person.sport == "run":
        # Wind on a runner: a share of the cost with the square of the air's speed (Pugh 1971, from memory).
        air = speed + _head_wind(rng, world, speed)
        work = work + 0.004 * (air * np.abs(air) - speed**2) * speed
    return Going(speed, grade[here], np.maximum(work, 0.5))


def _head_wind(rng: Rng, world: World, speed: Array) -> Array:
    """The wind keeps its direction, the way turns; gusts beside."""
    turning = np.cumsum(wander(rng, speed.size, 0.012, 120.0)) + rng.uniform(0.0, 2.0 * np.pi)
    strength = abs(rng.normal(0.0, world.wind_mps))
    return np.asarray(strength * np.cos(turning) + wander(rng, speed.size, 0.4 * world.wind_mps, 60.0))


def _ride(
    rng: Rng, person: Person, world: World, grade: Array, ground: Array, load: Array, terrain: str
) -> Going:
    """An effort held, coasting where it is fast enough, braking above that."""
    seconds = load.size
    push_w = (BODY_KG * rng.uniform(1.3, 2.0) * _effort(rng, terrain, seconds)).tolist()
    wind = _head_wind(rng, world, np.ones(seconds)).tolist()
    top_speed, kilograms = rng.uniform(7.5, 10.5), (BODY_KG + BIKE_KG + load).tolist()
    drag = 0.5 * AIR_KG_M3 * person.cda_m2
    speed, power, here = np.empty(seconds), np.zeros(seconds), np.empty(seconds, int)
    at, now, coasting = 0.0, 3.0, False
    for k in range(seconds):
        here[k] = i = min(int(at), grade.size - 1)
        slope = float(grade[i]) * (person.up if grade[i] > 0.0 else person.down)
        coasting = now > top_speed - (1.0 if coasting else 0.0)
        if not coasting:
            power[k] = push_w[k] * (1.0 + min(max(slope * 10.0, -1.0), 0.4))
        air, mass = now + wind[k], kilograms[k]
        load_n = drag * air * abs(air) + mass * GRAVITY * (person.crr * float(ground[i]) + slope)
        now = min(max(now + (DRIVE * power[k] / max(now, 1.5) - load_n) / mass, 1.2), top_speed + 0.5)
        speed[k] = now
        at += now
    return Going(speed, grade[here], power / BODY_KG)
