"""The heart's answer to work, climbing and sinking: delayed, lagged, with a slow part to work."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.response.grid import STEP_S
from slopebeat.analysis.response.lag import Array, delayed, lag_at, lag_means
from slopebeat.analysis.response.priors import SLOW_S


class LaggedInputs:
    """(m, 4) lagged inputs for any kinetics, each lag computed once.

    Columns: work, climbing, sinking, and the slow part ``L200[work] - L[work]``, as means of each step.
    """

    def __init__(self, inputs: Array) -> None:
        self._inputs = inputs
        self._slow = lag_means(inputs[:, 0], STEP_S, SLOW_S)
        self._known: dict[float, Array] = {}

    def __call__(self, tau_s: float, delay_s: float) -> Array:
        if tau_s not in self._known:
            quick = lag_means(self._inputs, STEP_S, tau_s)
            self._known[tau_s] = np.column_stack([quick, self._slow - quick[:, 0]])
        return delayed(self._known[tau_s], round(delay_s / STEP_S))


def lagged_at(inputs: Array, tau_s: float, delay_s: float, t_s: Array) -> Array:
    """(n, 4) the same columns at any times ``t_s``, for (m, 3) inputs on steps of ``STEP_S``."""
    at = np.maximum(t_s - delay_s, 0.0)
    quick = lag_at(inputs, STEP_S, tau_s, at)
    slow = lag_at(inputs[:, 0], STEP_S, SLOW_S, at)
    return np.column_stack([quick, slow - quick[:, 0]])
