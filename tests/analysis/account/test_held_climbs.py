"""The outing gone again with its climbs held, against a walker whose heart is known exactly."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.account.climbs import Climb, find_climbs
from slopebeat.analysis.account.heart_parts import heart_parts
from slopebeat.analysis.account.held_climbs import EASE, HeldOuting, hold_climbs
from slopebeat.analysis.account.time_account import time_account
from slopebeat.analysis.response.fit import fit_response
from slopebeat.analysis.response.lag import lag_means
from slopebeat.analysis.response.work_rate import steady_work, work_rate_w_per_kg
from slopebeat.model.bands import Band
from slopebeat.model.track import Array, Track

BODY_KG, LEVEL_BPM, PER_W_KG, LAG_S = 75.0, 60.0, 11.0, 45.0


def walk_over_two_hills(top_grade: float = 0.12) -> tuple[Track, Array]:
    """Level, up and down twice, 1.3 m/s throughout; heart rate = 60 + 11 work, lagged by 45 s."""
    t = np.arange(0.0, 7200.0)
    leg = (t % 3600.0) / 600.0
    grade = np.select([leg < 2.0, leg < 4.0], [0.0, top_grade], -top_grade)
    rng = np.random.default_rng(4)
    going = track(t, grade=grade, speed=1.3 + 0.08 * np.sin(t / 90.0))
    work = work_rate_w_per_kg(going, BODY_KG)
    hr = LEVEL_BPM + PER_W_KG * lag_means(work, 1.0, LAG_S) + rng.normal(0.0, 0.3, t.size)
    return Track(**{**going.__dict__, "hr_bpm": hr}), work


def held(walk: tuple[Track, Array], band: Band, climbs: tuple[Climb, ...] | None = None) -> HeldOuting | None:
    going, work = walk
    steady, response = steady_work(False, BODY_KG, 0.0, 0.0), fit_response(going, work)
    parts = heart_parts(going, work, response, steady)
    found = find_climbs(going) if climbs is None else climbs
    return hold_climbs(going, work, response, parts, steady, band, found)


@pytest.fixture(scope="module")
def two_hills() -> tuple[Track, Array]:
    return walk_over_two_hills()


def test_heart_rate_on_a_held_climb_settles_at_the_aim(two_hills: tuple[Track, Array]) -> None:
    going, work = two_hills
    level = LEVEL_BPM + PER_W_KG * float(work[600])
    band = Band(round(level) - 8, round(level) + 12)
    found = held(two_hills, band)
    assert found is not None
    assert found.aimed_bpm == pytest.approx(band.upper_bpm - EASE * 20.0)
    late = (going.grade > 0.1) & ((going.t_s % 3600.0) > 2000.0)
    assert np.median(found.hr_bpm[late]) == pytest.approx(found.aimed_bpm, abs=1.5)
    assert np.median(going.hr_bpm[late]) > band.upper_bpm + 5.0


def test_where_nothing_changes_the_heart_rate_is_the_recorded_one_to_the_last_digit(
    two_hills: tuple[Track, Array],
) -> None:
    """A heart rate recorded as the upper edge is in band; a rounding must not put it above."""
    going, work = two_hills
    level = LEVEL_BPM + PER_W_KG * float(work[600])
    found = held(two_hills, Band(round(level) - 8, round(level)))
    assert found is not None
    off = np.abs(found.hr_bpm - going.hr_bpm)
    assert (off == 0.0).sum() > 1000
    assert not ((off > 0.0) & (off < 1e-9)).any()


def test_speed_is_the_one_whose_work_gives_that_heart_rate(two_hills: tuple[Track, Array]) -> None:
    """Turned round by hand: work at the aim, then the speed that costs it, by bisection."""
    _, work = two_hills
    level = LEVEL_BPM + PER_W_KG * float(work[600])
    band = Band(round(level) - 8, round(level) + 12)
    found = held(two_hills, band)
    assert found is not None
    wanted = (found.aimed_bpm - LEVEL_BPM) / PER_W_KG
    low, high = 0.1, 1.4
    for _ in range(40):
        speed = 0.5 * (low + high)
        uphill = track(np.arange(5.0), grade=0.12, speed=speed)
        low, high = (speed, high) if work_rate_w_per_kg(uphill, BODY_KG)[2] < wanted else (low, speed)
    for climb in found.climbs:
        assert climb.speed_mps == pytest.approx(speed, rel=0.06)
        assert climb.vertical_speed_mps == pytest.approx(0.12 * speed, rel=0.06)
        assert climb.too_steep_s == 0.0
    slower = 1200.0 * (1.3 / speed - 1.0)
    assert found.climbs[0].longer_s == pytest.approx(slower, rel=0.15)
    assert found.recorded_s - found.was_recorded_s == pytest.approx(sum(c.longer_s for c in found.climbs))


def test_what_is_counted_before_agrees_with_the_time_account(two_hills: tuple[Track, Array]) -> None:
    band = Band(100, 120)
    found = held(two_hills, band)
    assert found is not None
    account = time_account(two_hills[0], band)
    assert found.was_in_band_s == pytest.approx(account.in_band_s)
    assert found.was_recorded_s == pytest.approx(account.recorded_s)


def test_nothing_changes_where_the_band_holds_already(two_hills: tuple[Track, Array]) -> None:
    going, _ = two_hills
    found = held(two_hills, Band(40, 215))
    assert found is not None
    assert found.in_band_s == pytest.approx((float(going.recorded_s.sum()),) * 3)
    assert np.array_equal(found.lasts_s, going.recorded_s)
    assert found.hr_bpm == pytest.approx(going.hr_bpm, abs=0.01)
    assert all(climb.speed_mps is None and climb.longer_s == 0.0 for climb in found.climbs)


def test_too_steep_is_said_and_gone_at_the_slowest() -> None:
    steep = walk_over_two_hills(0.35)
    level = LEVEL_BPM + PER_W_KG * float(steep[1][600])
    found = held(steep, Band(round(level) - 25, round(level) - 10))
    assert found is not None
    assert found.climbs[0].too_steep_s > 600.0


def test_without_climbs_there_is_nothing_to_hold(two_hills: tuple[Track, Array]) -> None:
    assert held(two_hills, Band(100, 120), climbs=()) is None
