"""Decimation keeps what each column of a picture shows, against counting by hand."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.report.frame import runs

values = st.lists(st.none() | st.floats(-1e3, 1e3), min_size=0, max_size=60)


@given(values, st.sampled_from([0.5, 2.0, 7.0, 100.0]))
def test_each_column_of_a_run_keeps_its_first_lowest_highest_and_last_point(
    heights: list[float | None], column: float
) -> None:
    x = np.arange(float(len(heights)))
    y = np.array([np.nan if h is None else h for h in heights], dtype=float)
    found = runs(x, y, column)
    expected: list[list[int]] = [[]]
    for i, height in enumerate(heights):
        if height is None:
            expected.append([])
        else:
            expected[-1].append(i)
    expected = [run for run in expected if run]
    assert len(found) == len(expected)
    for part, run in zip(found, expected, strict=True):
        assert part[0].tolist() == [x[run[0]], y[run[0]]]
        assert part[-1].tolist() == [x[run[-1]], y[run[-1]]]
        for cell in {int(i // column) for i in run}:
            mine = [i for i in run if i // column == cell]
            drawn = [(px, py) for px, py in part.tolist() if px // column == cell]
            ys = [py for _, py in drawn]
            assert (min(ys), max(ys)) == (min(y[mine]), max(y[mine]))
            assert (drawn[0][0], drawn[-1][0]) == (x[mine[0]], x[mine[-1]])
            assert len(drawn) <= 4


@given(values)
def test_every_point_drawn_is_one_that_was_recorded(heights: list[float | None]) -> None:
    x = np.arange(float(len(heights)))
    y = np.array([np.nan if h is None else h for h in heights], dtype=float)
    known = {(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True) if not np.isnan(b)}
    drawn = [tuple(point) for part in runs(x, y, 3.0) for point in part.tolist()]
    assert set(drawn) <= known
    assert drawn == sorted(drawn, key=lambda point: point[0])


def test_a_single_high_beat_among_thousands_is_drawn() -> None:
    y = np.full(36_000, 120.0)
    y[17_345] = 180.0
    (line,) = runs(np.linspace(0.0, 470.0, y.size), y, 0.3)
    assert line[:, 1].max() == 180.0
    assert len(line) < 4 * 470 / 0.3 + 4
