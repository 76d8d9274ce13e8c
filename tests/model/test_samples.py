"""Samples as plain arrays; merging of records with one time, against pandas."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.files.assembly import assemble
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


def test_a_table_and_its_frame_say_the_same() -> None:
    table = sample_table({"t_s": [0.0, 1.0, 3.0], "hr_bpm": [100, np.nan, 102]})
    frame = table.frame()
    assert tuple(frame.columns) == COLUMNS
    assert frame.equals(sample_table(frame).frame())
    assert len(table) == 3
    assert table.rows(slice(1))["t_s"].tolist() == [0.0]
    assert table.replaced(power_w=[1, 2, 3])["power_w"].tolist() == [1.0, 2.0, 3.0]


def test_nobody_writes_into_samples() -> None:
    given = np.array([0.0, 1.0])
    table = sample_table({"t_s": given})
    with pytest.raises(ValueError, match="read-only"):
        table["t_s"][0] = 5.0
    given[1] = 9.0
    assert table["t_s"].tolist() == [0.0, 1.0]


def test_columns_of_other_lengths_are_refused() -> None:
    with pytest.raises(ValueError, match="one length"):
        sample_table({"t_s": [0.0, 1.0], "hr_bpm": [100.0]})


@pytest.mark.parametrize("seed", range(5))
def test_records_of_one_time_are_merged_as_pandas_does(seed: int) -> None:
    chance = np.random.default_rng(seed)
    time = 1e9 + chance.integers(0, 40, 100).astype(float)
    hr = np.where(chance.random(100) < 0.4, np.nan, chance.integers(80, 180, 100).astype(float))
    # ``last`` of pandas takes the last value of a group that is not absent.
    expected = pd.Series(hr).groupby(time).last()
    made = assemble(time, {"hr_bpm": hr}).samples
    np.testing.assert_array_equal(made["hr_bpm"], expected.to_numpy())
    np.testing.assert_array_equal(made["t_s"], expected.index.to_numpy() - expected.index[0])
