"""The heart's response: linear in work, late by a first-order lag, drifting, unsteady."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .noise import slow_noise
from .terrain import Array


@dataclass(frozen=True)
class Heart:
    """``hr = hr0 + gain L[w] + drift t``, L a first-order lag; plus slow noise.

    Attributes
    ----------
    hr0_bpm : at no work (an intercept, not a resting heart rate).
    gain : bpm per W/kg. tau_up_s, tau_down_s : lag while rising and while falling.
    """

    hr0_bpm: float
    gain_bpm_per_w_per_kg: float
    tau_up_s: float
    tau_down_s: float
    drift_bpm_per_h: float

    def steady_bpm(self, work_w_per_kg: float, t_s: float) -> float:
        """Heart rate that constant work would settle at, at a time of the outing."""
        return self.hr0_bpm + self.gain_bpm_per_w_per_kg * work_w_per_kg + self.drift_bpm_per_h * t_s / 3600.0

    def response_bpm(self, work_w_per_kg: Array) -> Array:
        """Heart rate without noise, one value a second, at rest on the first."""
        up, down = (1.0 - math.exp(-1.0 / tau) for tau in (self.tau_up_s, self.tau_down_s))
        lagged = float(work_w_per_kg[0])
        out = np.empty(work_w_per_kg.size)
        for i, work in enumerate(work_w_per_kg.tolist()):
            lagged += (work - lagged) * (up if work > lagged else down)
            out[i] = lagged
        hours = np.arange(out.size) / 3600.0
        return self.hr0_bpm + self.gain_bpm_per_w_per_kg * out + self.drift_bpm_per_h * hours

    def true_bpm(self, work_w_per_kg: Array, sd_bpm: float, tau_s: float, rng: np.random.Generator) -> Array:
        response = self.response_bpm(work_w_per_kg)
        return response + slow_noise(response.size, sd_bpm, tau_s, rng)
