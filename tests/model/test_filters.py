"""Filters and the normal distribution in plain NumPy, against SciPy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import ndimage, special

from slopebeat.model.filters import gaussian, running_median
from slopebeat.model.normal import REACH_95, share_below, shares_below


@pytest.mark.parametrize("count", [1, 2, 5, 31, 500])
@pytest.mark.parametrize("size", [3, 13, 31])
@pytest.mark.parametrize(("edge", "mode"), [("edge", "nearest"), ("symmetric", "reflect")])
def test_running_median_is_scipys(count: int, size: int, edge: str, mode: str) -> None:
    values = np.random.default_rng(count * size).normal(size=count).round(1)
    np.testing.assert_array_equal(
        running_median(values, size, edge), ndimage.median_filter(values, size, mode=mode)
    )


@pytest.mark.parametrize("count", [1, 3, 40, 1000])
@pytest.mark.parametrize("sigma", [0.7, 4.0, 15.5])
def test_gaussian_is_scipys(count: int, sigma: float) -> None:
    values = np.random.default_rng(count).normal(500.0, 80.0, count)
    theirs = ndimage.gaussian_filter1d(values, sigma, mode="nearest", truncate=4.0)
    np.testing.assert_allclose(gaussian(values, sigma), theirs, rtol=1e-13)


def test_the_normal_distribution_is_scipys() -> None:
    z = np.linspace(-12.0, 12.0, 481)
    np.testing.assert_allclose(shares_below(z), special.ndtr(z), rtol=1e-12)
    assert [share_below(value) for value in z] == shares_below(z).tolist()
    assert math.isnan(share_below(math.nan))
    assert pytest.approx(float(special.ndtri(0.975)), rel=1e-14) == REACH_95
