"""Lines made ready for drawing keep their breaks and their extremes."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.analysis.account.time_account import BandState
from slopebeat.plots.outing.curve import MOST_FINE, at_level, coarse, dense, level_for, outline
from slopebeat.plots.outing.lines import broken, broken_x, only

VALUES = st.lists(st.one_of(st.just(np.nan), st.floats(-1e3, 1e3)), min_size=1, max_size=80)


def runs(y: np.ndarray) -> list[tuple[float, float]]:
    """Lowest and highest of each run without NaN, counted by hand."""
    found: list[list[float]] = [[]]
    for value in y:
        if np.isnan(value):
            found.append([])
        else:
            found[-1].append(float(value))
    return [(min(run), max(run)) for run in found if run]


@given(VALUES)
def test_leaving_out_runs_of_nan_changes_no_run(values: list[float]) -> None:
    y = np.array(values)
    _, kept = dense(np.arange(y.size, dtype=float), y)
    assert runs(kept) == runs(y)


@given(VALUES, st.integers(1, 9))
def test_a_coarse_line_keeps_every_break_and_extreme(values: list[float], bucket: int) -> None:
    y = np.array(values)
    fine = dense(np.arange(y.size, dtype=float), y)
    x, drawn = coarse(*fine, bucket)
    assert runs(drawn) == runs(y)
    assert np.all(np.diff(x) >= 0)


def test_a_coarse_line_has_two_points_for_each_bucket() -> None:
    x = np.arange(60_000, dtype=float)
    assert coarse(x, np.sin(x), 6)[0].size == 20_000


@pytest.mark.parametrize("size", [0, 9_999, 10_001, 36_000, 30_001, 200_000])
def test_every_column_of_a_large_screen_keeps_a_lowest_and_a_highest_of_its_own(size: int) -> None:
    """However many points are visible, those drawn are few, yet two for each of 1,600 columns at least."""
    x = np.arange(size, dtype=float)
    drawn = at_level(x, np.sin(x), level_for(size))[0].size
    assert drawn == size if size <= MOST_FINE else 2 * 1_600 <= drawn <= MOST_FINE
    whole = runs(np.sin(x))
    for level in range(1, level_for(size) + 1):
        assert runs(at_level(x, np.sin(x), level)[1]) == whole


def test_a_line_breaks_after_the_sample_before_a_pause() -> None:
    y = broken(np.array([1.0, 2.0, 3.0]), np.array([1]))
    x = broken_x(np.array([0.0, 1.0, 900.0]), np.array([1]))
    np.testing.assert_array_equal(y, [1, 2, np.nan, 3])
    np.testing.assert_array_equal(x, [0, 1, 1, 900])


def test_states_share_the_sample_where_one_line_ends_and_the_next_begins() -> None:
    hr = np.array([100.0, 110.0, 120.0, 140.0, 145.0])
    state = np.array([-1, -1, 0, 1, 1], dtype=np.int8)
    np.testing.assert_array_equal(only(hr, state, BandState.BELOW), [100, 110, 120, np.nan, np.nan])
    np.testing.assert_array_equal(only(hr, state, BandState.IN_BAND), [np.nan, np.nan, 120, 140, np.nan])
    np.testing.assert_array_equal(only(hr, state, BandState.ABOVE), [np.nan, np.nan, np.nan, 140, 145])


@pytest.mark.parametrize("size", [0, 1])
def test_lines_of_no_length_are_no_trouble(size: int) -> None:
    x = np.zeros(size)
    assert coarse(*dense(x, x))[0].size in (0, 2)


@given(VALUES, st.floats(-100, 100))
def test_the_outline_encloses_what_lies_between_line_and_level(values: list[float], level: float) -> None:
    """Its signed area (shoelace formula) is that of the trapezia under each run, counted one by one."""
    y = np.array(values)
    x = np.arange(y.size, dtype=float)
    xs, ys = outline(x, y, level)
    assert not np.isnan(ys).any()
    enclosed = 0.5 * float(np.sum(xs * np.roll(ys, -1) - np.roll(xs, -1) * ys)) if xs.size else 0.0
    pairs = [(a - level, b - level) for a, b in pairwise(y.tolist()) if np.isfinite(a) and np.isfinite(b)]
    # Gone over forward along the line, the outline turns clockwise where the line lies above.
    assert enclosed == pytest.approx(-sum((a + b) / 2 for a, b in pairs), abs=1e-6)


def test_every_run_of_a_line_has_a_corner_on_the_level_at_both_ends() -> None:
    y = np.array([np.nan, 3.0, 4.0, np.nan, 5.0, np.nan, np.nan])
    xs, ys = outline(np.arange(7.0), y, 1.0)
    np.testing.assert_array_equal(xs, [1, 1, 2, 2, 4, 4, 4])
    np.testing.assert_array_equal(ys, [1, 3, 4, 1, 1, 5, 1])
