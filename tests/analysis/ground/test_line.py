"""The thinned line of an outing."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.ways import HUT, along, curved, off
from slopebeat.analysis.ground.plane import Plane, thinned_line
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.way import POINT_M


@given(
    st.floats(-80.0, 80.0), st.floats(-180.0, 179.0), st.floats(-4000.0, 4000.0), st.floats(-4000.0, 4000.0)
)
@settings(max_examples=60, deadline=None)
def test_metres_on_the_plane_are_those_of_the_great_circle(
    lat: float, lon: float, x: float, y: float
) -> None:
    """Beside the haversine formula, within what a plane can do so near."""
    plane = Plane(lat, lon)
    there = plane.degrees(np.array([x]), np.array([y]))
    found = float(great_circle_m(lat, lon, *there)[0])
    assert found == pytest.approx(np.hypot(x, y), rel=0.006, abs=0.01)
    assert np.allclose(plane.metres(*there), [[x], [y]], atol=1e-3)


def test_points_lie_ten_metres_apart_on_the_way() -> None:
    x, y = curved(3)
    line = thinned_line(np.arange(float(x.size)), *HUT.degrees(x, y))
    back = HUT.metres(line.points.lat_deg, line.points.lon_deg)
    apart = np.hypot(np.diff(back[0]), np.diff(back[1]))
    assert np.median(apart) == pytest.approx(POINT_M, abs=0.5)
    nearest = np.array([np.hypot(x - a, y - b).min() for a, b in zip(*back, strict=True)])
    assert nearest.max() < 5.0
    assert set(line.points.piece.tolist()) == {0}
    assert np.all(np.diff(line.t_s) > 0.0)


def test_standing_adds_no_way() -> None:
    rng = np.random.default_rng(1)
    x, y = along([(0.0, 0.0), (1000.0, 0.0)])
    wander = off(1200, 2.0, rng)
    stood_x, stood_y = (
        np.concatenate([v[:250], v[250] + w, v[250:]]) for v, w in zip((x, y), wander, strict=True)
    )
    t = np.arange(float(stood_x.size))
    gone = thinned_line(np.arange(float(x.size)), *HUT.degrees(x, y))
    stood = thinned_line(t, *HUT.degrees(stood_x, stood_y))
    assert len(stood.points) == pytest.approx(len(gone.points), abs=6)


def test_a_hole_begins_a_new_piece_and_a_jump_is_left_out() -> None:
    x, y = along([(0.0, 0.0), (2000.0, 0.0)])
    t = np.arange(float(x.size))
    lat, lon = HUT.degrees(x, y)
    lat[400:600] = np.nan
    lat[100:103] += 0.05  # 5 km away for three seconds
    line = thinned_line(t, lat, lon)
    assert set(line.points.piece.tolist()) == {0, 1}
    back_x, back_y = HUT.metres(line.points.lat_deg, line.points.lon_deg)
    assert np.abs(back_y).max() < 5.0
    holes = np.diff(back_x)[np.diff(line.points.piece) == 1]
    assert holes == pytest.approx(400.0, abs=20.0)


@pytest.mark.parametrize("size", [0, 1, 2, 5])
def test_nothing_comes_of_nothing(size: int) -> None:
    t = np.arange(float(size))
    assert len(thinned_line(t, np.full(size, np.nan), np.full(size, np.nan)).points) == 0
    assert len(thinned_line(t, np.full(size, 46.0), np.full(size, 10.0)).points) == 0
