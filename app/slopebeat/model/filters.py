"""Running medians and Gaussian means of even series, in plain NumPy.

SciPy's filters say the same, and tests hold both side by side; loading them takes longer than reviewing an
outing.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Array = NDArray[np.float64]


def running_median(values: Array, size: int, edge: Literal["edge", "symmetric"] = "edge") -> Array:
    """Median of the ``size`` (odd) values about each of (n,) finite values.

    Beyond the ends the last value goes on (``edge``), or the values come back (``symmetric``), as in
    :func:`numpy.pad`.
    """
    if values.size == 0:
        return np.zeros(0)
    half = size // 2
    windows = sliding_window_view(np.pad(values, half, mode=edge), size)
    return np.asarray(np.partition(windows, half, axis=1)[:, half])


def gaussian(values: Array, sigma: float, reach: float = 4.0) -> Array:
    """(n,) values averaged with Gaussian weights of ``sigma`` steps, cut off at ``reach`` sigmas.

    Beyond the ends the last value goes on.
    """
    half = int(reach * sigma + 0.5)
    weights = np.exp(-0.5 * (np.arange(-half, half + 1) / sigma) ** 2)
    weights /= weights.sum()
    return np.convolve(np.pad(values, half, mode="edge"), weights, mode="valid")
