"""Steps per minute from what devices record as cadence."""

from __future__ import annotations

import numpy as np

from slopebeat.model.track import Array

GOING_PER_MIN = 20.0
"""A lower cadence is standing about [project choice]."""

BOTH_LEGS_PER_MIN = 110.0
"""A usual cadence over this counts both legs: nobody takes 220 steps a minute for long [project choice]."""


def step_rate_per_min(cadence_rpm: Array) -> Array:
    """(n,) steps per minute of both legs from a cadence that may count one leg or both; NaN where absent."""
    with np.errstate(invalid="ignore"):
        going = cadence_rpm[cadence_rpm > GOING_PER_MIN]
    both = going.size > 0 and float(np.median(going)) > BOTH_LEGS_PER_MIN
    return cadence_rpm if both else 2.0 * cadence_rpm
