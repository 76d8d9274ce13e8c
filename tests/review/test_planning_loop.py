"""Loops drawn by hand, on ways whose geometry is known."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.model.errors import UserError
from slopebeat.model.geodesy import EARTH_RADIUS_M
from slopebeat.model.route import Route
from slopebeat.review.planning.loop import loop_at, snapped_loop

SIDE_M = 1000.0


def square() -> Route:
    """500 m to a square of 1 km sides, once around, and back: the ring closes from 500 m to 4500 m."""
    corners = [(0, -500), (0, 0), (1000, 0), (1000, 1000), (0, 1000), (0, 0), (0, -500)]
    east, north = (np.array([c[k] for c in corners], dtype=float) for k in (0, 1))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(east), np.diff(north)))))
    at = np.arange(0.0, along[-1] + 1.0, 10.0)
    # On the equator a metre is the same angle both ways.
    lon, lat = (np.degrees(np.interp(at, along, each) / EARTH_RADIUS_M) for each in (east, north))
    return Route(at, np.zeros(at.size), lat, lon)


def test_ends_drawn_beside_the_crossing_move_to_it() -> None:
    loop = snapped_loop(square(), 560.0, 4470.0)
    # Within the square the ends lie on different sides: only at the crossing, or before it, do they meet.
    assert loop.start_m <= 500.0
    assert loop.end_m - loop.start_m == pytest.approx(4000.0 + 2 * (500.0 - loop.start_m))
    assert loop.apart_m == pytest.approx(0.0, abs=1.0)
    assert loop.closed


def test_the_order_of_drawing_does_not_matter() -> None:
    assert snapped_loop(square(), 4470.0, 560.0) == snapped_loop(square(), 560.0, 4470.0)


def test_typed_ends_stay_and_are_measured() -> None:
    # A corner and the one opposite: the diagonal of the square.
    loop = loop_at(square(), 500.0, 2500.0)
    assert (loop.start_m, loop.end_m) == (500.0, 2500.0)
    assert loop.apart_m == pytest.approx(SIDE_M * 2**0.5, rel=1e-3)
    assert loop.closed is False


def test_without_positions_nobody_knows_whether_it_closes() -> None:
    flat = Route.of_profile(np.array([0.0, 5000.0]), np.zeros(2))
    loop = snapped_loop(flat, 1004.0, 2996.0)
    assert (loop.start_m, loop.end_m) == (1000.0, 3000.0)
    assert loop.closed is None


@pytest.mark.parametrize("ends", [(1000.0, 1050.0), (9000.0, 9999.0)])
def test_a_stretch_too_short_or_off_the_way_is_refused(ends: tuple[float, float]) -> None:
    for mark in (snapped_loop, loop_at):
        with pytest.raises(UserError, match="at least 100 m"):
            mark(square(), *ends)
