from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy import stats

from slopebeat.analysis.account.next_outing import (
    MEMORY_S,
    Between,
    NoLength,
    clock_s,
    kind_of,
    next_outing,
    next_value,
    shares_in_band,
)
from slopebeat.model.bands import Band
from slopebeat.model.past import PastOuting

BAND = Band(130, 150)
START = datetime(2026, 4, 1, 7, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def outing(mean: float, spread: float, number: int = 0, hours: float = 1.5) -> PastOuting:
    """An outing whose heart rate is normally distributed."""
    bpm = np.arange(60, 221)
    share = np.diff(stats.norm.cdf(np.append(bpm, 221) - 0.5, mean, spread))
    seconds = 3600.0 * hours
    return PastOuting(
        start_utc=START + number * DAY,
        on_bike=True,
        recorded_s=seconds,
        moving_s=seconds,
        pause_s=0.0,
        distance_m=None,
        ascent_m=None,
        hr_from_bpm=60,
        hr_seconds=tuple((seconds * share).tolist()),
        work_variation=0.4,
    )


def season(rng: np.random.Generator, count: int) -> list[PastOuting]:
    means, spreads = rng.normal(140.0, 7.0, count), np.exp(rng.normal(np.log(12.0), 0.2, count))
    return [outing(m, s, i) for i, (m, s) in enumerate(zip(means, spreads, strict=True))]


def test_the_next_value_spreads_as_the_textbook_has_it() -> None:
    # Normal values, flat mean, scaled inverse chi-square variance: the next value is Student (Gelman et al.,
    # Bayesian Data Analysis, 3rd ed., section 3.3 - from memory); quantiles by SciPy.
    values = np.random.default_rng(8).normal(50.0, 6.0, 20)
    drawn = next_value(values, np.zeros(20, int), 0, Between(5.0, 1e-6), np.random.default_rng(1))
    freedom = 4.0 + values.size - 1
    scale2 = (4.0 * 25.0 + np.sum((values - values.mean()) ** 2)) / freedom * (1.0 + 1.0 / values.size)
    for level in (0.1, 0.5, 0.9):
        expected = stats.t.ppf(level, freedom, values.mean(), np.sqrt(scale2))
        assert np.quantile(drawn, level) == pytest.approx(expected, abs=0.06 * np.sqrt(scale2))


def test_a_kind_hardly_seen_is_drawn_towards_all_and_one_often_seen_stays_itself() -> None:
    noise = np.random.default_rng(9).normal(0.0, 3.0, 60)
    values = np.append(np.repeat([10.0, 20.0], 30) + noise, 40.0)
    kinds = np.repeat([0, 1, 2], [30, 30, 1])
    rng, between = np.random.default_rng(1), Between(3.0, 5.0)
    often, seldom, never = (np.median(next_value(values, kinds, k, between, rng)) for k in (1, 2, 3))
    assert often == pytest.approx(20.0, abs=1.2)
    assert 25.0 < seldom < 38.0
    assert 12.0 < never < seldom


def test_the_share_in_band_of_a_normal_heart_rate_is_that_of_scipy() -> None:
    mean, spread = np.array([120.0, 140.0, 160.0]), np.array([8.0, 12.0, 15.0])
    found = shares_in_band(mean, spread, BAND, [], np.random.default_rng(0))
    expected = stats.norm.cdf(150.5, mean, spread) - stats.norm.cdf(129.5, mean, spread)
    assert found == pytest.approx(expected, abs=1e-12)


def test_the_clock_until_the_target_spreads_as_spells_of_this_length_make_it() -> None:
    # In and out of band by a memoryless process: variance of the share over T is y (1 - y) 2 tau / T with
    # 1 / tau the sum of both rates (standard result for a telegraph signal); 2 tau is the memory.
    rng, share, memory = np.random.default_rng(4), 0.5, MEMORY_S
    target, reached = 2700.0, []
    for _ in range(1500):
        clock, inside, here = 0.0, 0.0, bool(rng.random() < share)
        while inside < target:
            spell = rng.exponential(memory)
            if here:
                spell = min(spell, target - inside)
                inside += spell
            clock, here = clock + spell, not here
        reached.append(clock)
    ours = clock_s(np.full(20_000, share), target, np.random.default_rng(5))
    for level in (0.1, 0.5, 0.9):
        assert np.quantile(ours, level) == pytest.approx(np.quantile(reached, level), rel=0.06)


@pytest.mark.parametrize(("before", "least", "most"), [(3, 0.76, 0.95), (10, 0.74, 0.88), (30, 0.74, 0.88)])
def test_the_interval_holds_next_times_as_often_as_it_says(before: int, least: float, most: float) -> None:
    rng, held = np.random.default_rng(23), []
    for _ in range(250):
        made = season(rng, before + 1)
        share = next_outing(made[:-1], BAND, 2700.0).as_usual.share
        assert share is not None
        held.append(share.low <= made[-1].share_in(130, 150) <= share.high)
    assert least <= np.mean(held) <= most


def test_kept_in_the_middle_of_the_band_it_takes_less_long_and_is_better_known() -> None:
    made = [replace(one) for one in season(np.random.default_rng(2), 12)]
    high = [outing(one.mean_bpm + 9.0, one.spread_bpm, i) for i, one in enumerate(made)]
    answers = next_outing(high, BAND, 2700.0)
    usual, aimed = answers.as_usual.needed_s, answers.aimed.needed_s
    assert usual is not None
    assert aimed is not None
    assert aimed.middle < usual.middle
    assert aimed.high / aimed.low < usual.high / usual.low
    assert aimed.high / aimed.low < 2.3


def test_far_off_the_band_no_length_is_given_but_how_far_off() -> None:
    fast = [outing(173.0, 10.0, i) for i in range(10)]
    answers = next_outing(fast, BAND, 2700.0)
    assert (answers.as_usual.needed_s, answers.as_usual.reason) == (None, NoLength.OFF_BAND)
    assert answers.as_usual.off_bpm == pytest.approx(33.0, abs=0.2)
    assert answers.aimed.needed_s is not None


def test_no_length_beyond_twice_the_longest_outing_known() -> None:
    short = [outing(140.0, 25.0, i, hours=0.5) for i in range(6)]
    answers = next_outing(short, BAND, 2700.0)
    assert (answers.aimed.needed_s, answers.aimed.reason) == (None, NoLength.TOO_LONG)
    # Of so few outings the longest is not known: only a day out bounds the length.
    assert next_outing(short[:2], BAND, 2700.0).aimed.needed_s is not None


def test_without_heart_rate_there_is_no_answer() -> None:
    answers = next_outing([replace(outing(140.0, 12.0), hr_seconds=())], BAND, 2700.0)
    assert (answers.as_usual.share, answers.as_usual.reason) == (None, NoLength.NO_HEART)


def test_an_earlier_outing_without_heart_rate_says_nothing() -> None:
    made = season(np.random.default_rng(6), 6)
    silent = replace(made[0], hr_seconds=())
    assert next_outing([silent, *made], BAND, 2700.0) == next_outing(made, BAND, 2700.0)


def test_kinds_part_outings_by_the_unevenness_of_their_work() -> None:
    one = outing(140.0, 12.0)
    kinds = [kind_of(replace(one, work_variation=v)) for v in (0.1, 0.4, 0.5, 0.9, None)]
    assert kinds == [0, 1, 2, 3, 1]
