"""One account over parts: a recording cut in two gives that of the whole."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.recordings import track
from slopebeat.analysis.account.time_account import BandState, time_account
from slopebeat.analysis.day.parts import sum_accounts
from slopebeat.model.bands import Band
from slopebeat.model.samples import counted_time
from slopebeat.model.spans import Spans
from slopebeat.model.track import Track

BAND = Band(120, 140)
RNG = np.random.default_rng(5)
TIMES = np.cumsum(RNG.choice([1.0, 2.0, 45.0], 400, p=[0.9, 0.08, 0.02]))
HEART = np.where(RNG.random(400) < 0.1, np.nan, np.round(130.0 + 12.0 * np.sin(TIMES / 90.0)))


def made(times: np.ndarray, heart: np.ndarray) -> Track:
    """A track of these records alone, as a recording of its own would give it."""
    counted = counted_time(times - times[0], Spans.empty())
    whole = track(times - times[0], hr=heart, moving=np.sin(times) > -0.5)
    return replace(whole, recorded_s=counted.recorded_s, gap_s=counted.gap_s, pause_s=counted.pause_s)


@given(st.integers(min_value=1, max_value=TIMES.size - 1))
def test_cut_anywhere_it_is_the_whole_but_for_the_time_between(cut: int) -> None:
    whole = time_account(made(TIMES, HEART), BAND)
    cuts = [slice(0, cut), slice(cut, None)]
    parts = [time_account(made(TIMES[each], HEART[each]), BAND) for each in cuts]
    between = float(TIMES[cut] - TIMES[cut - 1])
    day = sum_accounts(parts, [between])
    assert day.span_s == pytest.approx(whole.span_s)
    cells = [
        (getattr(day.parts, name)[s], getattr(whole, name)[s])
        for name in ("moving", "stopped")
        for s in BandState
    ]
    lost = [after - before for before, after in [*cells, (day.parts.gap_s, whole.gap_s)]]
    # All that is missing is what the last record before the cut stood for.
    assert min(lost) >= -1e-9
    assert sum(lost) == pytest.approx(between)


def test_sums_are_those_of_a_table() -> None:
    """pandas adds up the records of three parts by where their heart rate lies."""
    pieces = [slice(0, 90), slice(90, 300), slice(300, None)]
    parts = [made(TIMES[each], HEART[each]) for each in pieces]
    day = sum_accounts([time_account(each, BAND) for each in parts], [60.0, 1200.0])
    table = pd.concat(
        pd.DataFrame({"hr": each.hr_bpm, "s": each.recorded_s, "moving": each.moving}) for each in parts
    )
    table["state"] = pd.cut(table.hr, [0, 119.5, 140.5, 300], labels=["below", "in", "above"]).astype(object)
    by_state = table.fillna({"state": "none"}).groupby("state").s.sum()
    assert day.parts.in_band_s == pytest.approx(by_state["in"])
    assert day.parts.above_s == pytest.approx(by_state["above"])
    assert day.parts.below_s == pytest.approx(by_state["below"])
    assert day.parts.no_hr_s == pytest.approx(by_state["none"])
    assert day.parts.moving_s == pytest.approx(table[table.moving].s.sum())
    assert day.span_s == pytest.approx(day.parts.recorded_s + day.parts.gap_s + 1260.0)


def test_no_second_counts_twice() -> None:
    one = time_account(made(TIMES, HEART), BAND)
    with pytest.raises(ValueError, match="follow one another"):
        sum_accounts([one, one], [-1.0])
