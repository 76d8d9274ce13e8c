from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from helpers.pasts import past
from slopebeat.analysis.price.draws import (
    MEMORY_S,
    Between,
    clock_s,
    next_spread,
    next_value,
    shares_of_time_below,
)
from slopebeat.model.bands import Band

BAND = Band(130, 150)


def test_the_next_value_spreads_as_the_textbook_has_it() -> None:
    # Normal values, flat mean, scaled inverse chi-square variance: the next value is Student (Gelman et al.,
    # Bayesian Data Analysis, 3rd ed., section 3.3 - from memory); quantiles by SciPy.
    values = np.random.default_rng(8).normal(50.0, 6.0, 20)
    drawn = next_value(values, ["a"] * 20, "a", Between(5.0, 1e-6), np.random.default_rng(1))
    freedom = 4.0 + values.size - 1
    scale2 = (4.0 * 25.0 + np.sum((values - values.mean()) ** 2)) / freedom * (1.0 + 1.0 / values.size)
    for level in (0.1, 0.5, 0.9):
        expected = stats.t.ppf(level, freedom, values.mean(), np.sqrt(scale2))
        assert np.quantile(drawn, level) == pytest.approx(expected, abs=0.06 * np.sqrt(scale2))


def test_a_kind_hardly_seen_is_drawn_towards_all_and_one_often_seen_stays_itself() -> None:
    noise = np.random.default_rng(9).normal(0.0, 3.0, 60)
    values = np.append(np.repeat([10.0, 20.0], 30) + noise, 40.0)
    kinds = [*"a" * 30, *"b" * 30, "c"]
    rng, between = np.random.default_rng(1), Between(3.0, 5.0)
    often, seldom, never = (np.median(next_value(values, kinds, k, between, rng)) for k in "bcd")
    assert often == pytest.approx(20.0, abs=1.2)
    assert 25.0 < seldom < 38.0
    assert 12.0 < never < seldom


def test_the_share_in_band_of_a_normal_heart_rate_is_that_of_scipy() -> None:
    mean, spread = np.array([120.0, 140.0, 160.0]), np.array([8.0, 12.0, 15.0])
    low, high = (shares_of_time_below(edge, mean, spread, [], np.zeros(3, int)) for edge in (129.5, 150.5))
    expected = stats.norm.cdf(150.5, mean, spread) - stats.norm.cdf(129.5, mean, spread)
    assert high - low == pytest.approx(expected, abs=1e-12)


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
    ours = clock_s(np.full(20_000, share), target, np.random.default_rng(5).standard_normal(20_000))
    for level in (0.1, 0.5, 0.9):
        assert np.quantile(ours, level) == pytest.approx(np.quantile(reached, level), rel=0.06)


def test_the_spread_follows_the_variation_of_work_as_a_straight_line_of_logarithms_does() -> None:
    # SciPy's least squares on the same logarithms: of many outings the stated expectations hardly count.
    rng = np.random.default_rng(12)
    variation = rng.uniform(0.2, 0.8, 80)
    spread = np.exp(np.log(12.0) + 0.6 * np.log(variation / 0.45) + rng.normal(0.0, 0.1, 80))
    known = [past(140.0, s, i, variation=v) for i, (s, v) in enumerate(zip(spread, variation, strict=True))]
    line = stats.linregress(np.log(variation), np.log([one.spread_bpm for one in known]))
    for wanted in (0.25, 0.7):
        drawn = np.median(next_spread(known, wanted, np.random.default_rng(1)))
        assert drawn == pytest.approx(np.exp(line.intercept + line.slope * np.log(wanted)), rel=0.03)


def test_a_single_outing_leaves_the_next_spread_open_but_not_wild() -> None:
    # By hand: 13 bpm beforehand and one outing of 9 bpm, alike in weight and ground, meet at their
    # geometric mean, 10.8 bpm.
    drawn = next_spread([past(140.0, 9.0, variation=0.45)], 0.45, np.random.default_rng(1))
    assert np.median(drawn) == pytest.approx(np.sqrt(13.0 * 9.0), rel=0.03)
    low, high = np.quantile(drawn, [0.1, 0.9])
    assert 1.5 < high / low < 3.0
