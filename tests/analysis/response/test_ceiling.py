"""The ceiling against the response it came from."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.checks import not_none
from slopebeat.analysis.response.ceiling import ceiling, speeds_by_grade, steady_heart_rate
from slopebeat.analysis.response.fit import FitStatus, Response, fit_response
from slopebeat.analysis.response.lag import lag_at
from slopebeat.model.message import message
from slopebeat.model.track import Array, Track

UPPER_BPM = 131.0

Outing = tuple[Track, Response]


def work(speed_mps: Array, grade: Array) -> Array:
    """A plain cost: standing, level metres and metres climbed; descents cost no less than the level."""
    return np.asarray(1.4 + speed_mps * (2.2 + 30.0 * np.maximum(grade, 0.0)))


@pytest.fixture(scope="module")
def outing() -> Outing:
    t = np.arange(9000.0)
    grade = 0.10 * np.sin(t / 210.0) + 0.04 * np.sin(t / 77.0)
    speed = 1.1 - 2.0 * np.abs(grade) + 0.1 * np.sin(t / 401.0)
    cost = work(speed, grade)
    rng = np.random.default_rng(11)
    # Errors of a heart last: 0.9 bpm remembered for a minute, beside what a second adds.
    lasting = lag_at(rng.normal(0.0, 10.0, t.size), 1.0, 60.0, t)
    hr = lag_at(65.0 + 10.0 * cost, 1.0, 50.0, t + 0.5) + 2.0 * t / 3600.0
    hr = hr + lasting + rng.normal(0.0, 1.0, t.size)
    one, none = np.ones_like(t), np.zeros_like(t)
    track = Track(
        t,
        one,
        none,
        none,
        hr,
        np.cumsum(speed * grade),
        np.cumsum(speed),
        speed,
        grade,
        speed * grade,
        np.ones(t.size, bool),
        none * np.nan,
        False,
    )
    return track, fit_response(track, cost)


def test_the_ceiling_is_the_speed_whose_true_steady_heart_rate_is_the_edge(outing: Outing) -> None:
    track, response = outing
    found = not_none(ceiling(speeds_by_grade(response, track, work), UPPER_BPM))
    true_work = (UPPER_BPM - 65.0 - 2.0 * found.at_s / 3600.0) / 10.0
    true_speed = (true_work - 1.4) / (2.2 + 30.0 * np.maximum(found.grade, 0.0))
    given = np.isfinite(found.speed_mps)
    assert given.sum() >= 3
    np.testing.assert_allclose(found.speed_mps[given], true_speed[given], rtol=0.06)
    np.testing.assert_allclose(found.vertical_speed_mps, found.speed_mps * found.grade)
    closed = np.isfinite(found.low_mps) & np.isfinite(found.high_mps)
    assert (found.low_mps[closed] < found.speed_mps[closed]).all()
    assert (found.speed_mps[closed] < found.high_mps[closed]).all()
    held = (found.low_mps[closed] <= true_speed[closed]) & (true_speed[closed] <= found.high_mps[closed])
    assert held.mean() >= 0.7


def test_the_steeper_the_slower(outing: Outing) -> None:
    track, response = outing
    found = not_none(ceiling(speeds_by_grade(response, track, work), UPPER_BPM))
    up = np.isfinite(found.speed_mps) & (found.grade > 0.0)
    assert (np.diff(found.speed_mps[up]) < 0.0).all()


def test_grades_hardly_seen_and_edges_out_of_reach_have_no_speed(outing: Outing) -> None:
    track, response = outing
    high = not_none(ceiling(speeds_by_grade(response, track, work), 400.0))
    assert np.isnan(high.speed_mps).all()
    assert high.fits_any_speed[high.seen_s >= 60.0].all()
    low = not_none(ceiling(speeds_by_grade(response, track, work), 40.0))
    assert np.isnan(low.speed_mps).all()
    assert low.exceeds_at_once[low.seen_s >= 60.0].all()
    rare = high.seen_s < 60.0
    assert not high.fits_any_speed[rare].any()


def test_drift_lowers_the_ceiling_late(outing: Outing) -> None:
    track, response = outing
    early = not_none(ceiling(speeds_by_grade(response, track, work, at_s=900.0), UPPER_BPM))
    late = not_none(ceiling(speeds_by_grade(response, track, work, at_s=9000.0), UPPER_BPM))
    both = np.isfinite(early.speed_mps) & np.isfinite(late.speed_mps)
    assert both.any()
    assert (late.speed_mps[both] < early.speed_mps[both]).all()


def test_a_cost_outside_its_validity_gives_no_ceiling(outing: Outing) -> None:
    track, response = outing
    found = not_none(
        ceiling(speeds_by_grade(response, track, lambda speed, grade: speed * np.nan), UPPER_BPM)
    )
    assert np.isnan(found.speed_mps).all()


def test_steady_heart_rate_is_the_mean_response_and_surer_in_the_middle(outing: Outing) -> None:
    _, response = outing
    hr, error = steady_heart_rate(response, np.array([5.0, 25.0]), np.array([0.05, 0.05]), 3600.0)
    assert hr[0] == pytest.approx(65.0 + 50.0 + 2.0, abs=1.5)
    assert error[1] > 2.0 * error[0]


def test_without_a_fit_there_is_no_ceiling(outing: Outing) -> None:
    track, _ = outing
    none = Response(FitStatus.NO_DATA, message("response.no_samples"), 0.0, {})
    assert ceiling(speeds_by_grade(none, track, work), UPPER_BPM) is None
    with pytest.raises(ValueError, match="nothing was fitted"):
        steady_heart_rate(none, np.ones(1), np.ones(1), 0.0)


def test_ground_whose_slowest_speed_goes_over_the_edge_is_called_too_steep(outing: Outing) -> None:
    """Heart rate and cost are those the outing was made of, so the grade follows by hand."""
    track, response = outing
    # 95 bpm leave 3 W/kg less drift; 200 m/h alone cost 30 * 200 / 3600 = 1.7 W/kg beyond level metres.
    found = not_none(ceiling(speeds_by_grade(response, track, work), 95.0))
    for grade, speed, steep in zip(found.grade, found.speed_mps, found.too_steep, strict=True):
        if not np.isfinite(steep):
            continue
        slowest = min(2.0 / 3.6, 200.0 / 3600.0 / grade) if grade > 0.0 else 2.0 / 3.6
        settles = (
            65.0 + 10.0 * float(work(np.asarray(slowest), np.asarray(grade))) + 2.0 * found.at_s / 3600.0
        )
        if settles > 95.0 + 12.0:
            assert steep > 0.8
            assert np.isnan(speed)
        elif settles < 95.0 - 12.0:
            assert steep < 0.2
        if np.isfinite(speed):
            assert speed >= slowest - 1e-6
    assert not_none(ceiling(speeds_by_grade(response, track, work), 60.0)).gentlest_too_steep is not None
    assert not_none(ceiling(speeds_by_grade(response, track, work), 400.0)).gentlest_too_steep is None


def test_at_both_ends_of_the_interval_the_edge_is_as_far_off_as_the_doubt_allows(outing: Outing) -> None:
    """Inverse prediction: at the low end the heart rate plus 1.96 standard errors is the edge, at the high
    end the heart rate less them. The errors are those of the fit, of the level of a walk (2.8 bpm) and of
    11 % of what the ground costs beyond standing (1.44 W/kg, Looney 2019)."""
    track, response = outing
    found = not_none(ceiling(speeds_by_grade(response, track, work), UPPER_BPM))
    ends = {-1.0: found.high_mps, 1.0: found.low_mps}
    for side, speeds in ends.items():
        known = np.isfinite(speeds)
        assert known.sum() >= 3
        cost = work(speeds[known], found.grade[known])
        hr, error = steady_heart_rate(response, cost, speeds[known] * found.grade[known], found.at_s)
        ground = not_none(response.work_bpm_per_w_kg) * 0.11 * np.abs(cost - 1.44)
        reach = 1.959964 * np.sqrt(error**2 + 2.8**2 + ground**2)
        np.testing.assert_allclose(hr + side * reach, UPPER_BPM, atol=0.05)
