"""Invented ground: a profile of elevation along a plan path, on no real trail."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Kind = Literal["flat", "laps", "rolling", "up_then_down", "down_then_up"]
Mode = Literal["hike", "ride"]
Shape = Literal["wander", "out_and_back", "loop"]

GRID_M = 5.0
ORIGIN = (46.93, 11.62)
"""Latitude and longitude the paths start from, degrees: in high mountains far from any sea.
The ridge, paths and lake laid over it are invented."""
WGS84_A_M, WGS84_E2 = 6378137.0, 0.00669437999014
"""Semi-major axis and squared eccentricity of WGS 84 (NGA.STND.0036)."""


@dataclass(frozen=True, eq=False)
class Profile:
    """Ground on a grid of :data:`GRID_M` metres of plan distance; arrays of one shape (n,).

    Attributes
    ----------
    elevation_m : elevation; grade : rise over run; east_m, north_m : plan position from the origin.
    """

    elevation_m: Array
    grade: Array
    east_m: Array
    north_m: Array

    @property
    def length_m(self) -> float:
        return GRID_M * (self.elevation_m.size - 1)

    def at(self, values: Array, distance_m: Array) -> Array:
        """A grid quantity at the given distances."""
        return np.interp(distance_m, GRID_M * np.arange(values.size), values)

    def lat_lon_deg(self, east_m: Array, north_m: Array) -> tuple[Array, Array]:
        """Degrees from local metres, by the radii of curvature of WGS 84 at the origin."""
        lat0, lon0 = ORIGIN
        root = 1.0 - WGS84_E2 * math.sin(math.radians(lat0)) ** 2
        meridian = WGS84_A_M * (1.0 - WGS84_E2) / root**1.5
        parallel = WGS84_A_M / math.sqrt(root) * math.cos(math.radians(lat0))
        return lat0 + np.degrees(north_m / meridian), lon0 + np.degrees(east_m / parallel)


def from_segments(
    segments: Sequence[tuple[float, float]],
    rng: np.random.Generator,
    *,
    start_m: float = 1200.0,
    shape: Shape = "wander",
    ripple: float = 0.02,
    offset_m: tuple[float, float] = (0.0, 0.0),
) -> Profile:
    """Ground from (length in m, rise in m) pairs, rounded at the joints and rippled.

    Parameters
    ----------
    ripple : size of the ripple of the grade, rise over run; its mean is taken out per segment
        length so that rises stay as given to about a metre.
    shape : ``out_and_back`` mirrors the path and the segments given (they are the way out).
    """
    lengths = np.array([length for length, _ in segments])
    rises = np.array([rise for _, rise in segments])
    total = float(lengths.sum())
    n = round(total / GRID_M)
    middle: Array = GRID_M * (np.arange(n, dtype=np.float64) + 0.5)
    owner = np.minimum(np.searchsorted(np.cumsum(lengths), middle, side="right"), len(segments) - 1)
    grade = _rounded((rises / lengths)[owner], 60.0) + _ripple(middle, owner, ripple, rng)
    elevation = start_m + np.concatenate(([0.0], np.cumsum(grade * GRID_M)))
    east, north = _loop(n, rng) if shape == "loop" else _wandering(n, rng)
    if shape == "out_and_back":
        elevation, east, north = (np.concatenate((a, a[-2::-1])) for a in (elevation, east, north))
    return Profile(elevation, np.gradient(elevation, GRID_M), east + offset_m[0], north + offset_m[1])


def repeated(lap: Profile, times: int) -> Profile:
    """A closed lap walked several times; its ends are brought to one height first."""
    n = lap.elevation_m.size - 1
    slant = np.linspace(0.0, lap.elevation_m[-1] - lap.elevation_m[0], n + 1)
    level = lap.elevation_m - slant
    tiled = [np.append(np.tile(a[:-1], times), a[0]) for a in (level, lap.east_m, lap.north_m)]
    return Profile(tiled[0], np.gradient(tiled[0], GRID_M), tiled[1], tiled[2])


def named(kind: Kind, mode: Mode, length_m: float, rng: np.random.Generator) -> Profile:
    """Ground of a kind, about ``length_m`` long; hills are longer and gentler for riding."""
    ripple = 0.02 if mode == "hike" else 0.012
    if kind == "flat":
        return from_segments([(length_m, 0.0)], rng, ripple=0.006)
    if kind == "laps":
        lap_m = 2200.0 if mode == "hike" else 5500.0
        lap = from_segments(_hills(lap_m, mode, rng, count=1), rng, shape="loop", ripple=ripple)
        return repeated(lap, max(math.ceil(length_m / lap_m), 1))
    if kind == "rolling":
        return from_segments(_hills(length_m, mode, rng), rng, ripple=ripple)
    steepness = rng.uniform(0.13, 0.20) if mode == "hike" else rng.uniform(0.055, 0.08)
    sign = 1.0 if kind == "up_then_down" else -1.0
    pieces = max(round(length_m / 2.0 / (900.0 if mode == "hike" else 2200.0)), 2)
    grades = sign * steepness * rng.uniform(0.75, 1.25, pieces)
    way_out = [(length_m / 2.0 / pieces, float(g) * length_m / 2.0 / pieces) for g in grades]
    start_m = 1300.0 if sign > 0 else 2300.0
    return from_segments(way_out, rng, start_m=start_m, shape="out_and_back", ripple=ripple)


def _hills(
    length_m: float, mode: Mode, rng: np.random.Generator, count: int | None = None
) -> list[tuple[float, float]]:
    """Climb, level, descent, level, again and again; every hill comes back to its foot."""
    low, high, steep = (25.0, 80.0, (0.09, 0.17)) if mode == "hike" else (40.0, 140.0, (0.045, 0.085))
    if count is not None:
        low = high = 0.5 * (low + high)
    segments: list[tuple[float, float]] = []
    while sum(length for length, _ in segments) < length_m and (count is None or len(segments) < 4 * count):
        rise = rng.uniform(low, high)
        up, down = rise / rng.uniform(*steep), rise / rng.uniform(*steep)
        level = rng.uniform(100.0, 500.0, 2) * (1.0 if mode == "hike" else 2.0)
        segments += [(up, rise), (float(level[0]), 0.0), (down, -rise), (float(level[1]), 0.0)]
    if count is not None:
        used = sum(length for length, _ in segments[:-1])
        segments[-1] = (max(length_m - used, 100.0), 0.0)
    return segments


def _rounded(grade: Array, width_m: float) -> Array:
    """Running Gaussian mean, the ends held: corners of the profile become curves."""
    half = int(3 * width_m / GRID_M)
    x = GRID_M * np.arange(-half, half + 1)
    kernel = np.exp(-0.5 * (x / (width_m / 2.0)) ** 2)
    smooth = np.convolve(np.pad(grade, half, mode="edge"), kernel / kernel.sum(), mode="valid")
    return np.asarray(smooth, dtype=np.float64)


def _ripple(middle_m: Array, owner: NDArray[np.intp], size: float, rng: np.random.Generator) -> Array:
    """Sum of sinusoids of 90 to 420 m, of mean zero on every segment."""
    waves = np.zeros(middle_m.shape)
    for wavelength in (90.0, 150.0, 230.0, 420.0):
        phase = 2.0 * np.pi * (middle_m / (wavelength * rng.uniform(0.9, 1.1)) + rng.uniform())
        waves += np.sin(phase)
    means = np.bincount(owner, waves) / np.maximum(np.bincount(owner), 1)
    return np.asarray(size * (waves - means[owner]) / math.sqrt(2.0))


def _wandering(n: int, rng: np.random.Generator) -> tuple[Array, Array]:
    """A path of n steps whose heading swings smoothly, with bends of a few hundred metres."""
    x = GRID_M * np.arange(n)
    heading = np.full(n, rng.uniform(0.0, 2.0 * np.pi))
    for wavelength, swing in ((2600.0, 0.7), (900.0, 0.6), (330.0, 0.5), (140.0, 0.25)):
        heading += swing * np.sin(2.0 * np.pi * (x / (wavelength * rng.uniform(0.9, 1.1)) + rng.uniform()))
    return _walked(heading)


def _loop(n: int, rng: np.random.Generator) -> tuple[Array, Array]:
    """A closed bay-and-cape shape of n steps; heading harmonics above the first keep it nearly closed."""
    turn = 2.0 * np.pi * np.arange(n) / n
    heading = turn + rng.uniform(0.0, 2.0 * np.pi)
    for harmonic, swing in ((2, 0.35), (3, 0.25), (7, 0.15)):
        heading = heading + swing * np.sin(harmonic * turn + rng.uniform(0.0, 2.0 * np.pi))
    east, north = _walked(heading)
    back = np.linspace(0.0, 1.0, n + 1)
    return east - back * east[-1], north - back * north[-1]


def _walked(heading: Array) -> tuple[Array, Array]:
    east = np.concatenate(([0.0], np.cumsum(GRID_M * np.sin(heading))))
    north = np.concatenate(([0.0], np.cumsum(GRID_M * np.cos(heading))))
    return east, north
