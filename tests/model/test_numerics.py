"""Filters and the normal distribution in plain NumPy, against SciPy."""

from __future__ import annotations

import math
from typing import Literal

import gpxpy.geo
import numpy as np
import pytest
from scipy import ndimage, special, stats

from slopebeat.model.numerics import (
    EARTH_RADIUS_M,
    REACH_95,
    continued,
    distinct,
    gaussian,
    great_circle_m,
    median,
    odds_of_t,
    quantile,
    running_median,
    share_below,
    shares_below,
)


@pytest.mark.parametrize("count", [1, 2, 5, 31, 500])
@pytest.mark.parametrize("size", [3, 13, 31])
@pytest.mark.parametrize(("edge", "mode"), [("edge", "nearest"), ("symmetric", "reflect")])
def test_running_median_is_scipys(
    count: int, size: int, edge: Literal["edge", "symmetric"], mode: str
) -> None:
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


@pytest.mark.parametrize("count", [1, 2, 3, 10, 101, 1440])
def test_median_and_quantiles_are_numpys_to_the_last_bit(count: int) -> None:
    values = np.random.default_rng(count).normal(140.0, 20.0, count)
    assert median(values) == np.median(values)
    for share in (0.0, 0.005, 0.4, 0.95, 0.98, 1.0):
        assert quantile(values, share) == np.quantile(values, share)


def test_distinct_values_are_numpys() -> None:
    rng = np.random.default_rng(5)
    for count in (0, 1, 2, 50):
        for values in (rng.integers(-4, 5, count), rng.integers(0, 3, count) / 3.0):
            np.testing.assert_array_equal(distinct(values), np.unique(values), strict=True)


@pytest.mark.parametrize("count", [1, 2, 7, 300])
def test_a_steady_rise_goes_on_beyond_its_ends(count: int) -> None:
    rise = 3.0 + 0.5 * np.arange(float(count))
    wanted = 3.0 + 0.5 * np.arange(-12.0, count + 12.0) if count > 1 else np.full(25, 3.0)
    np.testing.assert_allclose(continued(rise, 12), wanted, atol=1e-12)


def test_the_normal_distribution_is_scipys() -> None:
    z = np.linspace(-12.0, 12.0, 481)
    np.testing.assert_allclose(shares_below(z), special.ndtr(z), rtol=1e-12)
    assert [share_below(value) for value in z] == shares_below(z).tolist()
    assert math.isnan(share_below(math.nan))
    assert pytest.approx(float(special.ndtri(0.975)), rel=1e-14) == REACH_95


def test_a_quarter_of_a_meridian_is_a_quarter_of_the_circle() -> None:
    assert great_circle_m(0, 11, 90, 11) == pytest.approx(np.pi / 2 * EARTH_RADIUS_M)


def test_distances_agree_with_an_independent_library() -> None:
    # gpxpy's own haversine uses a radius of 6378.137 km, the equator's.
    rng = np.random.default_rng(5)
    lat, lon = rng.uniform(-70, 70, 50), rng.uniform(-179, 179, 50)
    for i in range(49):
        theirs = gpxpy.geo.haversine_distance(lat[i], lon[i], lat[i + 1], lon[i + 1])
        ours = great_circle_m(lat[i], lon[i], lat[i + 1], lon[i + 1])
        assert ours / EARTH_RADIUS_M == pytest.approx(theirs / 6378137.0, rel=1e-6)


@pytest.mark.parametrize(("t", "freedom"), [(0.0, 2.0), (0.5, 3.3), (2.0, 10.0), (3.1, 25.5), (6.0, 110.0)])
def test_odds_of_students_t_are_those_of_the_reference_library(t: float, freedom: float) -> None:
    assert odds_of_t(t, freedom) == pytest.approx(2.0 * stats.t.sf(t, freedom), abs=1e-6)
