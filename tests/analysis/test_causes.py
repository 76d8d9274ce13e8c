from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slopebeat.analysis.account.causes import EXPLANATIONS, Cause, find_causes, lagged_grade
from slopebeat.analysis.account.time_account import time_account
from slopebeat.model.bands import Band
from synthetic import track

BAND = Band(112, 131)


def causes_of(n: int = 3600, early: np.ndarray | None = None, **columns: object) -> dict[Cause, float]:
    found = find_causes(track(np.arange(float(n)), **columns), BAND, early)  # type: ignore[arg-type]
    return {cause: seconds for cause, seconds in found.seconds.items() if seconds > 0}


def test_each_cause_is_found_where_it_is_the_only_one() -> None:
    t = np.arange(3600.0)
    standing = np.zeros(3600, dtype=bool)
    assert causes_of(hr=120.0) == {}
    assert causes_of(hr=150.0, grade=0.12) == {Cause.STEEP_CLIMB: 3599.0}
    assert causes_of(hr=150.0, grade=0.01) == {Cause.SURGE: 3599.0}
    assert causes_of(hr=140.0, early=np.full(3600, 128.0)) == {Cause.DRIFT: 3599.0}
    assert causes_of(hr=float("nan")) == {Cause.SENSOR_DOUBT: 3599.0}
    assert causes_of(hr=100.0) == {Cause.WARM_UP: 600.0, Cause.EASY_GROUND: 2999.0}
    assert causes_of(hr=np.where(t < 600, 120.0, 100.0), grade=-0.10) == {Cause.DESCENT: 2999.0}
    assert causes_of(hr=100.0, moving=standing) == {Cause.STOP: 3599.0}


def test_drift_needs_a_work_rate_that_was_inside_early_on() -> None:
    early = np.where(np.arange(3600) < 1800, 128.0, 140.0)
    assert causes_of(hr=145.0, early=early, grade=0.10) == {Cause.DRIFT: 1800.0, Cause.STEEP_CLIMB: 1799.0}


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_the_causes_add_up_to_all_recorded_time_that_was_not_in_band(seed: int) -> None:
    rng = np.random.default_rng(seed)
    t = np.cumsum(rng.choice([1.0, 3.0, 40.0], 400)) - 1.0
    t -= t[0]
    hr = np.where(rng.random(400) < 0.1, np.nan, rng.integers(95, 150, 400).astype(float))
    ground = track(t, hr=hr, grade=rng.uniform(-0.2, 0.2, 400), moving=rng.random(400) < 0.8)
    account = time_account(ground, BAND)
    found = find_causes(ground, BAND, rng.uniform(110, 150, 400))
    out = account.above_s + account.below_s + account.no_hr_s
    assert sum(found.seconds.values()) == pytest.approx(out, abs=1e-6)
    assert set(found.seconds) == set(Cause) == set(EXPLANATIONS)


def test_the_grade_that_explains_a_heart_rate_lags_by_the_time_constant() -> None:
    # First-order response: 63.2 % of a step after one time constant (Hunt 2015: 57.6 s).
    t = np.arange(1200.0)
    grade = lagged_grade(track(t, grade=np.where(t < 600, 0.0, 0.10)), 57.6)
    assert grade[599] == pytest.approx(0.0, abs=1e-9)
    assert grade[658] == pytest.approx(0.0632, abs=0.001)
    assert grade[-1] == pytest.approx(0.10, abs=1e-4)


def test_the_main_cause_of_a_stretch_is_that_of_most_seconds() -> None:
    t = np.arange(1000.0)
    ground = track(t, hr=150.0, grade=np.where(t < 700, 0.12, 0.0))
    found = find_causes(ground, BAND)
    assert found.main_cause(ground, 0.0, 999.0) is Cause.STEEP_CLIMB
    assert found.main_cause(ground, 900.0, 999.0) is Cause.SURGE
    assert find_causes(track(t), BAND).main_cause(ground, 0.0, 999.0) is None
