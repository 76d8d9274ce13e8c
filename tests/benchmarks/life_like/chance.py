"""Random courses the worlds are made of."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d
from scipy.signal import lfilter

Array = NDArray[np.float64]
Rng = np.random.Generator


def wander(rng: Rng, n: int, sd: float, forget_s: float) -> Array:
    """First-order random process of one step a second (or a metre)."""
    keep = np.exp(-1.0 / forget_s)
    steps = rng.normal(0.0, sd * np.sqrt(1.0 - keep**2), n)
    steps[0] = rng.normal(0.0, sd)
    return np.asarray(lfilter([1.0], [1.0, -keep], steps))


def waves(rng: Rng, n: int, width: float) -> Array:
    """Smooth random course of unit deviation."""
    body = gaussian_filter1d(rng.normal(0.0, 1.0, n), width, mode="wrap")
    return np.asarray(body / body.std())


def patches(rng: Rng, n: int, spread: float, lengths: tuple[float, float]) -> Array:
    """Factors about one, even within ``spread`` either way, each holding for a length drawn from a range."""
    out, at = np.ones(n), 0
    while at < n:
        length = int(rng.uniform(*lengths))
        out[at : at + length] = 1.0 + rng.uniform(-spread, spread)
        at += length
    return out
