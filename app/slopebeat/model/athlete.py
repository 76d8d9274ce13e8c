"""What the review needs to know of the athlete, the equipment and the aim."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slopebeat.model.bands import Band

DEFAULT_BODY_MASS_KG = 75.0
"""Stated default until the user gives a body mass [project choice]."""

DEFAULT_BIKE_MASS_KG = 14.0
"""Stated default mass of a mountain bike [project choice]."""

DEFAULT_TARGET_S = 45 * 60.0
"""Stated default for the prescribed time in band of one session [project choice]."""

DEFAULT_DRIFT_THRESHOLD_PERCENT = 5.0
"""Decoupling under which the band's upper edge passes a drift test; common practice, not validated."""


@dataclass(frozen=True)
class Aim:
    """Band, target and masses one outing is reviewed with.

    Attributes
    ----------
    band : None until the user has chosen one: it is asked, never silently assumed.
    target_s : prescribed time in band. body_mass_kg, bike_mass_kg : masses moved.
    load_kg : load carried from the start until ``load_until_s``, or throughout where that is None.
    drift_threshold_percent : decoupling that is still called little, the user's choice.
    """

    band: Band | None = None
    target_s: float = DEFAULT_TARGET_S
    body_mass_kg: float = DEFAULT_BODY_MASS_KG
    load_kg: float = 0.0
    bike_mass_kg: float = DEFAULT_BIKE_MASS_KG
    load_until_s: float | None = None
    drift_threshold_percent: float = DEFAULT_DRIFT_THRESHOLD_PERCENT

    def load_at(self, t_s: ArrayLike) -> NDArray[np.float64]:
        """Load carried at each time, kg."""
        t = np.asarray(t_s, dtype=float)
        until = np.inf if self.load_until_s is None else self.load_until_s
        return np.where(t < until, self.load_kg, 0.0)
