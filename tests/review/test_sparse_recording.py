"""A recording every few seconds says of the heart what one a second says."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.analysis.response.decoupling import TerrainFair
from slopebeat.files.reading import read_recordings
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.outing import Review, review_recording

RECORDINGS = Path(__file__).parents[3] / "shared" / "recordings"
REAL = ("gravel_device_zone_times.fit", "road_power_1hz.fit", "run_developer_fields.fit")
STEPS = (1, 2, 4, 8)


def thinned(recording: Recording, step: int) -> Recording:
    """Every ``step``-th record and the last, as a device that records sparsely would have written."""
    kept = np.arange(len(recording.samples)) % step == 0
    kept[-1] = True
    return replace(recording, samples=recording.samples.rows(kept))


def assert_all_told(review: Review) -> None:
    for figure in (review.account, review.causes, review.extension, review.ceiling):
        assert figure is not None


def assert_alike(whole: Review, thin: Review, seconds_apart: float) -> None:
    """Everything told of both lies within noise of one another."""
    assert whole.account is not None
    assert thin.account is not None
    assert whole.causes is not None
    assert thin.causes is not None
    assert whole.extension is not None
    assert thin.extension is not None
    assert thin.elevation.ascent_m == pytest.approx(whole.elevation.ascent_m, rel=0.04)
    # Seconds of every cell within a fiftieth of the time recorded.
    np.testing.assert_allclose(cells(thin.account), cells(whole.account), atol=seconds_apart)
    before, after = (np.array(list(found.seconds.values())) for found in (whole.causes, thin.causes))
    # Seconds that moved from one cause to another, of all that were not in band.
    assert np.abs(after - before).sum() / 2.0 < 0.1 * before.sum()
    assert [c.gain_m for c in thin.climbs] == pytest.approx([c.gain_m for c in whole.climbs], abs=3.0)
    beats = [sum(episode.bpm_minutes for episode in review.episodes) for review in (whole, thin)]
    assert beats[1] == pytest.approx(beats[0], rel=0.03)
    assert thin.decoupling.pace.percent == pytest.approx(whole.decoupling.pace.percent, abs=2.0)
    assert thin.decoupling.work.percent == pytest.approx(whole.decoupling.work.percent, abs=2.0)
    assert thin.extension.yield_share == pytest.approx(whole.extension.yield_share, abs=0.01)
    assert_ceiling_alike(whole, thin)


def assert_ceiling_alike(whole: Review, thin: Review) -> None:
    assert whole.ceiling is not None
    assert thin.ceiling is not None
    both = np.isin(np.round(whole.ceiling.grade, 3), np.round(thin.ceiling.grade, 3))
    same = np.isin(np.round(thin.ceiling.grade, 3), np.round(whole.ceiling.grade, 3))
    before, after = whole.ceiling.speed_mps[both], thin.ceiling.speed_mps[same]
    known = np.isfinite(before) & np.isfinite(after)
    assert known.sum() >= 3
    assert np.median(np.abs(after / before - 1.0)[known]) < 0.03


def cells(account: TimeAccount) -> np.ndarray:
    """Seconds in, above and below the band, and moving."""
    return np.array([account.in_band_s, account.above_s, account.below_s, account.moving_s])


@pytest.mark.parametrize("name", REAL)
def test_everything_told_of_an_outing_stays_when_a_real_recording_is_thinned(name: str) -> None:
    if not (RECORDINGS / name).is_file():
        pytest.skip("the real recordings are not beside the project")
    recording = read_recordings(RECORDINGS / name)[0]
    middle = round(float(np.nanmedian(recording.samples["hr_bpm"])))
    aim = Aim(band=Band(middle - 8, middle + 6))
    whole, *rest = (review_recording(thinned(recording, step), aim) for step in STEPS)
    assert_all_told(whole)
    assert whole.account is not None
    recorded = whole.account.recorded_s
    for thin in rest:
        assert_all_told(thin)
        assert_alike(whole, thin, 0.02 * recorded)


@pytest.mark.parametrize("name", REAL)
def test_the_row_moves_by_less_than_noise_when_a_real_recording_is_thinned(name: str) -> None:
    if not (RECORDINGS / name).is_file():
        pytest.skip("the real recordings are not beside the project")
    recording = read_recordings(RECORDINGS / name)[0]
    rows: list[TerrainFair] = [
        review_recording(thinned(recording, step), Aim()).terrain_fair for step in STEPS
    ]
    whole = rows[0]
    assert whole.percent is not None
    assert whole.interval_percent is not None
    low, high = whole.interval_percent
    for row in rows[1:]:
        assert row.percent is not None
        assert row.interval_percent is not None
        # A tenth of the interval's width is half of its standard error at most.
        assert abs(row.percent - whole.percent) < 0.1 * (high - low)
        assert row.interval_percent == pytest.approx((low, high), abs=0.15 * (high - low))
        assert row.status is whole.status
        assert row.response.used_s == pytest.approx(whole.response.used_s, rel=0.03)
