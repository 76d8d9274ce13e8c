"""Loops drawn by hand, on ways whose geometry is known."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.model.errors import UserError
from slopebeat.model.numerics import EARTH_RADIUS_M
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


def legs_meeting(side_m: float, sine: float) -> Route:
    """Out along a straight leg, across, and back along another to where the first began: two legs ``side_m``
    long, each off the axis between them by an angle of this sine."""
    cosine = (1.0 - sine**2) ** 0.5
    corners = [(0.0, 0.0), (side_m * cosine, side_m * sine), (side_m * cosine, -side_m * sine), (0.0, 0.0)]
    east, north = (np.array([c[k] for c in corners]) for k in (0, 1))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(east), np.diff(north)))))
    at = np.linspace(0.0, along[-1], round(along[-1] / 10.0) + 1)
    lon, lat = (np.degrees(np.interp(at, along, each) / EARTH_RADIUS_M) for each in (east, north))
    return Route(at, np.zeros(at.size), lat, lon)


@pytest.mark.parametrize("sine", [0.15, 0.25])
def test_a_hand_is_moved_only_where_it_brings_more_than_a_fifth_of_the_way(sine: float) -> None:
    """Ends ``s`` from where the legs meet lie 2 s sin apart; both moved by a metre, two in all, they are
    2 sin closer. So they move where sin is over 0.2."""
    way = legs_meeting(1000.0, sine)
    loop = snapped_loop(way, 500.0, way.length_m - 500.0)
    moved = loop.start_m < 500.0
    assert moved == (sine > 0.2)
    assert loop.apart_m == pytest.approx(2.0 * loop.start_m * sine, abs=12.0 * sine)


@pytest.mark.parametrize(
    ("side_m", "reach_m"),
    [
        (500.0, 50.0),  # 2 % of 1.4 km are 28 m: fifty at least
        (3000.0, 168.0),  # 2 % of 8.4 km
        (8000.0, 300.0),  # 2 % of 22.4 km are 448 m: three hundred at most
    ],
)
def test_an_end_moves_by_two_percent_of_the_way_within_bounds(side_m: float, reach_m: float) -> None:
    """With a sine of 0.4 moving always pays, so ends go as far as they may, to whole tens of metres."""
    way = legs_meeting(side_m, 0.4)
    start, end = 400.0, way.length_m - 400.0
    loop = snapped_loop(way, start, end)
    assert start - reach_m <= loop.start_m < start - reach_m + 10.0
    assert end + reach_m - 10.0 < loop.end_m <= end + reach_m


def test_an_end_moves_by_no_more_than_a_third_of_the_loop() -> None:
    way = legs_meeting(8000.0, 0.4)
    start, end = way.length_m / 2 - 150.0, way.length_m / 2 + 150.0
    loop = snapped_loop(way, start, end)
    assert abs(loop.start_m - start) <= 105.0
    assert abs(loop.end_m - end) <= 105.0
