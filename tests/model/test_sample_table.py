"""Samples as plain arrays; merging of records with one time, against pandas."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from slopebeat.files.assembly import assemble
from slopebeat.model.samples import COLUMNS, sample_table


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
