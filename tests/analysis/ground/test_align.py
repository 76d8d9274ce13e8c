"""Stretches that two ways go together, on ground whose truth is known and beside a second implementation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from analysis.ground.brute_force import patches
from helpers.ways import HUT, along, curved, off
from slopebeat.analysis.ground.align import DirectedPoints, SharedStretch, shared_stretches
from slopebeat.analysis.ground.cells import cells_around, cells_of
from slopebeat.analysis.ground.plane import thinned_line
from slopebeat.model.track import Array
from slopebeat.model.way import POINT_M, WayPoints

LEAST_M = 500.0

Places = tuple[Array, Array]


def points(places: Places, error_m: float = 0.0, seed: int = 0) -> WayPoints:
    x, y = places
    if error_m:
        rng = np.random.default_rng(seed)
        x, y = (v + w for v, w in zip((x, y), off(x.size, error_m, rng), strict=True))
    return thinned_line(np.arange(0.0, x.size), *HUT.degrees(x, y)).points


def together(one: WayPoints, other: WayPoints, least_m: float = LEAST_M) -> tuple[SharedStretch, ...]:
    return shared_stretches(DirectedPoints.of(one, HUT), DirectedPoints.of(other, HUT), least_m)


def joined(*parts: Places) -> Places:
    """One way after the other, each shifted to begin where the one before ended."""
    xs, ys = [parts[0][0]], [parts[0][1]]
    for x, y in parts[1:]:
        xs.append(x - x[0] + xs[-1][-1])
        ys.append(y - y[0] + ys[-1][-1])
    return np.concatenate(xs), np.concatenate(ys)


# One way of some thousands is found shorter than this (seed 2273 at 5 m): the same ways each time.
@given(st.integers(0, 10_000), st.floats(0.0, 5.0))
@settings(max_examples=25, deadline=None, derandomize=True)
def test_a_way_gone_twice_is_found_whole(seed: int, error_m: float) -> None:
    way = curved(seed, 2500.0)
    one, other = points(way, error_m, seed), points(way, error_m, seed + 1)
    found = together(one, other)
    assert len(found) == 1
    assert found[0].length_m > 0.93 * POINT_M * len(one)
    # Each point has its partner where it is, not somewhere else on the way.
    share = found[0].one / len(one) - found[0].other / len(other)
    assert np.abs(share).max() < 0.05


@given(st.integers(0, 10_000), st.floats(-180.0, 180.0), st.floats(-70.0, 70.0))
@settings(max_examples=15, deadline=None)
def test_it_is_found_anywhere_on_earth_and_from_both_sides(seed: int, turn: float, lat: float) -> None:
    """Turned and moved to elsewhere the ways share what they shared, whichever is looked at first."""
    x, y = curved(seed, 1500.0)
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    plane = type(HUT)(lat, turn)
    here = points((x, y), 3.0, seed), points((x, y), 3.0, seed + 1)
    there = [
        thinned_line(np.arange(0.0, x.size), *plane.degrees(c * x - s * y, s * x + c * y)).points
        for x, y in (HUT.metres(each.lat_deg, each.lon_deg) for each in here)
    ]
    one, other = (DirectedPoints.of(each, plane) for each in there)
    (found,), (mirrored,) = shared_stretches(one, other, LEAST_M), shared_stretches(other, one, LEAST_M)
    (first,) = together(*here)
    assert found.length_m == pytest.approx(first.length_m, abs=60.0)
    assert mirrored.length_m == pytest.approx(found.length_m, abs=60.0)


def test_nothing_is_shared_with_the_way_back_alone() -> None:
    x, y = curved(4, 2000.0)
    assert together(points((x, y)), points((x[::-1], y[::-1]))) == ()


def test_there_and_back_meets_each_half_once() -> None:
    x, y = curved(5, 2000.0)
    both = np.append(x, x[-2::-1]), np.append(y, y[-2::-1])
    whole = points(both, 3.0, 1)
    (found,) = together(whole, points(both, 3.0, 2))
    assert found.length_m == pytest.approx(4000.0, abs=150.0)
    assert np.abs(found.one - found.other).max() < 10
    (there,) = together(points((x, y), 3.0, 3), whole)
    (back,) = together(points((x[::-1], y[::-1]), 3.0, 4), whole)
    assert there.length_m == pytest.approx(2000.0, abs=100.0)
    assert back.length_m == pytest.approx(2000.0, abs=100.0)
    assert there.other[-1] < back.other[0] + 5


def test_a_lap_gone_three_times_is_met_three_times() -> None:
    turn = np.arange(0.0, 2.0 * np.pi, 0.01)
    x, y = 250.0 * np.cos(turn), 250.0 * np.sin(turn)
    once = along(list(zip(x[:600], y[:600], strict=True)))
    thrice = np.tile(x, 3), np.tile(y, 3)
    found = together(points(once, 3.0, 1), points(thrice, 3.0, 2), 1000.0)
    assert len(found) == 3
    assert [round(int(each.other[0]) / 157) for each in found] == [0, 1, 2]


def test_switchbacks_are_followed_leg_by_leg() -> None:
    """Legs 30 m apart, nearer than the reach: the way up never jumps to the next leg."""
    corners = [(250.0 * (k % 2), 30.0 * k) for k in range(12)]
    way = along([*corners])
    found = together(points(way, 3.0, 1), points(way, 3.0, 2))
    assert len(found) == 1
    assert np.abs(found[0].one - found[0].other).max() <= 8
    assert found[0].length_m > 0.9 * POINT_M * len(points(way))


@pytest.mark.parametrize(("aside_m", "shared"), [(30.0, 0), (22.0, 0), (4.0, 1)])
def test_a_parallel_path_is_another_way(aside_m: float, shared: int) -> None:
    one = points(along([(0.0, 0.0), (2500.0, 300.0)]), 3.0, 1)
    other = points(along([(0.0, aside_m), (2500.0, 300.0 + aside_m)]), 3.0, 2)
    assert len(together(one, other)) == shared


def test_a_crossing_and_a_short_way_together_are_not_worth_comparing() -> None:
    one = points(along([(0.0, 0.0), (3000.0, 0.0)]))
    assert together(one, points(along([(1500.0, -1500.0), (1500.0, 1500.0)]))) == ()
    short = along([(1000.0, -900.0), (1000.0, 0.0), (1400.0, 0.0), (1400.0, 900.0)])
    assert together(one, points(short)) == ()
    longer = along([(1000.0, -900.0), (1000.0, 0.0), (1700.0, 0.0), (1700.0, 900.0)])
    (found,) = together(one, points(longer))
    assert found.length_m == pytest.approx(700.0, abs=80.0)
    assert found.one[0] * POINT_M == pytest.approx(1000.0, abs=40.0)


def test_the_middle_of_a_way_is_found_between_what_differs() -> None:
    middle = curved(6, 1800.0)
    one = joined(curved(7, 900.0), middle, curved(8, 900.0))
    other = joined(curved(9, 1300.0), middle, curved(10, 700.0))
    shift = [v[900 // 2] - w[1300 // 2] for v, w in zip(one, other, strict=True)]
    other = other[0] + shift[0], other[1] + shift[1]
    found = together(points(one, 3.0, 1), points(other, 3.0, 2))
    assert len(found) == 1
    # The ways part slowly; for some dozen metres more they cannot be told apart.
    assert found[0].length_m == pytest.approx(1900.0, abs=150.0)
    assert found[0].other[0] - found[0].one[0] == pytest.approx(40, abs=8)


def test_it_agrees_with_the_whole_table_of_distances() -> None:
    """Ways that part and meet again, as a second implementation finds them.

    Where ways part slowly nobody can say where: there the two may end a stretch some hundred metres apart.
    """
    alike = np.array([_likeness(seed) for seed in range(60)])
    assert np.median(alike) > 0.97
    assert np.quantile(alike, 0.05) >= 0.75
    assert alike.min() >= 0.6


def _likeness(seed: int) -> float:
    """Share of the ground either implementation finds that both find."""
    rng = np.random.default_rng(seed)
    parts = [curved(seed + k, float(rng.uniform(700.0, 1200.0))) for k in range(3)]
    detour = curved(seed + 9, float(rng.uniform(300.0, 900.0)))
    one = joined(*parts)
    other = joined(parts[0], detour, parts[1])
    here = (
        DirectedPoints.of(points(one, 3.0, seed), HUT),
        DirectedPoints.of(points(other, 3.0, seed + 1), HUT),
    )
    ours = [(int(s.one[0]), int(s.one[-1])) for s in shared_stretches(*here, LEAST_M)]
    theirs = [(first, last) for first, last, _, _ in patches(*here, LEAST_M)]
    on_ours, on_theirs = (covered(each, len(here[0])) for each in (ours, theirs))
    return float((on_ours & on_theirs).sum() / (on_ours | on_theirs).sum())


def covered(stretches: list[tuple[int, int]], size: int) -> NDArray[np.bool_]:
    inside = np.zeros(size, dtype=bool)
    for first, last in stretches:
        inside[first : last + 1] = True
    return inside


@given(st.integers(0, 10_000), st.floats(0.0, 6.0))
@settings(max_examples=20, deadline=None, derandomize=True)
def test_ways_gone_together_have_squares_in_common(seed: int, error_m: float) -> None:
    """Nothing is missed before it is looked at closely."""
    way = curved(seed, 1200.0)
    one, other = points(way, error_m, seed), points(way, error_m, seed + 1)
    shared = np.isin(cells_of(one), cells_around(other)).mean()
    assert shared > 0.75
    far = points((way[0] + 800.0, way[1] + 9000.0))
    assert not np.isin(cells_of(far), cells_around(one)).any()
