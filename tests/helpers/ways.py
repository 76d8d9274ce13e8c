"""Ways over invented ground, for tests that know where each went."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np

from slopebeat.analysis.ground.plane import Plane, thinned_line
from slopebeat.model.evidence import MODELLED, WALK
from slopebeat.model.recording import Recording
from slopebeat.model.route import Route
from slopebeat.model.track import Array
from slopebeat.model.way import Way, WayFacts, WayValues

HUT = Plane(46.9, 10.2)
"""Invented ground lies about here."""

FIRST = datetime(2026, 4, 1, 8, tzinfo=UTC)


def along(corners: list[tuple[float, float]], step_m: float = 2.0) -> tuple[Array, Array]:
    """x and y, metres, every ``step_m`` along straight lines between corners."""
    x, y = np.array(corners, dtype=float).T
    length = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    at = np.arange(0.0, length[-1], step_m)
    return np.interp(at, length, x), np.interp(at, length, y)


def curved(seed: int, length_m: float = 3000.0, step_m: float = 2.0) -> tuple[Array, Array]:
    """A way that winds as paths do and never comes back on itself."""
    rng = np.random.default_rng(seed)
    s = np.arange(0.0, length_m, step_m)
    turn = sum(
        rng.uniform(0.2, 0.5) * np.sin(2.0 * np.pi * s / rng.uniform(300.0, 1200.0) + rng.uniform(0.0, 6.0))
        for _ in range(3)
    )
    heading = rng.uniform(0.0, 6.0) + turn
    return np.cumsum(np.cos(heading)) * step_m, np.cumsum(np.sin(heading)) * step_m


def off(size: int, metres: float, rng: np.random.Generator, memory: float = 30.0) -> tuple[Array, Array]:
    """East and north error of a receiver: ``metres`` in each direction, wandering over some dozen fixes."""
    keep = np.exp(-1.0 / memory)
    steps = rng.normal(0.0, metres * np.sqrt(1.0 - keep**2), (2, size))
    state, found = rng.normal(0.0, metres, 2), np.empty((2, size))
    for k in range(size):
        state = keep * state + steps[:, k]
        found[:, k] = state
    return found[0], found[1]


def way(
    x_m: Array,
    y_m: Array,
    day: float = 0.0,
    elevation_m: Array | float = 500.0,
    hr_bpm: float = 130.0,
    speed_mps: float = 1.5,
    plane: Plane = HUT,
    work_w_per_kg: float = 6.0,
    error: tuple[Array, Array] | None = None,
    **facts: object,
) -> Way:
    """The way through points gone at one speed with one heart rate; ``error`` is the receiver's."""
    t = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x_m), np.diff(y_m)))]) / speed_mps
    if error is not None:
        x_m, y_m = x_m + error[0], y_m + error[1]
    line = thinned_line(t, *plane.degrees(x_m, y_m))
    at = line.t_s
    height = np.interp(at, t, np.broadcast_to(elevation_m, t.shape))
    told = {
        "start_utc": FIRST + timedelta(days=day),
        "utc_offset_s": 0.0,
        "kind": WALK,
        "sport": "hiking",
        "on_bike": False,
        "work_source": MODELLED,
        "temperature_c": None,
        **facts,
    }
    values = WayValues(
        at,
        np.diff(at, append=at[-1:]),
        height,
        np.full(at.shape, hr_bpm),
        np.full(at.shape, work_w_per_kg),
        np.zeros(at.shape),
    )
    return Way(line.points, values, WayFacts(**told))  # type: ignore[arg-type]


def route_of(recording: Recording) -> Route:
    """The way of a recording with distance, to be gone again."""
    samples = recording.samples
    names = ("distance_m", "elevation_m", "lat_deg", "lon_deg")
    distance, height, lat, lon = (samples[name] for name in names)
    known = np.isfinite(distance)
    along = np.maximum.accumulate(distance[known])
    along = along - along[0]
    kept = known.nonzero()[0]
    return Route(along, height[kept], lat[kept], lon[kept], recording.title, recording.file_name)
