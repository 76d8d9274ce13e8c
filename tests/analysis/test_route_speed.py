"""Speed by grade recovered from outings made with a known curve and a known spread."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.response.fit import FitStatus, Response
from slopebeat.analysis.route.evidence import Evidence
from slopebeat.analysis.route.speed import pool_speed, reference_mps
from slopebeat.analysis.route.work import Going
from slopebeat.model.past import GRADES

WALKER = Going.at(False, 70.0, 0.0, 1000.0)
SEEN = (GRADES >= -0.2001) & (GRADES <= 0.1601)
NOTHING = np.full(5, np.nan)


def usual_mps(grade: np.ndarray) -> np.ndarray:
    """A walker unlike the reference: slower on the level, better uphill."""
    return 1.3 * np.exp(-2.6 * np.abs(grade + 0.03))


def outing(speed_mps: np.ndarray, seconds: np.ndarray, load_kg: float = 0.0) -> Evidence:
    load = np.full(GRADES.shape, load_kg)
    work = np.where(seconds > 0.0, WALKER.work_w_per_kg(speed_mps, GRADES, load), np.nan)
    nothing = Response(FitStatus.NO_DATA, "", 0.0, {})
    total = float(seconds.sum())
    stops = np.zeros(0)
    return Evidence(
        False, seconds, speed_mps * seconds, work, load, total, stops, total, nothing, NOTHING, NOTHING
    )


def many(count: int, spread: float, seed: int = 3) -> list[Evidence]:
    rng = np.random.default_rng(seed)
    days = np.exp(spread * rng.standard_normal(count))
    return [outing(day * usual_mps(GRADES), np.where(SEEN, 400.0, 0.0)) for day in days]


def test_the_curve_and_the_spread_between_outings_are_recovered() -> None:
    pooled = pool_speed(many(16, 0.06), WALKER)
    assert pooled.speed_mps[SEEN] == pytest.approx(usual_mps(GRADES)[SEEN], rel=0.05)
    assert pooled.outing_sd == pytest.approx(0.06, rel=0.4)
    assert pooled.rest_sd < 0.02
    assert pooled.outing_count == 16
    assert pooled.outings[SEEN].tolist() == [16] * int(SEEN.sum())
    assert np.abs(pooled.extra_work_w_per_kg[SEEN]).max() < 1e-6


def test_grades_never_seen_are_flagged_keep_the_references_shape_and_are_less_certain() -> None:
    pooled = pool_speed(many(6, 0.03), WALKER)
    assert pooled.seen.tolist() == SEEN.tolist()
    steep = GRADES > 0.17
    ratio = pooled.speed_mps / reference_mps(WALKER)
    assert ratio[steep] == pytest.approx(ratio[SEEN][-1], rel=0.02)
    sd = np.sqrt(np.diag(pooled.covariance))
    assert (np.diff(sd[steep]) > 0.0).all()
    assert sd[-1] > 3.0 * sd[SEEN].max()


def test_without_outings_the_stated_reference_stands_with_its_spread() -> None:
    pooled = pool_speed([], WALKER)
    assert pooled.outing_count == 0
    assert not pooled.seen.any()
    assert pooled.speed_mps == pytest.approx(reference_mps(WALKER))
    low, high = pooled.interval_mps(1.2816)
    assert (high / low > 1.8).all()


def test_speed_under_a_load_is_taken_back_to_none() -> None:
    load = 15.0
    bare = usual_mps(GRADES)
    loaded = WALKER.with_load(bare, GRADES, np.full(GRADES.shape, load))
    pooled = pool_speed([outing(loaded, np.where(SEEN, 400.0, 0.0), load)] * 3, WALKER)
    up = SEEN & (GRADES > 0.03)
    assert (loaded[up] < 0.97 * bare[up]).all()
    assert pooled.speed_mps[up] == pytest.approx(bare[up], rel=0.03)


def test_draws_spread_as_far_as_outings_do() -> None:
    pooled = pool_speed(many(16, 0.06), WALKER)
    drawn = pooled.draw(4000, np.full(GRADES.shape, 3.0), np.random.default_rng(5))
    sd = drawn[:, SEEN].std(axis=0)
    assert sd == pytest.approx(
        np.hypot(pooled.outing_sd, np.sqrt(np.diag(pooled.covariance))[SEEN]), rel=0.25
    )
