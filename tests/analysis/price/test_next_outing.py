from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from helpers.checks import not_none
from helpers.pasts import past, season
from slopebeat.analysis.price.next_outing import NOTHING_KNOWN, NextAnswers, NoLength, foretelling_of
from slopebeat.model.bands import Band
from slopebeat.model.evidence import PastOuting

BAND = Band(130, 150)


def answers_of(made: Sequence[PastOuting]) -> NextAnswers:
    return not_none(foretelling_of(made)).answers(BAND, 2700.0)


@pytest.mark.parametrize(("before", "least", "most"), [(3, 0.76, 0.95), (10, 0.74, 0.88), (30, 0.74, 0.88)])
def test_the_interval_holds_next_times_as_often_as_it_says(before: int, least: float, most: float) -> None:
    # An interval that holds 65 times in 100 instead of 80 is told so by 150 seasons 99 times in 100.
    rng, held = np.random.default_rng(23), []
    for _ in range(150):
        made = season(rng, before + 1)
        share = answers_of(made[:-1]).as_usual.share
        assert share is not None
        held.append(share.low <= made[-1].share_in(130, 150) <= share.high)
    assert least <= np.mean(held) <= most


def test_kept_in_the_middle_of_the_band_it_takes_less_long_and_is_better_known() -> None:
    made = [replace(one) for one in season(np.random.default_rng(2), 12)]
    high = [past(one.mean_bpm + 9.0, one.spread_bpm, i) for i, one in enumerate(made)]
    answers = answers_of(high)
    usual, aimed = answers.as_usual.needed_s, answers.aimed.needed_s
    assert usual is not None
    assert aimed is not None
    assert aimed.middle < usual.middle
    assert aimed.high / aimed.low < usual.high / usual.low
    assert aimed.high / aimed.low < 2.3


def test_far_off_the_band_no_length_is_given_but_how_far_off() -> None:
    fast = [past(173.0, 10.0, i) for i in range(10)]
    answers = answers_of(fast)
    assert (answers.as_usual.needed_s, answers.as_usual.reason) == (None, NoLength.OFF_BAND)
    assert answers.as_usual.off_bpm == pytest.approx(33.0, abs=0.2)
    assert answers.aimed.needed_s is not None


def test_no_length_beyond_twice_the_longest_outing_known() -> None:
    short = [past(140.0, 25.0, i, hours=0.5) for i in range(6)]
    answers = answers_of(short)
    assert (answers.aimed.needed_s, answers.aimed.reason) == (None, NoLength.TOO_LONG)
    # Of so few outings the longest is not known: only a day out bounds the length.
    assert answers_of(short[:2]).aimed.needed_s is not None


def test_without_heart_rate_there_is_no_answer() -> None:
    assert foretelling_of([replace(past(140.0, 12.0), hr_seconds=())]) is None
    answers = NOTHING_KNOWN
    assert (answers.as_usual.share, answers.as_usual.reason) == (None, NoLength.NO_HEART)


def test_an_earlier_outing_without_heart_rate_says_nothing() -> None:
    made = season(np.random.default_rng(6), 6)
    silent = replace(made[0], hr_seconds=())
    assert answers_of([silent, *made]) == answers_of(made)
