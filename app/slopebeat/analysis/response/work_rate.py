"""Work rate: what moving at a speed on a grade costs, in watts per kilogram.

On foot it is metabolic power per kilogram of body mass; on a bike mechanical power per kilogram of body
mass. Published equations are used inside their published ranges; grades beyond are held at the edge.

How a bicycle rolls is derived from the kind of riding: the resistances its work is modelled with.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.numerics import median
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.track import Array, Track

LCDA_GRADE = (-0.40, 0.45)
"""Grades the graded walking equation was fitted on (Looney et al. 2019)."""

LCDA_FASTEST_MPS = 1.96
"""Fastest walking speed it was fitted on (Looney et al. 2019)."""

MINETTI_GRADE = (-0.45, 0.45)
"""Grades the running polynomial was fitted on (Minetti et al. 2002)."""

WALK_RUN_MPS = 2.0
"""Speed of the walk-run transition; about 2 m/s is common practice, no source."""

STANDING_W_PER_KG = 1.44
"""Cost of standing, the constant of the graded walking equation (Looney et al. 2019)."""

STANDING_W = {False: STANDING_W_PER_KG, True: 0.0}
"""W/kg by on_bike: standing, or not pedalling."""

_RUN_J_PER_KG_M = np.array([155.4, -30.4, -43.3, 46.3, 19.5, 3.6])
"""Running cost polynomial in grade, highest power first (Minetti et al. 2002)."""

GRAVITY_MPS2 = 9.80665
"""Standard acceleration of free fall (ISO 80000-3)."""


def lcda_walking_w_per_kg(speed_mps: ArrayLike, grade: ArrayLike) -> Array:
    """Metabolic power of walking, W per kg of total mass, by the graded walking equation LCDA.

    Looney et al. 2019, Med Sci Sports Exerc 51(9):1954-1960, doi:10.1249/MSS.0000000000002002; valid for
    0-1.96 m/s and grades of -40 to 45 %, standard error 0.42 W/kg. NaN for faster or negative speeds;
    grades beyond are held at the edge.
    """
    s = np.asarray(speed_mps, dtype=float)
    g = 100.0 * np.clip(np.asarray(grade, dtype=float), *LCDA_GRADE)
    with np.errstate(invalid="ignore"):
        slope_term = 0.34 * s * g * (1.0 - 1.05 ** (1.0 - 1.1 ** (g + 32.0)))
        power = STANDING_W_PER_KG + 1.94 * s**0.43 + 0.24 * s**4 + slope_term
        return np.asarray(np.where((s >= 0.0) & (s <= LCDA_FASTEST_MPS), power, np.nan))


def minetti_running_j_per_kg_m(grade: ArrayLike) -> Array:
    """Energy cost of running per kilogram and metre along the slope.

    Minetti et al. 2002, J Appl Physiol 93:1039-1046, doi:10.1152/japplphysiol.01177.2001; grades beyond
    +-45 % are held at the edge.
    """
    i = np.clip(np.asarray(grade, dtype=float), *MINETTI_GRADE)
    return np.asarray(np.polyval(_RUN_J_PER_KG_M, i))


def foot_w_per_kg(speed_mps: ArrayLike, grade: ArrayLike) -> Array:
    """Metabolic power on foot, W per kg of total mass: walking below the transition, running above.

    The two published curves do not meet at the transition; between 1.8 and 2.2 m/s they are blended so
    that a small change of speed is a small change of power. Speeds are horizontal; the running cost per
    metre of slope is taken along the slope.
    """
    s = np.asarray(speed_mps, dtype=float)
    g = np.asarray(grade, dtype=float)
    walking = lcda_walking_w_per_kg(np.minimum(s, LCDA_FASTEST_MPS), g)
    along = s * np.sqrt(1.0 + np.clip(g, *MINETTI_GRADE) ** 2)
    running = minetti_running_j_per_kg_m(g) * along + STANDING_W_PER_KG
    share = np.clip((s - (WALK_RUN_MPS - 0.2)) / 0.4, 0.0, 1.0)
    return np.asarray((1.0 - share) * walking + share * running)


@dataclass(frozen=True)
class RoadLoad:
    """Resistances of a rider and bike (Martin et al. 1998); defaults for an upright rider on forest roads.

    Attributes
    ----------
    cda_m2 : drag area; 0.40-0.55 upright off-road, from memory.
    wheel_drag_m2 : drag area of the turning wheels, from memory of the paper.
    crr : coefficient of rolling resistance; mean 0.021 for off-road tyres by the virtual-elevation method.
    efficiency : share of the power at the crank that reaches the wheel, from memory of the paper.
    """

    cda_m2: float = 0.45
    wheel_drag_m2: float = 0.0044
    crr: float = 0.015
    efficiency: float = 0.976


def air_density_kg_m3(elevation_m: ArrayLike, temperature_c: ArrayLike = np.nan) -> Array:
    """Density of the standard atmosphere (ISO 2533) at an elevation; sea level for NaN.

    Where the air's temperature is known (not NaN) it takes the place of the standard one; pressure stays.
    """
    h = np.nan_to_num(np.asarray(elevation_m, dtype=float), nan=0.0)
    standard = 288.15 - 0.0065 * h
    pressure = 101_325.0 * (standard / 288.15) ** 5.255877
    known = np.asarray(temperature_c, dtype=float) + 273.15
    return np.asarray(pressure / (287.05287 * np.where(np.isfinite(known), known, standard)))


def road_load_w(
    speed_mps: ArrayLike,
    grade: ArrayLike,
    mass_kg: ArrayLike,
    load: RoadLoad = RoadLoad(),
    air_kg_m3: ArrayLike = 1.225,
    acceleration_mps2: ArrayLike = 0.0,
) -> Array:
    """Mechanical power at the crank, W, not floored: negative means braking or rolling.

    Martin et al. 1998, J Appl Biomech 14:276-291: air, rolling, bearings, gravity and inertia over the
    drive's efficiency, in still air. ``grade`` is rise over run.
    """
    v, mass = np.asarray(speed_mps, dtype=float), np.asarray(mass_kg, dtype=float)
    slope = np.arctan(np.asarray(grade, dtype=float))
    air = 0.5 * np.asarray(air_kg_m3) * (load.cda_m2 + load.wheel_drag_m2) * v**3
    rolling = load.crr * mass * GRAVITY_MPS2 * np.cos(slope) * v
    bearings = v * (91.0 + 8.7 * v) * 1e-3
    gravity = mass * GRAVITY_MPS2 * np.sin(slope) * v
    inertia = mass * np.asarray(acceleration_mps2) * v
    return np.asarray((air + rolling + bearings + gravity + inertia) / load.efficiency)


def work_rate_w_per_kg(
    track: Track,
    body_mass_kg: float,
    load_kg: ArrayLike = 0.0,
    bike_mass_kg: float = 0.0,
    temperature_c: ArrayLike = np.nan,
    riding: RoadLoad | None = None,
) -> Array:
    """Work rate of every sample, W per kg of body mass, NaN where unknown.

    ``load_kg`` and ``temperature_c`` are one value or one for each sample (n,); the temperature of the air
    counts on a bike only, NaN is that of the standard atmosphere. ``riding`` holds the resistances of a bike.

    On foot the cost per kilogram of total mass times total over body mass, which understates what a pack
    costs (at 1.25 m/s published measurements give 7.6 W per kg of load, this scaling 4.2). On a bike
    recorded power where there is any, else the road-load model floored at zero: coasting is coasting.
    """
    load = np.asarray(load_kg, dtype=float)
    if track.on_bike:
        return _bike(track, body_mass_kg, body_mass_kg + load + bike_mass_kg, temperature_c, riding)
    grade = np.where(track.moving, track.grade, 0.0)
    speed = np.where(track.moving, track.speed_mps, 0.0)
    return foot_w_per_kg(speed, grade) * (body_mass_kg + load) / body_mass_kg


def steady_work(
    on_bike: bool,
    body_mass_kg: float,
    load_kg: float = 0.0,
    bike_mass_kg: float = 0.0,
    elevation_m: float = 0.0,
    riding: RoadLoad | None = None,
) -> Callable[[Array, Array], Array]:
    """``work(speed_mps, grade)``: work rate of holding a speed on a grade, W per kg of body mass.

    The same cost :func:`work_rate_w_per_kg` gives a recording, without acceleration.
    """
    if not on_bike:
        return lambda speed, grade: foot_w_per_kg(speed, grade) * (body_mass_kg + load_kg) / body_mass_kg
    total, air = body_mass_kg + load_kg + bike_mass_kg, air_density_kg_m3(elevation_m)
    return lambda speed, grade: (
        np.maximum(
            road_load_w(speed, np.clip(grade, *MINETTI_GRADE), total, riding or RoadLoad(), air_kg_m3=air),
            0.0,
        )
        / body_mass_kg
    )


def _bike(
    track: Track, body_mass_kg: float, total_kg: Array, temperature_c: ArrayLike, riding: RoadLoad | None
) -> Array:
    recorded: NDArray[np.bool_] = np.isfinite(track.power_w)
    if np.count_nonzero(recorded) >= len(track) / 2:
        power = track.power_w
    else:
        speed = np.where(track.moving, track.speed_mps, 0.0)
        grade = np.clip(np.where(track.moving, track.grade, 0.0), *MINETTI_GRADE)
        acceleration = np.gradient(speed, track.t_s) if len(track) > 1 else np.zeros(len(track))
        air = air_density_kg_m3(track.elevation_m, temperature_c)
        power = road_load_w(
            speed, grade, total_kg, riding or RoadLoad(), air_kg_m3=air, acceleration_mps2=acceleration
        )
    return np.maximum(power, 0.0) / body_mass_kg


ROAD = RoadLoad(cda_m2=0.32, crr=0.006)
"""A road bike [project choice]: typical drag areas are 0.28-0.38 m2 and rolling 0.003-0.006, from memory."""

TRAIL = RoadLoad(cda_m2=0.45, crr=0.015)
"""Forest roads and trails [project choice]: upright 0.40-0.55 m2 from memory; off-road tyres 0.021 on average
by the virtual-elevation method, gravel less."""

ROAD_WORDS = ("road", "track", "virtual", "indoor", "spin")
TRAIL_WORDS = ("mountain", "gravel", "cyclocross", "trail", "downhill", "bmx", "off_road", "mixed")
"""Parts of the words in files."""

ROAD_MPS = 5.0
"""Where no word tells: a usual speed of 18 km/h or more is road riding [project choice]."""


def road_load_of(recording: Recording, track: Track) -> RoadLoad:
    """Resistances by sport, by the file's words on the kind of riding, else by the usual speed."""
    if recording.sport is Sport.MOUNTAIN_BIKING or any(word in recording.sport_text for word in TRAIL_WORDS):
        return TRAIL
    if any(word in recording.sport_text for word in ROAD_WORDS):
        return ROAD
    known = track.moving & np.isfinite(track.speed_mps)
    fast = known.any() and median(track.speed_mps[known]) >= ROAD_MPS
    return ROAD if fast else TRAIL
