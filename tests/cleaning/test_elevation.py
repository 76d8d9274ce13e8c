"""Ascent against what the recording devices themselves summed up."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slopebeat.cleaning.clean import clean
from slopebeat.cleaning.elevation import (
    ascent_descent,
    elevation_noise_m,
    smooth_elevation,
    smoothing_sigma_s,
)
from slopebeat.files.reading import read_recordings
from slopebeat.model.marks import Channel, Mark, MarkState, Reason

T = np.arange(3600.0)
RUNNING = np.zeros(3600)


def ascent_one_sample_at_a_time(z: list[float], threshold: float) -> float:
    """The rule of hysteresis written as a person would walk it, to check the vectorised one."""
    up, base, peak, rising = 0.0, z[0], z[0], None
    lowest = highest = z[0]
    for value in z:
        if rising is None:
            lowest, highest = min(lowest, value), max(highest, value)
            if value - lowest >= threshold:
                rising, base, peak = True, lowest, value
            elif highest - value >= threshold:
                rising, base = False, value
        elif rising:
            peak = max(peak, value)
            if peak - value >= threshold:
                up, rising, base = up + peak - base, False, value
        else:
            base = min(base, value)
            if value - base >= threshold:
                rising, peak = True, value
    return up + (peak - base if rising else 0.0)


@given(st.lists(st.integers(0, 30), min_size=1, max_size=60), st.integers(1, 6))
def test_ascent_equals_the_rule_walked_step_by_step(heights: list[int], threshold: int) -> None:
    z = np.array(heights, dtype=float)
    up, down = ascent_descent(z, threshold)
    assert up == ascent_one_sample_at_a_time([float(h) for h in heights], threshold)
    assert down == ascent_one_sample_at_a_time([-float(h) for h in heights], threshold)


def test_small_wiggles_count_for_nothing_and_a_hill_in_full() -> None:
    wiggle = 0.9 * np.sin(T / 7.0)
    hill = 200.0 * np.sin(np.pi * T / 3600.0)
    assert ascent_descent(wiggle, 2.0) == (0.0, 0.0)
    up, down = ascent_descent(hill, 2.0)
    assert up == pytest.approx(200.0, abs=0.1)
    assert down == pytest.approx(200.0, abs=0.2)


@pytest.mark.parametrize("sigma", [0.05, 0.3, 1.0])
def test_the_noise_of_white_noise_is_its_own_deviation(sigma: float) -> None:
    # The largest 2 % of second differences are left out, which for normal noise lowers the figure by
    # the deviation of a normal trimmed at 2.33: 0.93 (from its closed form 1 - 2 c phi(c) / (2 Phi(c) - 1)).
    z = T * 0.1 + np.random.default_rng(3).normal(0.0, sigma, T.size)
    for every in (1, 3, 7):
        noise, step = elevation_noise_m(T[::every], z[::every], RUNNING[::every])
        assert noise == pytest.approx(0.93 * sigma, rel=0.10)
        assert step == every


def test_bends_across_a_pause_are_no_noise() -> None:
    z = np.where(T < 1800, 0.1 * T, 500.0 + 0.1 * T)
    broken = np.where(T == 1799, 900.0, 0.0)
    assert elevation_noise_m(T + np.where(T >= 1800, 900.0, 0.0), z, broken)[0] == pytest.approx(
        0.0, abs=1e-9
    )


def test_more_noise_calls_for_a_wider_filter_within_limits() -> None:
    widths = [smoothing_sigma_s(noise) for noise in (0.0, 0.4, 0.6, 5.0)]
    assert widths == sorted(widths)
    assert (widths[0], widths[-1]) == (5.0, 30.0)
    assert smoothing_sigma_s(0.6, 3.0) > smoothing_sigma_s(0.6, 1.0)


def test_level_ground_stays_level_under_a_noisy_barometer_and_rare_records() -> None:
    t = np.arange(0.0, 3600.0, 3.0)
    z = 400.0 + np.random.default_rng(6).normal(0.0, 0.6, t.size)
    rate = smooth_elevation(t, z, 1.4 * t, np.zeros(t.size)).rate_mps
    assert np.mean(np.abs(rate / 1.4) > 0.03) < 0.01


def test_ascent_of_a_noisy_climb_is_the_climb_not_the_noise() -> None:
    rng = np.random.default_rng(8)
    z = 300.0 * T / 3600.0 + rng.normal(0.0, 0.6, T.size)
    raw = np.sum(np.maximum(np.diff(z), 0.0))
    elevation = smooth_elevation(T, z, 1.2 * T, RUNNING)
    assert raw > 1000.0
    assert elevation.ascent_m == pytest.approx(300.0, rel=0.02)
    assert elevation.descent_m == pytest.approx(0.0, abs=4.0)


def test_a_steady_rise_stays_one_up_to_both_ends() -> None:
    elevation = smooth_elevation(T, 0.25 * T, 1.2 * T, RUNNING)
    assert np.allclose(elevation.smoothed_m, 0.25 * T, atol=1e-9)
    assert np.allclose(elevation.rate_mps, 0.25, atol=1e-9)


def test_the_ascent_is_shown_at_three_thresholds_and_falls_with_them() -> None:
    z = 3.0 * np.sin(T / 60.0)
    ascents = smooth_elevation(T, z, 1.2 * T, RUNNING).ascent_by_threshold_m
    assert list(ascents) == [1.0, 2.0, 5.0]
    assert ascents[1.0] >= ascents[2.0] >= ascents[5.0]


def test_weather_during_a_pause_is_no_ascent_but_a_lift_is() -> None:
    t = np.concatenate((np.arange(600.0), np.arange(4200.0, 4800.0)))
    broken = np.zeros(t.size)
    broken[599] = 3600.0
    z = np.where(t < 1000, 500.0, 540.0)
    still, moved = 0.5 * np.minimum(t, 599.0), t.copy()
    assert smooth_elevation(t, z, still, broken).ascent_m == 0.0
    assert smooth_elevation(t, z, moved, broken).ascent_m == pytest.approx(40.0)


def test_a_marked_step_is_taken_out_and_a_rejected_mark_leaves_it() -> None:
    z = np.where(T < 100, 451.0, 500.0)
    mark = Mark(99.0, 100.0, Channel.ELEVATION, Reason.ELEVATION_STEP)
    rejected = Mark(99.0, 100.0, Channel.ELEVATION, Reason.ELEVATION_STEP, MarkState.REJECTED)
    assert smooth_elevation(T, z, 1.2 * T, RUNNING, (mark,)).ascent_m == 0.0
    assert smooth_elevation(T, z, 1.2 * T, RUNNING, (rejected,)).ascent_m == pytest.approx(49.0, abs=0.5)


def test_without_elevation_nothing_is_claimed() -> None:
    elevation = smooth_elevation(T, np.full(T.shape, np.nan), 1.2 * T, RUNNING)
    assert elevation.ascent_m is None
    assert np.isnan(elevation.smoothed_m).all()


def test_ascent_is_near_the_devices_own_on_most_recordings(
    recordings: Path, index: dict[str, dict[str, str]]
) -> None:
    ratios = {}
    for name, row in index.items():
        if not row["device_ascent_m"]:
            continue
        ascents = [clean(r).elevation.ascent_m or 0.0 for r in read_recordings(recordings / name)]
        ratios[name] = sum(ascents) / float(row["device_ascent_m"])
    near = [name for name, ratio in ratios.items() if abs(ratio - 1.0) <= 0.15]
    assert len(ratios) >= 10
    assert len(near) >= 0.8 * len(ratios), ratios
