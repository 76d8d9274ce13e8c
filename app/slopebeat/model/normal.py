"""The normal distribution, by the standard library: SciPy's takes longer to load than an outing to review."""

from __future__ import annotations

from math import erfc, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_ROOT_2 = sqrt(2.0)

REACH_80, REACH_95 = 1.2815515655446004, 1.959963984540054
"""Standard deviations to either side that hold 80 and 95 % of a normal distribution."""


def share_below(z: float) -> float:
    """How much of a standard normal distribution lies below ``z``; NaN stays NaN."""
    # By the tail's own function, so that what is nearly nothing keeps its digits.
    return 0.5 * erfc(-z / _ROOT_2)


def shares_below(z: Array) -> Array:
    """:func:`share_below` of (n,) values."""
    return np.array([0.5 * erfc(-value / _ROOT_2) for value in z.tolist()])
