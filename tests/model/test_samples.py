from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.model.samples import COLUMNS, GAP_LIMIT_S, counted_time, sample_table
from slopebeat.model.spans import Spans


@given(
    st.lists(st.floats(0.1, 100.0), min_size=1, max_size=40),
    st.lists(st.tuples(st.floats(0, 2000), st.floats(0, 2000)), max_size=5),
)
def test_recorded_time_pauses_and_gaps_sum_to_the_span(
    steps: list[float], pauses: list[tuple[float, float]]
) -> None:
    t = np.concatenate(([0.0], np.cumsum(steps)))
    counted = counted_time(t, Spans.from_pairs(pauses))
    parts = counted.recorded_s + counted.pause_s + counted.gap_s
    assert parts.sum() == pytest.approx(t[-1], abs=1e-6)
    assert min(parts.min(), counted.recorded_s.min(), counted.pause_s.min(), counted.gap_s.min()) >= 0.0
    assert counted.recorded_s.max() <= GAP_LIMIT_S


def test_a_pause_leaves_its_rest_recorded_and_a_long_silence_is_a_gap() -> None:
    counted = counted_time([0, 10, 130, 165], Spans.from_pairs([(12, 125)]))
    assert counted.recorded_s.tolist() == [10, 7, 0, 0]
    assert counted.pause_s.tolist() == [0, 113, 0, 0]
    assert counted.gap_s.tolist() == [0, 0, 35, 0]


def test_a_table_has_every_column_and_refuses_times_that_do_not_rise() -> None:
    table = sample_table({"t_s": [0, 1], "hr_bpm": [100, 101]})
    assert tuple(table.columns) == COLUMNS
    assert np.isnan(table["power_w"]).all()
    for times in ([0, 0], [0, 2, 1], [1, 2]):
        with pytest.raises(ValueError, match="rise strictly"):
            sample_table({"t_s": times})
    with pytest.raises(ValueError, match="unknown"):
        sample_table({"t_s": [0], "heart": [1]})
