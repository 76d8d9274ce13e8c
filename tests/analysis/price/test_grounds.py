from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from helpers.outings import an_outing
from helpers.pasts import past
from slopebeat.analysis.price.draws import DAY_BPM, DAY_DF
from slopebeat.analysis.price.grounds import by_sport, price_grounds, priced_sport
from slopebeat.analysis.price.unevenness import Unevenness
from slopebeat.model.bands import Band
from slopebeat.model.evidence import RIDE, RUN, WALK

BAND = Band(120, 140)


def test_even_ground_costs_less_clock_time_than_uneven_ground() -> None:
    rng = np.random.default_rng(3)
    known = [
        past(rng.normal(130.0, 4.0), 18.0 * v**0.5 * np.exp(rng.normal(0.0, 0.1)), i, variation=v)
        for i, v in enumerate([0.2, 0.4, 0.5, 0.7] * 6)
    ]
    rows = price_grounds(RIDE, known, BAND, 2700.0)
    assert [row.kind for row in rows] == list(Unevenness)
    assert [row.outings for row in rows] == [6] * 4
    aimed = [row.answers.aimed.needed_s for row in rows]
    assert all(a is not None and b is not None and a.middle < b.middle for a, b in pairwise(aimed))


def test_the_aimed_length_of_a_well_known_spread_is_that_of_the_normal_distribution() -> None:
    # Worked with SciPy: spread 10 bpm, mean kept at 130 give or take Student days: the middle one of the
    # shares 120 to 140 takes, and 45 min over it.
    known = [past(130.0, 10.0, i, variation=0.45) for i in range(40)]
    row = price_grounds(RIDE, known, BAND, 2700.0)[0]
    means = 130.0 + DAY_BPM * stats.t.rvs(DAY_DF, size=20_000, random_state=5)
    shares = stats.norm.cdf(140.5, means, 10.0) - stats.norm.cdf(119.5, means, 10.0)
    aimed = row.answers.aimed
    assert aimed.share is not None
    assert aimed.share.middle == pytest.approx(np.median(shares), abs=0.015)
    assert aimed.needed_s is not None
    assert aimed.needed_s.middle == pytest.approx(2700.0 / np.median(shares), rel=0.05)


def test_sports_are_told_indoors_by_the_files_word_and_never_pooled() -> None:
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    told = [
        ("run", "running", RUN),
        ("mixed", "hiking", WALK),
        ("treadmill", "running", RUN),
        ("treadmill", "unknown", WALK),
        ("heart_only", "cycling", RIDE),
        ("heart_only", "other", None),
        ("skiing", "other", None),
    ]
    assert [priced_sport(replace(one, kind=kind, sport=sport)) for kind, sport, _ in told] == [
        each[-1] for each in told
    ]
    made = [
        replace(one, kind=kind, sport=sport, past=past(130.0, 9.0, -i))
        for i, (kind, sport, _) in enumerate(told)
    ]
    found = by_sport([*made, replace(one, kind="run", past=None)])
    assert {sport: len(each) for sport, each in found.items()} == {WALK: 2, RUN: 2, RIDE: 1}
    assert found[RUN][0].start_utc < found[RUN][1].start_utc
