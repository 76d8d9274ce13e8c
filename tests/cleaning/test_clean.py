from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.cleaning import clean as cleaning
from slopebeat.cleaning.clean import clean, with_marks
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.spans import Spans

T = np.arange(2400.0)


def test_grade_is_rise_over_run_of_the_ground() -> None:
    track = clean(recording(T, elevation=lambda t: 800.0 + 0.12 * 1.1 * t, speed=1.1)).track
    assert np.allclose(track.grade, 0.12, atol=1e-6)


def test_nothing_is_smoothed_across_a_pause() -> None:
    t = np.concatenate((np.arange(600.0), np.arange(4200.0, 4800.0)))
    level = recording(
        t, elevation=lambda s: np.where(s < 1000, 500.0, 700.0), pauses=Spans.from_pairs([(600, 4200)])
    )
    track = clean(level).track
    assert np.allclose(track.elevation_m, np.where(t < 1000, 500.0, 700.0))
    assert np.allclose(track.vertical_speed_mps, 0.0)


def test_thinned_sampling_gives_the_same_grade_and_speed() -> None:
    def hills(t: np.ndarray) -> np.ndarray:
        return 500.0 + 60.0 * np.sin(t / 300.0)

    fine = clean(recording(T, elevation=hills)).track
    coarse = clean(recording(T[::5], elevation=hills)).track
    assert np.allclose(coarse.grade, fine.grade[::5], atol=0.003)


def test_slope_is_smoothed_over_a_switchback_s_arm() -> None:
    """A Gaussian of deviation s leaves exp(-2 (pi s / L)^2) of waves of length L, its Fourier transform.

    Waves of 120 m of ground keep 73 % of their slope over 15 m, waves of 40 m hardly any.
    """
    pace, height = 1.2, 1.0
    for length_m in (120.0, 40.0):
        wave = 2.0 * np.pi / length_m

        def waves(t: np.ndarray, wave: float = wave) -> np.ndarray:
            return np.asarray(height * np.sin(wave * pace * t))

        walk = recording(T, elevation=waves, speed=pace)
        steepest = float(np.abs(clean(walk).track.grade[300:-300]).max())
        left = np.exp(-2.0 * (np.pi * 15.0 / length_m) ** 2)
        assert steepest == pytest.approx(height * wave * left, rel=0.06, abs=0.002)


def test_other_marks_on_the_heart_rate_leave_the_ground_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same as cleaning all over again, field by field, without smoothing anything once more."""
    hills = recording(T, hr=lambda t: 130.0 + np.sin(t), elevation=lambda t: 500.0 + 60.0 * np.sin(t / 300.0))
    first = clean(hills)
    doubts = {
        channel: (*first.marks, Mark(600.0, 900.0, channel, Reason.BY_HAND))
        for channel in (Channel.HEART_RATE, Channel.POSITION)
    }
    wanted = {channel: clean(hills, marks).track for channel, marks in doubts.items()}
    assert np.isnan(wanted[Channel.HEART_RATE].hr_bpm).sum() == 300
    assert wanted[Channel.POSITION].distance_m[-1] < first.track.distance_m[-1]
    found = {Channel.POSITION: with_marks(first, hills, doubts[Channel.POSITION])}
    monkeypatch.setattr(cleaning, "smooth_elevation", None)
    found[Channel.HEART_RATE] = with_marks(first, hills, doubts[Channel.HEART_RATE])
    for channel, cleaned in found.items():
        assert cleaned.marks == doubts[channel]
        for name, values in vars(wanted[channel]).items():
            np.testing.assert_array_equal(getattr(cleaned.track, name), values, err_msg=name)
