"""Invented outings with a known drift, written without the code under study.

The true heart rate follows the true work rate with separate time constants for rising and falling, plus a
drift; the recording shows it through a sensor, a barometer and a satellite receiver. Cost on foot is a
published walking equation (Looney 2019) whose slope part is wrong for this person; on a bike the road-load
model (Martin 1998) with this rider's own drag, a wind nobody recorded and a slope part that is wrong too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.signal import lfilter

Array = NDArray[np.float64]

TERRAINS = ("flat", "laps", "rolling", "up then down", "down then up")
GRAVITY = 9.81
AIR_KG_M3 = 1.1
RIDER_KG, BIKE_KG = 75.0, 14.0


@dataclass(frozen=True)
class Setting:
    """What one family of outings has in common."""

    terrain: str
    on_bike: bool
    slope_error: float = 0.15  # SD of this person's slope cost against the curve
    quick_bpm: float = 1.5  # sensor and unmodelled kinetics, forgotten in quick_s
    quick_s: float = 20.0
    wander_bpm: tuple[float, float] = (0.5, 1.5)
    wander_s: tuple[float, float] = (240.0, 900.0)
    falling_slower: tuple[float, float] = (0.9, 1.4)
    speed_noise_mps: float = 0.12  # satellite speed, forgotten in 6 s
    height_noise_m: float = 0.3  # barometer in gusts, forgotten in 20 s
    height_wander_m: float = 2.5  # barometer, weather and temperature
    cost_wander: float = 0.0  # ground underfoot: share of the cost, forgotten in 300 s
    drag_error: float = 0.15  # SD of this rider's drag area and rolling resistance
    wind_mps: float = 0.0  # head wind nobody recorded, forgotten in 400 s


@dataclass(frozen=True)
class Bike:
    """What this rider's bike takes: drag area m2, rolling resistance, share of the slope's pull."""

    cda: float
    crr: float
    slope_factor: float


@dataclass(frozen=True, eq=False)
class Outing:
    """What was recorded (1 Hz) and what was true."""

    t_s: Array
    hr_bpm: Array
    elevation_m: Array
    speed_mps: Array
    standing: NDArray[np.bool_]
    on_bike: bool
    true_work: Array
    gain: float
    base_bpm: float
    drift_bpm_per_h: float


def wander(rng: np.random.Generator, n: int, sd: float, forget_s: float) -> Array:
    """First-order random process, 1 Hz."""
    keep = np.exp(-1.0 / forget_s)
    steps = rng.normal(0.0, sd * np.sqrt(1.0 - keep**2), n)
    steps[0] = rng.normal(0.0, sd)
    return np.asarray(lfilter([1.0], [1.0, -keep], steps))


def looney_w_per_kg(speed: Array, grade: Array, slope_factor: float | Array = 1.0) -> Array:
    """Looney 2019 with its slope part scaled; speed m/s, grade as a fraction."""
    percent = np.clip(100.0 * grade, -40.0, 45.0)
    level = 1.44 + 1.94 * speed**0.43 + 0.24 * speed**4
    slope = 0.34 * speed * percent * (1.0 - 1.05 ** (1.0 - 1.1 ** (percent + 32.0)))
    return np.maximum(level + slope_factor * slope, 0.5)


def road_load_w_per_kg(speed: Array, grade: Array, bike: Bike) -> Array:
    """Martin 1998 per kilogram of rider in still air, before the floor at zero; inertia included."""
    mass = RIDER_KG + BIKE_KG
    force = 0.5 * AIR_KG_M3 * bike.cda * speed**2 + mass * GRAVITY * (bike.crr + bike.slope_factor * grade)
    return np.asarray((force + mass * np.gradient(speed)) * speed / 0.976 / RIDER_KG)


def grade_along(rng: np.random.Generator, terrain: str, x: Array, on_bike: bool) -> Array:
    """Grade at every metre of path ``x``; steeper on foot."""
    steep = rng.uniform(0.05, 0.08) if on_bike else rng.uniform(0.08, 0.18)
    rough = gaussian_filter1d(rng.normal(0.0, 1.0, x.size), 25.0, mode="wrap")
    rough *= (0.004 if terrain == "flat" else 0.02) / rough.std()
    if terrain == "flat":
        return rough
    if terrain == "laps":
        lap = rng.uniform(1500.0, 3500.0) * (3.0 if on_bike else 1.0)
        phase = (x % lap) / lap
        wave = np.sin(2 * np.pi * phase) + 0.4 * np.sin(6 * np.pi * phase + rng.uniform(0, 6))
        return steep * 0.8 * wave + np.interp(x % lap, x, rough)
    if terrain == "rolling":
        waves = gaussian_filter1d(
            rng.normal(0.0, 1.0, x.size), rng.uniform(120, 350) * (2 if on_bike else 1), mode="wrap"
        )
        return steep * 0.8 * waves / waves.std() + rough
    top = x[-1] * rng.uniform(0.42, 0.58)
    sign = 1.0 if terrain == "up then down" else -1.0
    body = gaussian_filter1d(rng.normal(0.0, 1.0, x.size), 400.0, mode="wrap")
    varied = 1.0 + 0.4 * body / body.std()
    return sign * steep * varied * np.tanh((top - x) / 150.0) + rough


def walk(rng: np.random.Generator, x: Array, grade: Array, seconds: int) -> tuple[Array, Array]:
    """True speed and grade at each second of a hiker."""
    effort = np.exp(wander(rng, seconds, 0.10, 900.0) + wander(rng, seconds, 0.05, 60.0))
    best = rng.uniform(1.15, 1.45)
    per_metre = best * np.exp(-2.8 * np.abs(grade + 0.05)) / np.exp(-2.8 * 0.05)
    speed, at, here = np.empty(seconds), 0.0, np.empty(seconds, int)
    for k in range(seconds):
        here[k] = min(int(at), x.size - 1)
        speed[k] = per_metre[here[k]] * effort[k]
        at += speed[k]
    return speed, grade[here]


def ride(
    rng: np.random.Generator, x: Array, grade: Array, wind: Array, true: Bike
) -> tuple[Array, Array, Array]:
    """True speed, grade and power per rider kilogram at each second: an effort held, coasting, braking."""
    seconds = wind.size
    held = np.exp(wander(rng, seconds, 0.12, 600.0) + wander(rng, seconds, 0.15, 45.0))
    effort = (RIDER_KG * rng.uniform(1.4, 2.0) * held).tolist()
    top_speed, mass = rng.uniform(7.5, 10.0), RIDER_KG + BIKE_KG
    drag, still = 0.5 * AIR_KG_M3 * true.cda, mass * GRAVITY
    speed, power, here = np.empty(seconds), np.zeros(seconds), np.empty(seconds, int)
    at, now, coasting = 0.0, 3.0, False
    for k, (push, gust) in enumerate(zip(effort, wind.tolist(), strict=True)):
        here[k] = i = min(int(at), x.size - 1)
        slope = float(grade[i])
        coasting = now > top_speed - (1.0 if coasting else 0.0)
        if not coasting:
            power[k] = push * (1.0 + min(max(slope * 10.0, -1.0), 0.4))
        air = now + gust
        load = drag * air * abs(air) + still * (true.crr + true.slope_factor * slope)
        now = now + (0.976 * power[k] / max(now, 1.5) - load) / mass
        now = min(max(now, 1.2), top_speed + 0.5)
        speed[k] = now
        at += now
    return speed, grade[here], power / RIDER_KG


def respond(work: Array, rising_s: float, falling_s: float) -> Array:
    """First-order lag with its own time constant either way, 1 Hz."""
    up, down = 1.0 - np.exp(-1.0 / rising_s), 1.0 - np.exp(-1.0 / falling_s)
    out, state = np.empty(work.size), float(work[0])
    for k, target in enumerate(work.tolist()):
        state += (up if target > state else down) * (target - state)
        out[k] = state
    return out


def _stops(rng: np.random.Generator, seconds: int) -> NDArray[np.bool_]:
    standing = np.zeros(seconds, bool)
    for _ in range(rng.poisson(seconds / 2400.0)):
        start = rng.integers(60, seconds - 300)
        standing[start : start + int(rng.uniform(20, 300))] = True
    return standing


def simulate(setting: Setting, rng: np.random.Generator, drift: float | None = None) -> Outing:
    """One outing of 2-4 h; the drift is even in 0-6 bpm/h unless given."""
    seconds = int(rng.uniform(2.0, 4.0) * 3600)
    slope_factor = float(np.clip(rng.normal(1.0, setting.slope_error), 0.6, 1.4))
    standing = _stops(rng, seconds)
    moving, when = int((~standing).sum()), np.maximum(np.cumsum(~standing) - 1, 0)
    speed, grade, cost = _travel(setting, rng, moving, slope_factor)
    work = np.where(standing, 0.0 if setting.on_bike else 1.44, cost[when])
    gain, base = (
        (rng.uniform(20.0, 30.0), rng.uniform(65.0, 80.0))
        if setting.on_bike
        else (rng.uniform(8.0, 13.0), rng.uniform(50.0, 70.0))
    )
    speed, grade = np.where(standing, 0.0, speed[when]), grade[when]
    return _record(
        setting,
        rng,
        speed,
        grade,
        standing,
        work,
        gain,
        base,
        rng.uniform(0.0, 6.0) if drift is None else drift,
    )


def _drag(setting: Setting, rng: np.random.Generator) -> tuple[float, float]:
    """Drag area and rolling resistance of this rider, spread about what the cleaning will assume."""
    area, rolling = rng.normal(0.0, 1.0, 2)
    return 0.42 * (1.0 + setting.drag_error * area), 0.012 * (1.0 + setting.drag_error * rolling)


def _travel(
    setting: Setting, rng: np.random.Generator, moving: int, slope_factor: float
) -> tuple[Array, Array, Array]:
    """Speed, grade and work over ``moving`` seconds, on a path just as long as they last."""
    ground, legs = rng.integers(2**32, size=2)
    length = moving * (5.0 if setting.on_bike else 1.0) * (1.0 if setting.terrain in TERRAINS[3:] else 2.0)
    bike = Bike(*_drag(setting, rng), slope_factor)
    for _ in range(8):
        path = np.arange(max(length, 2000.0))
        grade_x = grade_along(np.random.default_rng(ground), setting.terrain, path, setting.on_bike)
        again = np.random.default_rng(legs)
        if setting.on_bike:
            wind = wander(again, moving, setting.wind_mps, 400.0)
            speed, grade, work = ride(again, path, grade_x, wind, bike)
        else:
            speed, grade = walk(again, path, grade_x, moving)
            work = looney_w_per_kg(speed, grade, slope_factor)
            work = work * np.exp(wander(again, moving, setting.cost_wander, 300.0))
        covered = float(speed.sum())
        if setting.terrain not in TERRAINS[3:] or abs(covered / length - 1.0) < 0.03:
            break
        length = float(np.sqrt(length * covered))  # half way in ratio: a turn met earlier changes the speed
    return speed, grade, work


def _record(
    setting: Setting,
    rng: np.random.Generator,
    speed: Array,
    grade: Array,
    standing: NDArray[np.bool_],
    work: Array,
    gain: float,
    base: float,
    drift: float,
) -> Outing:
    n = speed.size
    t = np.arange(n, dtype=float)
    rising = rng.uniform(35.0, 75.0)
    heart = base + gain * respond(work, rising, rising * rng.uniform(*setting.falling_slower))
    heart = heart + drift * t / 3600.0 + np.where(standing, 3.0, 0.0)
    heart += wander(rng, n, rng.uniform(*setting.wander_bpm), rng.uniform(*setting.wander_s))
    seen = np.round(heart + wander(rng, n, setting.quick_bpm, setting.quick_s))
    for _ in range(rng.poisson(n / 3600.0)):
        start = rng.integers(0, n)
        seen[start : start + int(rng.uniform(5, 120))] = np.nan
    height = 1500.0 + np.cumsum(speed * grade)
    gusts = wander(rng, n, setting.height_noise_m, 20.0) + rng.normal(0.0, 0.1, n)
    weather = gaussian_filter1d(wander(rng, n, setting.height_wander_m, 1800.0), 120.0)
    height = height + gusts + weather
    pace = np.maximum(speed + wander(rng, n, setting.speed_noise_mps, 6.0), 0.0)
    return Outing(
        t,
        seen,
        np.round(height * 5.0) / 5.0,
        np.where(standing, 0.0, pace),
        standing,
        setting.on_bike,
        work,
        gain,
        base,
        drift,
    )
