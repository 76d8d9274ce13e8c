"""What going at a speed on a grade costs somebody on a planned way, and the speed a cost allows.

The speed that keeps a heart rate is work and slope turned round, for whole ways and many answers at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from slopebeat.analysis.response.level_speed import FASTEST_MPS
from slopebeat.analysis.response.work_rate import (
    MINETTI_GRADE,
    air_density_kg_m3,
    foot_w_per_kg,
    road_load_w,
)
from slopebeat.model.track import Array

SLOWEST_MPS = {False: 0.25, True: 0.8}
"""By on_bike: slower than this is standing, or pushing the bicycle [project choice]."""

LOAD_SLOWS_FROM_GRADE = 0.0
"""A load slows who pays for it with breath: on the level and uphill the work rate is kept, downhill, where
feet and brakes set the pace, the speed is [project choice]."""

_BISECTIONS = 22


@dataclass(frozen=True)
class Going:
    """Who goes, and how: on foot or on a bicycle; masses in kg."""

    on_bike: bool
    body_mass_kg: float
    bike_mass_kg: float = 0.0
    air_kg_m3: float = 1.225

    @classmethod
    def at(cls, on_bike: bool, body_mass_kg: float, bike_mass_kg: float, elevation_m: float) -> Going:
        """The same with the air of a mean elevation."""
        air = float(air_density_kg_m3(elevation_m))
        return cls(on_bike, body_mass_kg, bike_mass_kg if on_bike else 0.0, air)

    def work_w_per_kg(self, speed_mps: ArrayLike, grade: ArrayLike, load_kg: ArrayLike = 0.0) -> Array:
        """Steady work rate per kg of body mass (broadcast): metabolic on foot, at the pedals on a bike."""
        load = np.asarray(load_kg, dtype=float)
        if not self.on_bike:
            cost = foot_w_per_kg(speed_mps, grade)
            return np.asarray(cost * (self.body_mass_kg + load) / self.body_mass_kg)
        held = np.clip(np.asarray(grade, dtype=float), *MINETTI_GRADE)
        mass = self.body_mass_kg + self.bike_mass_kg + load
        power = road_load_w(speed_mps, held, mass, air_kg_m3=self.air_kg_m3)
        return np.asarray(np.maximum(power, 0.0) / self.body_mass_kg)

    def speed_for(self, work_w_per_kg: ArrayLike, grade: ArrayLike, load_kg: ArrayLike = 0.0) -> Array:
        """Fastest speed that costs no more than a work rate (broadcast), within slowest and fastest."""
        wanted = np.asarray(work_w_per_kg, dtype=float)
        shape = np.broadcast_shapes(wanted.shape, np.shape(grade), np.shape(load_kg))
        low = np.full(shape, SLOWEST_MPS[self.on_bike])
        high = np.full(shape, FASTEST_MPS[self.on_bike])
        free = self.work_w_per_kg(high, grade, load_kg) <= wanted
        for _ in range(_BISECTIONS):
            middle = 0.5 * (low + high)
            over = self.work_w_per_kg(middle, grade, load_kg) > wanted
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        return np.asarray(np.where(free, FASTEST_MPS[self.on_bike], low))

    def with_load(self, speed_mps: Array, grade: Array, load_kg: Array) -> Array:
        """The speed under a load of who goes at ``speed_mps`` without one."""
        kept = self.speed_for(self.work_w_per_kg(speed_mps, grade), grade, load_kg)
        slows = (grade >= LOAD_SLOWS_FROM_GRADE) & (load_kg > 0.0)
        return np.asarray(np.where(slows, np.minimum(kept, speed_mps), speed_mps))


SPEED_STEPS = 90
"""Speeds tried, evenly spaced in their logarithm and joined by straight lines [project choice]."""

BLOCK = 64
"""Steps of the way worked out at a time: with 400 runs they stay in the processor's cache, and a plan that is
no longer wanted stops soon [project choice]."""


def speed_at_bpm(
    going: Going,
    coefficients: Array,
    wanted_bpm: Array,
    grade: Array,
    load_kg: Array,
) -> Array:
    """Lowest speed whose steady heart rate reaches a wanted one.

    Parameters
    ----------
    coefficients : (m, 5) heart rate at no work, drift, beats per W/kg, per m/s climbing and sinking.
    wanted_bpm : (m, n), drift already taken off.
    grade, load_kg : (n,) of each step of the way.

    Returns
    -------
    (m, n) speed: the slowest one where even that is too much, infinite where every speed stays under.
    """
    speeds = np.geomspace(SLOWEST_MPS[going.on_bike], FASTEST_MPS[going.on_bike], SPEED_STEPS)
    work = np.maximum(going.work_w_per_kg(speeds[:, None], grade, load_kg), 0.0)
    found = np.empty(wanted_bpm.shape)
    for first in range(0, grade.size, BLOCK):
        here = slice(first, first + BLOCK)
        found[:, here] = _crossings(coefficients, wanted_bpm[:, here], grade[here], work[:, here], speeds)
    return found


def _crossings(coefficients: Array, wanted_bpm: Array, grade: Array, work: Array, speeds: Array) -> Array:
    """(m, n) speed where the steady heart rate first reaches a wanted one; ``work`` (k, n) at each speed."""
    gain = coefficients[:, 2:3]
    # Ground goes up or down: one slope coefficient for each step, and the speed turns it into beats.
    slope = np.where(grade > 0.0, coefficients[:, 3:4], -coefficients[:, 4:5]) * grade
    lacking = wanted_bpm - coefficients[:, 0:1]
    before = gain * work[0] + slope * speeds[0]
    found = np.where(before >= lacking, speeds[0], np.inf)
    for k in range(1, speeds.size):
        at = gain * work[k] + slope * speeds[k]
        crossing = np.isinf(found) & (at >= lacking)
        if crossing.any():
            share = (lacking - before)[crossing] / np.maximum((at - before)[crossing], 1e-9)
            found[crossing] = speeds[k - 1] + np.clip(share, 0.0, 1.0) * (speeds[k] - speeds[k - 1])
        before = at
    return found
