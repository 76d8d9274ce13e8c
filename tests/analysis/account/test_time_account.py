from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from helpers.checks import not_none
from helpers.recordings import recording, track
from slopebeat.analysis.account.time_account import BandState, extension, time_account
from slopebeat.cleaning.clean import clean
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.spans import Spans
from slopebeat.review.outing import review_recording

BAND = Band(112, 131)


@given(
    st.lists(st.sampled_from([0.5, 1.0, 3.0, 29.0, 31.0, 400.0]), min_size=2, max_size=60),
    st.integers(0, 2**32 - 1),
)
def test_every_second_is_in_exactly_one_cell(steps: list[float], seed: int) -> None:
    t = np.concatenate(([0.0], np.cumsum(steps)))
    rng = np.random.default_rng(seed)
    hr = np.where(rng.random(t.size) < 0.2, np.nan, rng.integers(90, 160, t.size).astype(float))
    pauses = Spans.from_pairs([(rng.uniform(0, t[-1]), rng.uniform(0, t[-1])) for _ in range(3)])
    account = time_account(clean(recording(t, hr=lambda _: hr, pauses=pauses)).track, BAND)
    cells = sum(account.moving.values()) + sum(account.stopped.values())
    assert cells + account.pause_s + account.gap_s == pytest.approx(account.span_s, abs=1e-6)
    sides = account.in_band_s + account.above_s + account.below_s + account.no_hr_s
    assert sides == pytest.approx(account.recorded_s, abs=1e-6)


def test_seconds_are_counted_by_hand_on_a_small_outing() -> None:
    hr = np.array([100, 111, 112, 131, 132, np.nan, 120, 120], dtype=float)
    moving = np.array([1, 1, 1, 1, 1, 1, 0, 0], dtype=bool)
    account = time_account(track(np.arange(8.0) * 2.0, hr=hr, moving=moving), BAND)
    assert account.below_s == 4.0
    assert account.in_band_s == 6.0
    assert account.above_s == 2.0
    assert account.no_hr_s == 2.0
    assert account.stopped[BandState.IN_BAND] == 2.0


def thinned(full: Recording, every: int) -> Recording:
    samples = full.samples.rows(slice(None, None, every))
    return Recording(samples, full.start_utc, full.sport, pauses=full.pauses)


@pytest.mark.parametrize("every", [2, 5, 10])
def test_thinned_sampling_gives_the_same_account_within_a_percent(every: int) -> None:
    t = np.arange(7200.0)

    def heart(s: np.ndarray) -> np.ndarray:
        return np.round(122.0 + 18.0 * np.sin(s / 170.0) + 4.0 * np.sin(s / 31.0))

    fine = review_recording(recording(t, hr=heart), Aim(BAND)).account
    coarse = review_recording(thinned(recording(t, hr=heart), every), Aim(BAND)).account
    assert fine is not None
    assert coarse is not None
    for name in ("in_band_s", "above_s", "below_s"):
        assert getattr(coarse, name) == pytest.approx(getattr(fine, name), abs=0.01 * fine.span_s)


def test_needed_time_is_target_over_yield() -> None:
    # 45 min at a yield of 0.62 is 72.6 min (plain arithmetic).
    t = np.arange(10_001.0)
    hr = np.where(t < 6200, 120.0, 150.0)
    answer = extension(time_account(track(t, hr=hr), BAND), 45 * 60.0)
    assert answer.yield_share == pytest.approx(0.62)
    assert answer.needed_s == pytest.approx(72.58 * 60, abs=1.0)
    assert answer.extra_s == pytest.approx(not_none(answer.needed_s) - 45 * 60)
    assert (answer.missing_s, answer.more_s) == (0.0, 0.0)


def test_what_is_missing_is_collected_at_the_same_yield() -> None:
    t = np.arange(1001.0)
    answer = extension(time_account(track(t, hr=np.where(t < 500, 120.0, 150.0)), BAND), 1000.0)
    assert answer.missing_s == 500.0
    assert answer.more_s == 1000.0


def test_with_nothing_in_band_no_length_reaches_the_target() -> None:
    answer = extension(time_account(track(np.arange(100.0), hr=150.0), BAND), 1000.0)
    assert (answer.yield_share, answer.needed_s, answer.extra_s, answer.more_s) == (0.0, None, None, None)


def test_shares_are_of_the_time_with_trusted_heart_rate() -> None:
    """1,000 s recorded, 600 of them with heart rate, 150 in band: a quarter, covering 60 %."""
    t = np.arange(1001.0)
    hr = np.where(t < 150, 120.0, np.where(t < 600, 150.0, np.nan))
    account = time_account(track(t, hr=hr), Band(112, 131))
    assert account.coverage == pytest.approx(0.6)
    assert account.share(account.in_band_s) == pytest.approx(0.25)
    assert account.share_of(BandState.NO_HEART_RATE) == pytest.approx(0.4)
    longer = extension(account, 600.0)
    assert longer.yield_share == pytest.approx(0.25)
    assert longer.needed_s == pytest.approx(2400.0)


def test_under_half_of_trusted_heart_rate_neither_share_nor_length_is_told() -> None:
    t = np.arange(1001.0)
    account = time_account(track(t, hr=np.where(t < 499, 120.0, np.nan)), Band(112, 131))
    assert not account.covered
    assert account.share_of(BandState.IN_BAND) is None
    longer = extension(account, 600.0)
    assert (longer.yield_share, longer.needed_s, longer.more_s) == (None, None, None)
    assert longer.in_band_s == pytest.approx(499.0)


def test_no_length_over_a_working_day_is_told() -> None:
    """At 1 % in band 45 minutes would take 75 hours."""
    t = np.arange(10_001.0)
    account = time_account(track(t, hr=np.where(t < 100, 120.0, 150.0)), Band(112, 131))
    longer = extension(account, 2700.0)
    assert longer.yield_share == pytest.approx(0.01)
    assert (longer.needed_s, longer.extra_s, longer.more_s) == (None, None, None)
