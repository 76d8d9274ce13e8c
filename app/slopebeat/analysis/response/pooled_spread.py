"""Spreads between outings: most likely ones under a weak prior, so that two outings do not invent one."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from slopebeat.model.track import Array

PRIOR_LOG_SD = 0.7
"""How far, as a factor e^0.7 = 2, a spread may be from its usual size [project choice]."""


def likely_spreads(usual: Array, log_likelihood: Callable[[Array], float]) -> Array:
    """(k,) deviations that make the data likeliest, each drawn towards its usual size.

    Parameters
    ----------
    usual : (k,) positive, where the search starts.
    log_likelihood : of the data, the means integrated out, for (k,) deviations.
    """
    from scipy.optimize import minimize

    start = np.log(usual)

    def lack(x: Array) -> float:
        return float(np.sum((x - start) ** 2)) / (2.0 * PRIOR_LOG_SD**2) - log_likelihood(np.exp(x))

    found = minimize(
        lack, start, method="Nelder-Mead", options={"xatol": 0.02, "fatol": 0.02, "maxiter": 600}
    )
    return np.asarray(np.exp(found.x), dtype=float)
