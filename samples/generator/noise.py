"""Slow random wandering, the shape of most errors here."""

from __future__ import annotations

import math

import numpy as np
from scipy.signal import lfilter

from .terrain import Array


def slow_noise(n: int, sd: float, tau_s: float, rng: np.random.Generator) -> Array:
    """First-order autoregressive noise, one value a second, stationary from the first.

    Parameters
    ----------
    sd : standard deviation; tau_s : seconds after which the correlation has fallen to 1/e.
    """
    keep = math.exp(-1.0 / tau_s)
    white = rng.standard_normal(n)
    start = white[0]
    white[1:] *= math.sqrt(1.0 - keep * keep)
    white[0] = start
    return np.asarray(sd * lfilter([1.0], [1.0, -keep], white))


def smooth_noise(n: int, sd: float, tau_s: float, rng: np.random.Generator) -> Array:
    """Like :func:`slow_noise`, without its second-to-second roughness: it passes a second lag."""
    rough = slow_noise(n + 400, 1.0, tau_s, rng)
    alpha = 1.0 - math.exp(-1.0 / (tau_s / 2.0))
    smooth = np.asarray(lfilter([alpha], [1.0, alpha - 1.0], rough))[400:]
    # Variance of an AR(1) of lag a passed through a first-order lag b, both in seconds: a / (a + b).
    return smooth * sd / math.sqrt(1.0 / 1.5)
