"""Light on slopes whose light is known by geometry."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.ground.hillshade import hillshade

ROWS, COLUMNS = np.mgrid[0:7, 0:9]


def test_level_ground_takes_the_sine_of_the_suns_height() -> None:
    assert hillshade(np.full((7, 9), 500.0), 30.0, 30.0) == pytest.approx(np.sin(np.radians(45.0)))


@pytest.mark.parametrize(
    ("east", "north", "light"),
    [
        # A slope of 45 degrees that faces the light from the north-west squarely, and one that looks away.
        (1.0, -1.0, 1.0),
        (-1.0, 1.0, 0.0),
    ],
)
def test_a_slope_facing_the_light_is_bright_and_one_behind_dark(
    east: float, north: float, light: float
) -> None:
    height = (COLUMNS * east - ROWS * north) * 30.0 / np.sqrt(2.0)
    assert hillshade(height, 30.0, 30.0)[1:-1, 1:-1] == pytest.approx(light, abs=1e-9)


def test_any_plane_is_lit_by_the_angle_between_its_normal_and_the_light() -> None:
    rise_east, rise_north = 0.3, 0.2
    height = COLUMNS * 25.0 * rise_east - ROWS * 40.0 * rise_north
    normal = np.array([-rise_east, -rise_north, 1.0])
    sun = np.array([-0.5, 0.5, np.sqrt(0.5)])
    wanted = normal @ sun / np.linalg.norm(normal)
    assert hillshade(height, 25.0, 40.0)[1:-1, 1:-1] == pytest.approx(wanted)


def test_beside_a_hole_nothing_is_known() -> None:
    height = np.full((7, 9), 100.0)
    height[3, 4] = np.nan
    light = hillshade(height, 30.0, 30.0)
    assert np.isnan(light[2:5, 3:6]).sum() == 8 + 0
    assert np.isfinite(light[0]).all()
