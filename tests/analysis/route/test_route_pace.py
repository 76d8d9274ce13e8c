from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from slopebeat.analysis.route.past import own_pace, prior_log_pace
from slopebeat.model.evidence import GRADES, LEVEL, PastOuting

START = datetime(2026, 5, 1, 7, tzinfo=UTC)


def at(grade: float) -> int:
    return int(np.argmin(np.abs(GRADES - grade)))


def outing(log_pace: np.ndarray, grades: tuple[float, ...], day: float = 1.0) -> PastOuting:
    """An outing of ten minutes on each of some grades at a known pace."""
    seconds, metres = np.zeros(GRADES.size), np.zeros(GRADES.size)
    for grade in grades:
        seconds[at(grade)] = 600.0
        metres[at(grade)] = 600.0 / (day * np.exp(log_pace[at(grade)]))
    total = float(seconds.sum())
    place = (tuple(seconds.tolist()), tuple(metres.tolist()))
    return PastOuting(START, False, total, total, 0.0, float(metres.sum()), 0.0, 0, (), None, *place)


def test_uphill_the_shape_of_who_is_unknown_is_the_published_cost_of_running() -> None:
    # Minetti et al. 2002, doi:10.1152/japplphysiol.01177.2001: 3.600 J/kg/m on the level, 5.968 at +10 %,
    # 9.007 at +20 %, recomputed from the printed polynomial.
    pace = np.exp(prior_log_pace(on_bike=False))
    assert pace[LEVEL] == 1.0
    assert pace[at(0.10)] == pytest.approx(5.968 / 3.600, rel=1e-3)
    assert pace[at(0.20)] == pytest.approx(9.007 / 3.600, rel=1e-3)
    assert pace[at(-0.10)] < 1.0 < pace[at(-0.40)]


def test_an_own_pace_is_found_where_it_was_gone_whatever_the_day() -> None:
    true = 3.0 * np.maximum(GRADES, 0.0)
    grades = (-0.1, -0.04, 0.0, 0.04, 0.1, 0.16)
    days = np.exp(np.random.default_rng(2).normal(0.0, 0.2, 25))
    curve = own_pace([outing(true, grades, day) for day in days], on_bike=False)
    for grade in (0.04, 0.1, 0.16):
        assert curve.log_pace[at(grade)] == pytest.approx(true[at(grade)], abs=0.03)
    assert curve.log_pace[LEVEL] == pytest.approx(0.0, abs=1e-6)


def test_doubt_is_small_where_grades_were_gone_and_grows_away_from_them() -> None:
    curve = own_pace([outing(prior_log_pace(False), (0.0, 0.1)) for _ in range(20)], on_bike=False)
    doubt = np.sqrt(np.diag(curve.covariance))
    assert doubt[at(0.1)] < 0.06 < doubt[at(0.2)] < doubt[at(0.4)]
    assert curve.seen[at(0.1)]
    assert not curve.seen[at(0.2)]
    assert curve.outings[at(0.1)] == 20


def test_of_nobody_the_curve_is_the_prior_with_all_its_doubt() -> None:
    curve = own_pace([], on_bike=True)
    assert curve.log_pace == pytest.approx(prior_log_pace(True))
    assert not curve.seen.any()


def test_a_grade_gone_for_less_than_twenty_seconds_says_nothing() -> None:
    """However fast those seconds were, the curve stays as without them."""
    usual = outing(prior_log_pace(False), (0.0, 0.1))
    seconds, metres = np.array(usual.grade_seconds), np.array(usual.grade_metres)
    curves = []
    for gone_s in (19.0, 20.0):
        seconds[at(0.2)], metres[at(0.2)] = gone_s, 10.0 * gone_s
        brief = replace(usual, grade_seconds=tuple(seconds.tolist()), grade_metres=tuple(metres.tolist()))
        curves.append(own_pace([brief], on_bike=False))
    assert [curve.outings[at(0.2)] for curve in curves] == [0, 1]
    assert curves[0].log_pace == pytest.approx(own_pace([usual], on_bike=False).log_pace)
    assert curves[1].log_pace[at(0.2)] < curves[0].log_pace[at(0.2)] - 0.01
