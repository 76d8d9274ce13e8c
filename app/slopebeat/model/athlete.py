"""What the review needs to know of the athlete, the equipment and the aim."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.model.bands import Band

DEFAULT_BODY_MASS_KG = 75.0
"""Stated default until the user gives a body mass [project choice]."""

DEFAULT_BIKE_MASS_KG = 14.0
"""Stated default mass of a mountain bike [project choice]."""

DEFAULT_TARGET_S = 45 * 60.0
"""Stated default for the prescribed time in band of one session [project choice]."""


@dataclass(frozen=True)
class Aim:
    """Band, target and masses one outing is reviewed with.

    ``band`` is None until the user has chosen one: it is asked, never silently assumed.
    """

    band: Band | None = None
    target_s: float = DEFAULT_TARGET_S
    body_mass_kg: float = DEFAULT_BODY_MASS_KG
    load_kg: float = 0.0
    bike_mass_kg: float = DEFAULT_BIKE_MASS_KG
