from __future__ import annotations

import gpxpy.geo
import numpy as np
import pytest

from slopebeat.model.geodesy import EARTH_RADIUS_M, great_circle_m


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
