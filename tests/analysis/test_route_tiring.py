"""Slowing down in the course of outings, found again where it was put in."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.route.evidence import PART_S, Evidence
from slopebeat.analysis.route.speed import pool_speed
from slopebeat.analysis.route.tiring import FRESH, PRIOR_PER_H, SLOWEST_FACTOR, Tiring, pool_tiring
from slopebeat.analysis.route.work import Going
from slopebeat.model.past import GRADES

LEVEL, STEEP = 20, 25
WALKER = Going.at(False, 70.0, 0.0, 1000.0)
NONE = Response(FitStatus.NO_DATA, "", 0.0, {})


def outing(
    per_h: float, seed: int, parts: int = 8, steep_late: bool = False, noise: float = 0.02
) -> Evidence:
    """Speed 1.4 m/s on the level and 0.7 on 10 %, changing by ``per_h`` (log) an hour."""
    rng = np.random.default_rng(seed)
    seconds, metres = (np.zeros((parts, GRADES.size)) for _ in range(2))
    for part in range(parts):
        late = (part + 0.5) * PART_S / 3600.0
        for grade, speed in ((LEVEL, 1.4), (STEEP, 0.7)):
            share = 0.5
            if steep_late:
                share = (part + 0.5) / parts if grade == STEEP else 1.0 - (part + 0.5) / parts
            seconds[part, grade] = share * PART_S
            gone = speed * np.exp(per_h * late + rng.normal(0.0, noise))
            metres[part, grade] = seconds[part, grade] * gone
    whole = np.zeros(GRADES.size)
    wander = np.full(5, np.nan)
    return Evidence(
        False,
        seconds.sum(axis=0),
        metres.sum(axis=0),
        whole,
        whole,
        float(seconds.sum()),
        np.zeros(0),
        parts * PART_S,
        NONE,
        wander,
        wander,
        seconds,
        metres,
    )


@pytest.mark.parametrize("per_h", [-0.06, 0.0, 0.03])
def test_the_slowing_down_put_in_is_found(per_h: float) -> None:
    found = pool_tiring([outing(per_h, seed) for seed in range(12)])
    assert found.per_s * 3600.0 == pytest.approx(per_h, abs=0.012)
    assert found.sd_per_s * 3600.0 < 0.01


def test_steep_ground_late_in_the_day_is_not_taken_for_tiredness() -> None:
    found = pool_tiring([outing(0.0, seed, steep_late=True) for seed in range(12)])
    # Ground alone: the mean speed falls from 1.36 to 0.74 m/s over the outing, -0.17 an hour.
    assert abs(found.per_s * 3600.0) < 0.012
    assert found.from_s[STEEP] > found.from_s[LEVEL] + 1800.0


def test_days_that_differ_are_kept_apart_from_the_usual_day() -> None:
    rng = np.random.default_rng(5)
    days = rng.normal(-0.04, 0.03, 20)
    found = pool_tiring([outing(float(day), seed) for seed, day in enumerate(days)])
    assert found.per_s * 3600.0 == pytest.approx(days.mean(), abs=0.01)
    assert found.day_sd_per_s * 3600.0 == pytest.approx(days.std(), rel=0.5)


def test_a_longer_day_does_not_pass_for_a_slower_walker() -> None:
    outings = [outing(-0.06, seed, parts=parts) for seed, parts in enumerate((2, 4, 8, 12) * 3)]
    tiring = pool_tiring(outings)
    kept, given_back = (pool_speed(outings, WALKER, each) for each in (FRESH, tiring))
    for grade, fresh_mps in ((LEVEL, 1.4), (STEEP, 0.7)):
        usual = fresh_mps * np.exp(-0.06 * tiring.from_s[grade] / 3600.0)
        assert given_back.speed_mps[grade] == pytest.approx(usual, rel=0.02)
    # The middles of days of 1 to 6 h lie 0.5 to 3 h after the start: a spread of 0.06 in log speed.
    assert given_back.outing_sd < 0.5 * kept.outing_sd


def test_nothing_is_made_of_one_short_outing() -> None:
    assert pool_tiring([]) is FRESH
    assert pool_tiring([outing(-0.2, 1, parts=1)]) is FRESH
    shrunk = pool_tiring([outing(-0.2, 1, parts=2, noise=0.2)])
    assert abs(shrunk.per_s) < 0.1 / 3600.0
    assert shrunk.sd_per_s <= PRIOR_PER_H / 3600.0


def test_the_factor_is_the_exponential_and_stays_in_bounds() -> None:
    tiring = Tiring(-0.05 / 3600.0, 0.0, 0.0, np.full(GRADES.size, 3600.0))
    per_s = np.array([tiring.per_s])
    times = np.array([[3600.0, 3 * 3600.0, 40 * 3600.0]])
    factor = tiring.factor(per_s, times, np.zeros(3))[0]
    assert factor == pytest.approx([1.0, np.exp(-0.1), SLOWEST_FACTOR])
