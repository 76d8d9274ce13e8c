"""What moving costs: graded walking and riding on rough roads, written independently of the program."""

from __future__ import annotations

import math
from dataclasses import dataclass

GRAVITY_MPS2 = 9.80665
GRADE_MIN, GRADE_MAX = -0.40, 0.45
"""Range of grades the walking equation was fitted on (Looney et al. 2019)."""
STANDING_W_PER_KG = 1.44
"""Standing still, the constant of the walking equation (Looney et al. 2019)."""


@dataclass(frozen=True)
class WalkingCost:
    """Metabolic rate of graded walking, LCDA equation (Looney et al. 2019, MSSE 51:1954-1960).

    Attributes
    ----------
    slope_factor : 1 is the published curve; 1.15 makes every slope term 15 % larger, which tilts
        the curve: climbs cost more, gentle descents less.
    """

    slope_factor: float = 1.0

    def rate_w_per_kg(self, speed_mps: float, grade: float) -> float:
        """Watts per kg of moved mass at a speed along the ground and a grade (rise over run)."""
        s = max(speed_mps, 0.0)
        g = 100.0 * min(max(grade, GRADE_MIN), GRADE_MAX)
        slope = 0.34 * s * g * (1.0 - 1.05 ** (1.0 - 1.1 ** (g + 32.0)))
        watts: float = STANDING_W_PER_KG + 1.94 * s**0.43 + 0.24 * s**4 + self.slope_factor * slope
        return watts

    def speed_mps(self, rate_w_per_kg: float, grade: float, fastest_mps: float) -> float:
        """Fastest speed up to ``fastest_mps`` that costs no more than the given rate."""
        if self.rate_w_per_kg(fastest_mps, grade) <= rate_w_per_kg:
            return fastest_mps
        # The same sums as in rate_w_per_kg, in the same order; what does not hang on the speed is taken once.
        g = 100.0 * min(max(grade, GRADE_MIN), GRADE_MAX)
        steepness = 1.0 - 1.05 ** (1.0 - 1.1 ** (g + 32.0))
        low, high = 0.0, fastest_mps
        for _ in range(18):
            s = 0.5 * (low + high)
            slope = 0.34 * s * g * steepness
            if STANDING_W_PER_KG + 1.94 * s**0.43 + 0.24 * s**4 + self.slope_factor * slope > rate_w_per_kg:
                high = s
            else:
                low = s
        return low


@dataclass(frozen=True)
class RoadLoad:
    """Mechanical road load of a bicycle, after Martin et al. 1998 (J Appl Biomech 14:276-291).

    Attributes
    ----------
    mass_kg : rider, bicycle and load together.
    slope_factor : scales the slope term, see :class:`WalkingCost`.
    rolling, drag_area_m2 : of an off-road tyre on gravel and an upright rider [invented, plausible].
    """

    mass_kg: float
    slope_factor: float = 1.0
    rolling: float = 0.018
    drag_area_m2: float = 0.50
    air_density_kg_m3: float = 1.10
    efficiency: float = 0.976
    wheel_mass_kg: float = 1.2

    @property
    def inertia_kg(self) -> float:
        """Mass with the spinning wheels added, for changes of speed."""
        return self.mass_kg + self.wheel_mass_kg

    def resistance_n(self, speed_mps: float, grade: float) -> float:
        """Force against the bicycle at a steady speed; negative where the slope pulls."""
        angle = math.atan(grade)
        weight = self.mass_kg * GRAVITY_MPS2
        air = 0.5 * self.air_density_kg_m3 * (self.drag_area_m2 + 0.0044) * speed_mps**2
        bearings = (91.0 + 8.7 * speed_mps) * 1e-3
        slope = self.slope_factor * weight * math.sin(angle)
        return air + self.rolling * weight * math.cos(angle) + bearings + slope

    def next_speed_mps(self, speed_mps: float, grade: float, pedal_w: float, fastest_mps: float) -> float:
        """Speed one second later from the balance of energy; brakes hold ``fastest_mps``.

        Below 1 m/s nobody balances: a foot pushes off.
        """
        slowest = 1.0
        v = max(speed_mps, slowest)
        for _ in range(2):
            gained_j = 0.5 * (pedal_w * self.efficiency - self.resistance_n(v, grade) * v)
            v = math.sqrt(max(v * v + 2.0 * gained_j / self.inertia_kg, slowest**2))
        return min(v, fastest_mps)

    def steady_speed_mps(self, pedal_w: float, grade: float, fastest_mps: float) -> float:
        """Steady speed up to ``fastest_mps`` for a pedal power."""
        low, high = 0.3, fastest_mps
        for _ in range(18):
            middle = 0.5 * (low + high)
            if self.resistance_n(middle, grade) * middle > pedal_w * self.efficiency:
                high = middle
            else:
                low = middle
        return low
