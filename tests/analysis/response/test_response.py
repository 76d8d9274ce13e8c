"""The fitted response on outings whose response is known."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.checks import not_none
from helpers.responses import DRIFT, TAU_S, climbing_mps, pull_at, track_of, true_hr, work_at
from slopebeat.analysis.response.ceiling import steady_heart_rate
from slopebeat.analysis.response.decoupling import MOST_INTERVAL_POINTS, terrain_fair_decoupling
from slopebeat.analysis.response.fit import FitStatus, fit_response
from slopebeat.analysis.response.grid import Grid, TimeLeftOut
from slopebeat.model.track import Array
from slopebeat.review.words.messages import say

Clean = tuple[Array, Array]
"""Times and the heart rate of an outing whose response is known."""


@pytest.fixture(scope="module")
def clean() -> Clean:
    t = np.arange(9000.0)
    return t, true_hr(t)


def test_noise_free_data_give_the_response_back(clean: Clean) -> None:
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    assert response.status is FitStatus.USABLE
    # Time constants are tried in steps of 29 %, so what is left over is what half a step makes.
    assert response.tau_s == pytest.approx(TAU_S, rel=0.14)
    assert response.delay_s == pytest.approx(0.0, abs=1.0)
    assert response.drift_bpm_per_h == pytest.approx(DRIFT, abs=0.2)
    assert response.work_bpm_per_w_kg == pytest.approx(11.0, rel=0.05)
    resting, _ = steady_heart_rate(response, np.zeros(1), np.zeros(1), 0.0)
    assert resting[0] == pytest.approx(60.0, abs=3.0)
    assert not_none(response.residual_rms_bpm) < 0.5


def test_a_delay_is_found_and_kept_apart_from_the_time_constant(clean: Clean) -> None:
    t, hr = clean
    late = np.interp(t - 10.0, t, hr)
    response = fit_response(track_of(t, late), work_at(t + 0.5))
    assert response.delay_s == pytest.approx(10.0, abs=3.0)
    assert response.tau_s == pytest.approx(TAU_S, rel=0.15)


def test_the_drift_of_true_figures_gives_the_decoupling(clean: Clean) -> None:
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    fair = terrain_fair_decoupling(response)
    # From the definition, with the true coefficients at the mean lagged work of what was fitted.
    fitted = t >= 600.0
    level = np.mean(hr[fitted] - DRIFT * (t[fitted] + 0.5) / 3600.0)
    first, second = np.array_split(t[fitted] + 0.5, 2)
    early, late = level + DRIFT * first.mean() / 3600.0, level + DRIFT * second.mean() / 3600.0
    assert fair.percent == pytest.approx(100.0 * (1.0 - early / late), abs=0.25)
    # D = 1 - 1/R with R the ratio of the heart rates at one output.
    assert fair.percent == pytest.approx(
        100.0 * (1.0 - 1.0 / (not_none(fair.second_hr_bpm) / not_none(fair.first_hr_bpm))), abs=1e-3
    )
    low, high = not_none(fair.interval_percent)
    assert low < not_none(fair.percent) < high


def test_constant_output_with_a_linear_rise_gives_the_closed_form() -> None:
    # Rise p from start to end at constant output: D = (p/2) / (1 + 3p/4); p = 5 % gives 2.410 %.
    t = np.arange(9000.0)
    at = t + 0.5
    hr = 120.0 * (1.0 + 0.05 * (at - 600.0) / 8400.0)
    none = np.zeros_like(t)
    response = fit_response(track_of(t, hr, vertical_speed_mps=none, grade=none), none + 4.0)
    assert terrain_fair_decoupling(response).percent == pytest.approx(2.410, abs=0.002)


def test_fitted_heart_rate_follows_the_measured_one_at_every_sample(clean: Clean) -> None:
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    fitted = not_none(response.fitted_hr_bpm)
    assert fitted.shape == t.shape
    np.testing.assert_allclose(fitted[600:], hr[600:], atol=2.0)
    np.testing.assert_allclose(not_none(response.residual_bpm), hr - fitted)


def test_irregular_sampling_agrees_with_one_hertz(clean: Clean) -> None:
    t, hr = clean
    rng = np.random.default_rng(5)
    noisy = hr + rng.normal(0.0, 1.0, t.size)
    kept = np.sort(rng.choice(t.size, t.size // 3, replace=False))
    kept[0] = 0
    kept = np.unique(kept)
    regular = fit_response(track_of(t, noisy), work_at(t + 0.5))
    vertical = climbing_mps(t[kept] + 0.5)
    sparse = track_of(t[kept], noisy[kept], vertical_speed_mps=vertical)
    irregular = fit_response(sparse, work_at(t[kept] + 0.5))
    assert irregular.drift_bpm_per_h == pytest.approx(regular.drift_bpm_per_h, abs=0.3)
    assert irregular.tau_s == pytest.approx(regular.tau_s, abs=4.0)
    assert irregular.used_s == pytest.approx(regular.used_s, abs=60.0)


def test_marked_heart_rate_stops_and_a_pause_leave_the_answer_where_it_was(clean: Clean) -> None:
    t, hr = clean
    hr, moving, work = hr.copy(), np.ones(t.size, bool), work_at(t + 0.5)
    hr[2000:2400] = np.nan
    moving[5000:5100] = False
    hr[5000:5100] = 80.0
    kept = (t < 7000.0) | (t >= 7300.0)
    pause = np.where(t[kept] == 6999.0, 300.0, 0.0)
    track = track_of(t[kept], hr[kept], moving=moving[kept], pause_s=pause, recorded_s=np.ones(kept.sum()))
    response = fit_response(track, work[kept])
    assert response.status is FitStatus.USABLE
    assert response.drift_bpm_per_h == pytest.approx(DRIFT, abs=0.15)
    assert response.excluded_s[TimeLeftOut.NO_HEART_RATE] == 400.0
    assert response.excluded_s[TimeLeftOut.STOPS] == 100.0
    assert response.excluded_s[TimeLeftOut.WARM_UP] == 600.0
    # 180 s after the 300 s pause are not fitted, because the lag was not seen through it.
    assert response.excluded_s[TimeLeftOut.RESTART] == 180.0
    assert response.used_s == pytest.approx(kept.sum() - 1280.0, abs=1.0)


def test_more_noise_widens_the_interval_and_it_holds_the_true_drift(clean: Clean) -> None:
    t, hr = clean
    widths = []
    for noise in (1.0, 30.0):
        noisy = hr + np.random.default_rng(6).normal(0.0, noise, t.size)
        low, high = not_none(fit_response(track_of(t, noisy), work_at(t + 0.5)).drift_interval_bpm_per_h)
        assert low < DRIFT < high
        widths.append(high - low)
    assert widths[1] > 1.5 * widths[0]


def test_a_surge_of_the_sensor_is_left_out_and_said(clean: Clean) -> None:
    t, hr = clean
    hr = hr + np.random.default_rng(7).normal(0.0, 0.5, t.size)
    hr[8000:8090] += 45.0
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    assert 60.0 <= response.excluded_s[TimeLeftOut.SURPRISES] <= 120.0
    assert response.drift_bpm_per_h == pytest.approx(DRIFT, abs=0.15)


def test_work_that_only_rises_with_time_is_undecided_and_still_gives_its_number() -> None:
    t = np.arange(9000.0)
    none = np.zeros_like(t)
    work = 3.0 + 3.0 * t / t[-1]
    hr = 70.0 + 10.0 * work + np.random.default_rng(8).normal(0.0, 1.0, t.size)
    response = fit_response(track_of(t, hr, vertical_speed_mps=none), work)
    fair = terrain_fair_decoupling(response)
    assert fair.status is FitStatus.UNDECIDED
    assert response.status is FitStatus.USABLE
    assert "ground and time changed alike" in say(fair.reason)
    low, high = not_none(fair.interval_percent)
    assert low < 0.0 < high, "no drift at all is among what may be"
    assert high - low > MOST_INTERVAL_POINTS
    # Without what is known of drifts, next to nothing is known.
    raw_low, raw_high = not_none(fair.raw_interval_percent)
    assert raw_high - raw_low > 4.0 * (high - low)


def test_one_gap_of_31_s_every_five_minutes_leaves_an_hour_long_enough(clean: Clean) -> None:
    t, hr = clean
    kept = (t < 3600.0) & ~((t % 300.0 >= 200.0) & (t % 300.0 < 231.0))
    gap = np.where(np.append(np.diff(t[kept]), 1.0) > 1.0, 31.0, 0.0)
    track = track_of(t[kept], hr[kept], recorded_s=np.ones(kept.sum()), gap_s=gap)
    response = fit_response(track, work_at(t[kept] + 0.5))
    assert response.status is FitStatus.USABLE
    # Nine gaps lie in what is fitted, each with as long again after it; the tenth is before its start.
    assert response.excluded_s[TimeLeftOut.RESTART] == pytest.approx(10 * 31.0, abs=2.0)
    whole = fit_response(track_of(t[t < 3600.0], hr[t < 3600.0]), work_at(t[t < 3600.0] + 0.5))
    assert response.drift_bpm_per_h == pytest.approx(whole.drift_bpm_per_h, abs=0.5)


@pytest.mark.parametrize(
    ("minutes", "silent_from", "status"),
    [
        (35, None, FitStatus.TOO_SHORT),
        (12, None, FitStatus.TOO_SHORT),
        (150, 900, FitStatus.LITTLE_HEART_RATE),
        (9, None, FitStatus.NO_DATA),
        (60, 0, FitStatus.LITTLE_HEART_RATE),
    ],
)
def test_what_cannot_carry_a_fit_says_why(minutes: int, silent_from: int | None, status: FitStatus) -> None:
    t = np.arange(minutes * 60.0)
    hr = pull_at(t)
    if silent_from is not None:
        hr[silent_from:] = np.nan
    response = fit_response(track_of(t, hr), work_at(t))
    assert response.status is status
    assert say(response.reason).endswith(".")
    assert terrain_fair_decoupling(response).reason == response.reason


@pytest.mark.parametrize("missing", ["elevation", "distance"])
def test_without_a_work_rate_the_reason_names_what_is_missing_and_not_the_heart(missing: str) -> None:
    t = np.arange(5400.0)
    hr = pull_at(t)
    hr[1000:1300] = np.nan
    gone = {f"{missing}_m": np.full(t.size, np.nan)}
    response = fit_response(track_of(t, hr, **gone), np.full(t.size, np.nan))
    assert response.status is FitStatus.NO_WORK
    assert missing in say(response.reason)
    assert "heart rate" not in say(response.reason)


def test_a_heart_rate_against_the_work_is_doubted() -> None:
    t = np.arange(7200.0)
    work = 5.0 + np.sin(t / 200.0)
    none = np.zeros_like(t)
    response = fit_response(track_of(t, 180.0 - 10.0 * work, vertical_speed_mps=none), work)
    assert response.status is FitStatus.NO_RESPONSE
    assert response.drift_bpm_per_h is not None


def test_work_that_hardly_changed_is_no_reason_to_doubt_the_heart() -> None:
    t = np.arange(7200.0)
    rng = np.random.default_rng(11)
    none = np.zeros_like(t)
    work = 8.0 + rng.normal(0.0, 0.05, t.size)
    hr = 140.0 + 3.0 * t / 3600.0 + rng.normal(0.0, 2.0, t.size)
    response = fit_response(track_of(t, hr, vertical_speed_mps=none, grade=none), work)
    assert response.status is FitStatus.USABLE


def test_one_sample_is_no_data() -> None:
    assert fit_response(track_of(np.zeros(1), np.array([90.0])), np.array([1.0])).status is FitStatus.NO_DATA


def test_half_minutes_of_under_ten_seconds_are_not_fitted() -> None:
    """Of each half minute as many seconds enter as the numbers say; one second in a step of five is fine."""
    enter = np.array(
        [[5.0, 4.9, 0.0, 0.0, 0.0, 0.0], [5.0, 5.0, 0.0, 0.0, 0.0, 0.0], [1.0, 1.0, 2.0, 2.0, 2.0, 2.0]]
    )
    hr = np.repeat([[100.0], [110.0], [120.0]], 6, axis=1)
    grid = Grid(np.zeros((18, 3)), enter.ravel(), hr.ravel(), {})
    assert grid.kept_bins.tolist() == [1, 2]
    assert grid.bin_seconds.tolist() == [10.0, 10.0]
    assert grid.binned(grid.hr_bpm).tolist() == [110.0, 120.0]
