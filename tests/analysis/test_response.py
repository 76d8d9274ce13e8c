"""The fitted response on outings whose response is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from slopebeat.analysis.response.fit import FitStatus, fit_response
from slopebeat.analysis.response.terrain_fair import terrain_fair_decoupling
from slopebeat.model.track import Track

TAU_S, DRIFT = 52.0, 4.0


def climbing_mps(t):
    return 0.15 * np.sin(2 * np.pi * t / 900.0) + 0.1 * np.sin(2 * np.pi * t / 217.0 + 1.0)


def work_at(t):
    return 4.0 + np.maximum(30.0 * climbing_mps(t), -1.0) + 0.5 * np.sin(t / 333.0)


def pull_at(t):
    """The steady heart rate of the moment, drift apart."""
    up, down = np.maximum(climbing_mps(t), 0.0), np.maximum(-climbing_mps(t), 0.0)
    return 60.0 + 11.0 * work_at(t) + 20.0 * up - 15.0 * down


def true_hr(t):
    """Integrated by an adaptive solver, so that nothing of the lag under test is used."""
    out = solve_ivp(
        lambda now, y: (pull_at(now) - y) / TAU_S,
        (0.0, t[-1] + 1.0),
        [pull_at(0.0)],
        t_eval=t + 0.5,
        max_step=10.0,
        rtol=1e-8,
    )
    return out.y[0] + DRIFT * (t + 0.5) / 3600.0


def track_of(t, hr, **changes):
    lasts = np.append(np.diff(t), 1.0)
    none = np.zeros_like(t)
    vertical = climbing_mps(t + 0.5 * lasts)
    arrays = {
        "t_s": t,
        "recorded_s": lasts,
        "pause_s": none,
        "gap_s": none,
        "hr_bpm": hr,
        "elevation_m": np.cumsum(vertical * lasts),
        "distance_m": np.cumsum(1.2 * lasts),
        "speed_mps": none + 1.2,
        "grade": vertical / 1.2,
        "vertical_speed_mps": vertical,
        "moving": np.ones(t.size, bool),
        "power_w": none * np.nan,
        "on_bike": False,
    }
    return Track(**{**arrays, **changes})


@pytest.fixture(scope="module")
def clean():
    t = np.arange(9000.0)
    return t, true_hr(t)


def test_noise_free_data_give_the_response_back(clean):
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    assert response.status is FitStatus.USABLE
    assert response.tau_s == pytest.approx(TAU_S, abs=0.3)
    assert response.drift_bpm_per_h == pytest.approx(DRIFT, abs=0.01)
    assert response.work_bpm_per_w_kg == pytest.approx(11.0, abs=0.1)
    assert response.rest_bpm == pytest.approx(60.0, abs=0.5)
    assert response.residual_rms_bpm < 0.1


def test_the_drift_of_true_figures_gives_the_decoupling(clean):
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    fair = terrain_fair_decoupling(response)
    # From the definition, with the true coefficients at the mean lagged work of what was fitted.
    fitted = t >= 600.0
    level = np.mean(hr[fitted] - DRIFT * (t[fitted] + 0.5) / 3600.0)
    first, second = np.array_split(t[fitted] + 0.5, 2)
    early, late = level + DRIFT * first.mean() / 3600.0, level + DRIFT * second.mean() / 3600.0
    assert fair.percent == pytest.approx(100.0 * (1.0 - early / late), abs=0.01)
    # D = 1 - 1/R with R the ratio of the heart rates at one output.
    assert fair.percent == pytest.approx(100.0 * (1.0 - 1.0 / (fair.second_hr_bpm / fair.first_hr_bpm)))
    assert fair.interval_percent[0] < fair.percent < fair.interval_percent[1]


def test_constant_output_with_a_linear_rise_gives_the_closed_form():
    # Rise p from start to end at constant output: D = (p/2) / (1 + 3p/4); p = 5 % gives 2.410 %.
    t = np.arange(9000.0)
    at = t + 0.5
    hr = 120.0 * (1.0 + 0.05 * (at - 600.0) / 8400.0)
    none = np.zeros_like(t)
    response = fit_response(track_of(t, hr, vertical_speed_mps=none, grade=none), none + 4.0)
    assert terrain_fair_decoupling(response).percent == pytest.approx(2.410, abs=0.002)


def test_fitted_heart_rate_follows_the_measured_one_at_every_sample(clean):
    t, hr = clean
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    assert response.fitted_hr_bpm.shape == t.shape
    np.testing.assert_allclose(response.fitted_hr_bpm[600:], hr[600:], atol=0.4)
    np.testing.assert_allclose(response.residual_bpm, hr - response.fitted_hr_bpm)


def test_irregular_sampling_agrees_with_one_hertz(clean):
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


def test_marked_heart_rate_stops_and_a_pause_leave_the_answer_where_it_was(clean):
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
    assert response.excluded_s["no heart rate"] == 400.0
    assert response.excluded_s["stops"] == 100.0
    assert response.excluded_s["first 10 minutes"] == 600.0
    # 180 s after the 300 s pause are not fitted, because the lag was not seen through it.
    assert response.excluded_s["after a pause or gap"] == 180.0
    assert response.used_s == pytest.approx(kept.sum() - 1280.0, abs=1.0)


def test_more_noise_widens_the_interval_and_it_holds_the_true_drift(clean):
    t, hr = clean
    widths = []
    for noise in (1.0, 4.0):
        noisy = hr + np.random.default_rng(6).normal(0.0, noise, t.size)
        low, high = fit_response(track_of(t, noisy), work_at(t + 0.5)).drift_interval_bpm_per_h
        assert low < DRIFT < high
        widths.append(high - low)
    assert widths[1] > 2.0 * widths[0]


def test_a_surge_of_the_sensor_is_left_out_and_said(clean):
    t, hr = clean
    hr = hr + np.random.default_rng(7).normal(0.0, 0.5, t.size)
    hr[8000:8090] += 45.0
    response = fit_response(track_of(t, hr), work_at(t + 0.5))
    assert 60.0 <= response.excluded_s["out of all pattern"] <= 120.0
    assert response.drift_bpm_per_h == pytest.approx(DRIFT, abs=0.15)


def test_work_that_only_rises_with_time_is_called_inseparable_and_still_gives_its_number():
    t = np.arange(9000.0)
    none = np.zeros_like(t)
    work = 3.0 + 3.0 * t / t[-1]
    hr = 70.0 + 10.0 * work + np.random.default_rng(8).normal(0.0, 1.0, t.size)
    response = fit_response(track_of(t, hr, vertical_speed_mps=none), work)
    assert response.status is FitStatus.TERRAIN_IS_TIME
    assert "cannot be told apart" in response.reason
    fair = terrain_fair_decoupling(response)
    assert np.isfinite(fair.percent)
    assert fair.interval_percent[1] - fair.interval_percent[0] > 10.0


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
def test_what_cannot_carry_a_fit_says_why(minutes, silent_from, status):
    t = np.arange(minutes * 60.0)
    hr = pull_at(t)
    if silent_from is not None:
        hr[silent_from:] = np.nan
    response = fit_response(track_of(t, hr), work_at(t))
    assert response.status is status
    assert response.reason.endswith(".")
    assert terrain_fair_decoupling(response).reason == response.reason


def test_a_heart_rate_against_the_work_is_doubted():
    t = np.arange(7200.0)
    work = 5.0 + np.sin(t / 200.0)
    none = np.zeros_like(t)
    response = fit_response(track_of(t, 180.0 - 10.0 * work, vertical_speed_mps=none), work)
    assert response.status is FitStatus.NO_RESPONSE
    assert response.drift_bpm_per_h is not None


def test_one_sample_is_no_data():
    assert fit_response(track_of(np.zeros(1), np.array([90.0])), np.array([1.0])).status is FitStatus.NO_DATA
