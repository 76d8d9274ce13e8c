from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.route.past import past_outing, unrest_of, work_variation
from slopebeat.model.codec import convert, to_builtins
from slopebeat.model.evidence import GRADES, PastOuting

START = datetime(2026, 5, 2, 7, 30, tzinfo=UTC)


def sine(n: int = 7200) -> np.ndarray:
    return np.asarray(140.0 + 20.0 * np.sin(2.0 * np.pi * np.arange(n) / 600.0))


def test_mean_and_spread_are_those_of_the_samples() -> None:
    hr = np.rint(sine())
    past = past_outing(track(np.arange(7200.0), hr=hr), np.ones(7200), START)
    # The last sample stands for no time.
    assert past.mean_bpm == pytest.approx(np.mean(hr[:-1]), abs=0.01)
    assert past.spread_bpm == pytest.approx(np.std(hr[:-1]), abs=0.01)
    assert past.share_in(130, 150) == pytest.approx(np.mean((hr[:-1] >= 130) & (hr[:-1] <= 150)), abs=1e-3)


def test_the_shape_has_mean_nought_and_spread_one() -> None:
    past = past_outing(track(np.arange(7200.0), hr=sine()), np.ones(7200), START)
    middle = 0.5 * (past.shape[1:] + past.shape[:-1])
    assert middle.mean() == pytest.approx(0.0, abs=0.02)
    assert middle.std() == pytest.approx(1.0, abs=0.02)


def test_it_comes_back_from_its_json_and_passes_over_what_is_new() -> None:
    past = past_outing(track(np.arange(7200.0), hr=sine()), np.ones(7200), START, 12.0, (46.123456, 7.98765))
    assert convert(to_builtins(past) | {"later": 1}, PastOuting) == past
    assert (past.start_lat_deg, past.start_lon_deg) == (46.123, 7.988)


def test_metres_lie_on_the_grade_they_were_gone_on() -> None:
    t = np.arange(3600.0)
    walked = track(t, speed=1.5, grade=0.10)
    past = past_outing(walked, np.ones(3600), START)
    metres, seconds = np.array(past.grade_metres), np.array(past.grade_seconds)
    at = int(np.argmin(np.abs(GRADES - 0.10)))
    assert metres[at] / metres.sum() > 0.95
    assert metres[at] / seconds[at] == pytest.approx(1.5, rel=0.02)
    assert past.unrest == pytest.approx(0.0, abs=0.01)


def test_an_outing_without_distance_or_heart_rate_says_so() -> None:
    bare = track(np.arange(3600.0), hr=np.nan)
    past = past_outing(bare, np.full(3600, np.nan), START)
    assert (past.has_heart, past.work_variation) == (False, None)
    assert np.isnan(past.mean_bpm)


def test_the_unevenness_of_minutes_is_that_of_a_square_wave() -> None:
    # Minutes of 2 and of 4 W/kg in turn: mean 3, deviation 1.
    work = np.where((np.arange(3601) // 60) % 2 == 0, 2.0, 4.0)
    assert work_variation(track(np.arange(3601.0)), work) == pytest.approx(1.0 / 3.0, rel=0.02)


def test_quick_changes_of_grade_are_no_unrest_and_slow_ones_are() -> None:
    lasts = np.full(3600, 1.0)
    quick = 0.1 * np.sin(2 * np.pi * np.arange(3600) / 20.0)
    slow = 0.1 * np.sin(2 * np.pi * np.arange(3600) / 1800.0)
    assert unrest_of(quick, lasts) < 0.01
    assert unrest_of(slow, lasts) == pytest.approx(0.1 / np.sqrt(2.0), rel=0.1)


def test_half_of_the_time_without_heart_rate_leaves_no_mean() -> None:
    hr = np.where(np.arange(7200) < 4000, np.nan, 140.0)
    assert not past_outing(track(np.arange(7200.0), hr=hr), np.ones(7200), START).has_heart
    hr = np.where(np.arange(7200) < 3000, np.nan, 140.0)
    assert past_outing(track(np.arange(7200.0), hr=hr), np.ones(7200), START).has_heart
