"""Thresholds of a published step test, and what cannot be a step test is refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from slopebeat.analysis.band.lactate import (
    LactateTest,
    Method,
    Stage,
    at_lactate,
    log_log_break,
    propose_band,
    smooth_curve,
    thresholds,
)
from slopebeat.model.errors import UserError
from slopebeat.review.words.basis import how_words
from slopebeat.review.words.messages import say

# Demo data of the R package lactater (repository snapshot d6c7456, 2023-11-16; MIT licence, copyright 2020
# F. Mattioni Maturana): rest 0.93 mmol/L, then load W, lactate mmol/L, heart rate bpm.
DEMO = LactateTest(
    tuple(
        Stage(*row)
        for row in (
            (50.0, 0.98, 114.0),
            (75.0, 1.23, 134.0),
            (100.0, 1.88, 154.0),
            (125.0, 2.80, 170.0),
            (150.0, 4.21, 182.0),
            (175.0, 6.66, 193.0),
            (191.0, 8.64, 198.0),
        )
    ),
    resting_mmol_l=0.93,
)
BASELINE = 0.93


# Results published with the data: rise through a lactate, load W, heart rate bpm. They invert a polynomial
# straight between its values at the stages and read heart rate from a line through all stages. Straight
# lines between measured stages, as here, differ by up to 2.6 W, and by up to 2 bpm on the same line; between
# the measured heart rates, which bend away from that line, by up to 5 bpm.
@pytest.mark.parametrize(
    ("lactate", "load_w", "hr_bpm"),
    [
        (BASELINE + 0.5, 82.5, 139.0),
        (BASELINE + 1.0, 104.0, 152.0),
        (BASELINE + 1.5, 117.0, 159.0),
        (2.0, 105.0, 153.0),
        (2.5, 118.0, 160.0),
        (3.0, 129.0, 167.0),
        (3.5, 137.0, 171.0),
        (4.0, 145.0, 176.0),
    ],
)
def test_thresholds_are_those_published_within_what_the_method_makes(
    lactate: float, load_w: float, hr_bpm: float
) -> None:
    found = at_lactate(DEMO, lactate, Method.BASELINE)
    assert found.load == pytest.approx(load_w, abs=2.7)
    assert found.hr_line_bpm == pytest.approx(hr_bpm, abs=2.0)
    assert found.hr_bpm == pytest.approx(hr_bpm, abs=5.0)


def test_baseline_threshold_is_read_straight_between_the_stages() -> None:
    # By hand: 75 + 25 (1.43 - 1.23) / 0.65 = 82.7 W, 134 + 20 * 0.3077 = 140.2 bpm.
    found = {t.method: t for t in thresholds(DEMO)}[Method.BASELINE]
    assert found.load == pytest.approx(82.69, abs=0.01)
    assert found.hr_bpm == pytest.approx(140.15, abs=0.01)
    assert found.lactate_mmol_l == pytest.approx(1.43)


def test_common_practice_values_by_hand() -> None:
    found = {t.method: t for t in thresholds(DEMO)}
    lower, upper = found[Method.LOWER_FIXED], found[Method.UPPER_FIXED]
    assert lower.load == pytest.approx(50 + 25 * 0.02 / 0.25)
    assert lower.hr_bpm == pytest.approx(114 + 20 * 0.02 / 0.25)
    assert upper.load == pytest.approx(100 + 25 * 0.02 / 0.92)
    assert upper.hr_bpm == pytest.approx(154 + 16 * 0.02 / 0.92)


def test_log_log_breaks_where_two_independent_lines_meet() -> None:
    # An independent fit of two lines to the seven stages breaks at 110.0 W; the published 83.4 W comes from
    # 0.1-W interpolation with the resting sample placed at 25 W.
    found = {t.method: t for t in thresholds(DEMO)}[Method.LOG_LOG]
    assert found.load == pytest.approx(110.0, abs=2.5)
    load = np.concatenate([np.arange(25.0, 191.0, 0.1), [191.0]])
    lactate = np.interp(load, [25.0, *DEMO.load], [0.93, *DEMO.lactate])
    assert log_log_break(load, lactate) == pytest.approx(83.4, abs=2.5)


def test_an_exact_break_is_found_and_a_straight_line_has_none() -> None:
    load = np.array([60.0, 80.0, 100.0, 120.0, 150.0, 180.0, 220.0])
    bent = np.where(load < 110.0, (load / 110.0) ** 0.3, (load / 110.0) ** 3.0)
    assert log_log_break(load, bent) == pytest.approx(110.0, rel=2e-3)
    falling = np.where(load < 110.0, (load / 110.0) ** 3.0, (load / 110.0) ** 0.3)
    assert log_log_break(load, falling) is None


# Roots of the exact third-degree polynomial, worked out apart: they differ from the published ones by 1-2 W.
@pytest.mark.parametrize(
    ("lactate", "load_w"),
    [(1.43, 84.5), (1.93, 104.6), (2.43, 118.1), (2.0, 106.8), (4.0, 145.8)],
)
def test_the_drawn_curve_is_the_third_degree_polynomial(lactate: float, load_w: float) -> None:
    load, curve = smooth_curve(DEMO)
    rising = load > 50.0
    assert np.interp(lactate, curve[rising], load[rising]) == pytest.approx(load_w, abs=0.06)
    assert (load[0], load[-1]) == (25.0, 191.0)


def test_the_proposed_band_says_its_method_and_how_far_methods_differ() -> None:
    found = propose_band(DEMO)
    assert (found.band.lower_bpm, found.band.upper_bpm) == (115, 155)
    low, high = found.upper_range_bpm
    # First thresholds of this test by the published methods lie from 71 to 110 W; of the methods used here
    # baseline + 0.5 gives 139-140 bpm, the log-log break 155-161.
    assert low == 139
    assert 156 <= high <= 162
    assert "1.9 mmol/L" in how_words(found.band)
    assert f"{low} to {high} bpm" in say(found.why_a_range)
    assert found.lower_range_bpm[0] <= found.band.lower_bpm <= found.lower_range_bpm[1]


def with_stage(number: int, **figures: float) -> tuple[Stage, ...]:
    stages = list(DEMO.stages)
    stages[number - 1] = replace(stages[number - 1], **figures)
    return tuple(stages)


@pytest.mark.parametrize(
    ("stages", "words"),
    [
        (DEMO.stages[:3], "at least 4 stages"),
        (with_stage(3, load=75.0), "stage 3 is no harder"),
        (with_stage(1, load=0.0), "above 0 W"),
        (with_stage(1, load=float("nan")), "above 0 W"),
        (with_stage(4, lactate_mmol_l=28.0), "28 mmol/L is not plausible"),
        (with_stage(4, lactate_mmol_l=float("nan")), "not plausible"),
        (with_stage(4, lactate_mmol_l=1.2), "falls by 0.7 mmol/L to stage 4"),
        (with_stage(5, hr_bpm=18.0), "18 bpm is not plausible"),
        (with_stage(5, hr_bpm=150.0), "falls by 20 bpm to stage 5"),
    ],
)
def test_what_cannot_be_a_step_test_is_refused_in_a_sentence(stages: tuple[Stage, ...], words: str) -> None:
    with pytest.raises(UserError, match=words) as problem:
        LactateTest(stages)
    assert str(problem.value).endswith(".")


def test_a_small_dip_at_the_start_is_allowed_and_the_last_rise_counts() -> None:
    dipped = LactateTest(with_stage(1, lactate_mmol_l=1.6))
    assert dipped.baseline_mmol_l == 1.23
    found = at_lactate(dipped, 1.5, Method.BASELINE)
    assert found.load == pytest.approx(75 + 25 * 0.27 / 0.65)


def test_a_test_that_does_not_reach_a_threshold_says_so() -> None:
    easy = LactateTest(tuple(Stage(50.0 + 20 * i, 1.1 + 0.1 * i, 100.0 + 10 * i) for i in range(5)))
    with pytest.raises(UserError, match=r"ended before lactate reached 1\.9 mmol/L\."):
        propose_band(easy)
    hard = LactateTest(tuple(Stage(150.0 + 20 * i, 2.5 + i, 150.0 + 10 * i) for i in range(4)))
    with pytest.raises(UserError, match="start easier"):
        propose_band(hard)


def test_lactate_over_one_from_the_start_takes_the_easiest_stage_and_says_so() -> None:
    high = LactateTest(tuple(Stage(50.0 + 25 * i, 1.2 * 1.3**i, 110.0 + 12 * i) for i in range(5)))
    found = propose_band(high)
    assert found.band.lower_bpm == 110
    assert "easiest stage" in how_words(found.band)
