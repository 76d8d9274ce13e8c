from __future__ import annotations

import numpy as np
import pytest

from slopebeat.analysis.account.extension import extension, with_interval, yield_interval
from slopebeat.analysis.account.time_account import time_account
from slopebeat.model.bands import Band
from synthetic import track

BAND = Band(112, 131)


def switching(rng: np.random.Generator, hours: float, mean_in_s: float, mean_out_s: float) -> np.ndarray:
    """Heart rate that goes in and out of band for exponentially distributed stretches."""
    n = round(hours * 3600)
    hr = np.empty(n)
    at, inside = 0, rng.random() < mean_in_s / (mean_in_s + mean_out_s)
    while at < n:
        lasts = 1 + int(rng.exponential(mean_in_s if inside else mean_out_s))
        hr[at : at + lasts] = 120.0 if inside else 150.0
        at, inside = at + lasts, not inside
    return hr


def test_the_interval_covers_the_long_run_yield_about_as_often_as_it_says() -> None:
    # Independent truth: stretches of 4 min in and 6 min out of band have a yield of 0.4 in the long run.
    rng = np.random.default_rng(17)
    hits = 0
    for _ in range(200):
        hr = switching(rng, 3.0, 240.0, 360.0)
        interval = yield_interval(track(np.arange(float(hr.size)), hr=hr), BAND)
        assert interval is not None
        hits += interval[0] <= 0.4 <= interval[1]
    assert 0.85 <= hits / 200 <= 0.99


def test_the_interval_holds_the_yield_and_turns_into_needed_time() -> None:
    hr = switching(np.random.default_rng(3), 3.0, 240.0, 360.0)
    ground = track(np.arange(float(hr.size)), hr=hr)
    answer = with_interval(extension(time_account(ground, BAND), 2700.0), ground, BAND)
    assert answer.yield_share is not None
    assert answer.yield_low is not None
    assert answer.yield_high is not None
    assert answer.yield_low < answer.yield_share < answer.yield_high
    assert answer.needed_low_s == pytest.approx(2700.0 / answer.yield_high)
    assert answer.needed_high_s == pytest.approx(2700.0 / answer.yield_low)


def test_the_same_recording_gives_the_same_interval() -> None:
    hr = switching(np.random.default_rng(5), 2.0, 100.0, 100.0)
    ground = track(np.arange(float(hr.size)), hr=hr)
    assert yield_interval(ground, BAND) == yield_interval(ground, BAND)


def test_an_outing_too_short_to_tell_has_no_interval() -> None:
    assert yield_interval(track(np.arange(1500.0)), BAND) is None


def test_steady_ground_leaves_nothing_to_doubt() -> None:
    assert yield_interval(track(np.arange(7200.0)), BAND) == (1.0, 1.0)


def test_seconds_in_band_behind_the_last_full_minute_give_no_length() -> None:
    # 31 min of which only the last 5 s, in no full minute, are in band: the interval of the yield is 0 to 0.
    seconds = np.arange(31 * 60.0 + 6.0)
    ground = track(seconds, hr=np.where(seconds < 31 * 60.0, 150.0, 120.0))
    answer = with_interval(extension(time_account(ground, BAND), 2700.0), ground, BAND)
    assert answer.in_band_s == 5.0
    assert answer.yield_low == answer.yield_high == 0.0
    assert answer.needed_low_s is None
    assert answer.needed_high_s is None
