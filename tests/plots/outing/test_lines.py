"""The way beside itself: always on the right of the direction of travel, by as many pixels at every scale."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.plots.outing.lines import APART_PX, to_the_right


@pytest.mark.parametrize(
    ("over_m", "up_m", "side"),
    # Right of one who goes east is south, of one who goes north east: by the compass.
    [(1.0, 0.0, (0.0, -1.0)), (0.0, 1.0, (1.0, 0.0)), (-1.0, 0.0, (0.0, 1.0)), (0.0, -1.0, (-1.0, 0.0))],
)
def test_a_straight_way_lies_on_the_right_hand(over_m: float, up_m: float, side: tuple[float, float]) -> None:
    steps = np.arange(50.0)
    right, up = to_the_right(over_m * steps, up_m * steps, metres_per_px=2.0)
    assert right == pytest.approx(np.full(50, side[0] * APART_PX * 2.0))
    assert up == pytest.approx(np.full(50, side[1] * APART_PX * 2.0))


def test_there_and_back_lie_apart_by_twice_as_much() -> None:
    there = np.arange(0.0, 500.0, 5.0)
    east = np.concatenate([there, there[::-1]])
    _, up = to_the_right(east, np.zeros(east.size), metres_per_px=3.0)
    at = 40
    assert east[at] == east[-1 - at]
    assert up[-1 - at] - up[at] == pytest.approx(2.0 * APART_PX * 3.0)


def test_jitter_of_the_receiver_does_not_turn_the_side() -> None:
    rng = np.random.default_rng(4)
    east = np.arange(400.0)
    north = rng.normal(0.0, 0.5, 400)
    _, up = to_the_right(east, north, metres_per_px=2.0)
    assert (up < 0.0).all()


def test_who_goes_nowhere_is_drawn_where_he_is() -> None:
    right, up = to_the_right(np.zeros(5), np.zeros(5), metres_per_px=2.0)
    assert not right.any()
    assert not up.any()
    assert to_the_right(np.zeros(1), np.zeros(1), 1.0)[0].tolist() == [0.0]
