"""Stretches of heart rate and work that are doubted: faults put into real runs, and clean ones left alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from helpers.recordings import track
from slopebeat.analysis.doubts.heart_rate import doubts_alone, own_line, wrong_side
from slopebeat.analysis.doubts.steps import lasting, outing_steps
from slopebeat.analysis.doubts.work import MOST_W_PER_KG, doubtful_work
from slopebeat.analysis.response.grid import make_grid
from slopebeat.files.reading import read_recordings
from slopebeat.model.marks import Channel, Mark, Reason
from slopebeat.model.numerics import true_runs
from slopebeat.model.outing.records import covered, covers
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.samples import sample_table
from slopebeat.model.track import Array
from slopebeat.review.outing import Review, review_recording

RUNS = ("run_developer_fields.fit", "run_broken_developer_fields.fit", "run_short.fit")
FALSE_MIN_PER_H = 0.3
"""Doubted of runs nobody found wrong, minutes an hour, that is put up with [project choice]."""

BY_RULES = {
    Reason.RESTING_RUN,
    Reason.FAR_BELOW,
    Reason.FAR_ABOVE,
    Reason.WRONG_SIDE,
    Reason.FROZEN,
    Reason.ERRATIC,
    Reason.STEP_LOCKED,
    Reason.SPIKE,
}


def real_run(recordings: Path, name: str) -> Recording:
    return read_recordings(recordings / name)[0]


def marked(review: Review) -> np.ndarray:
    marks = [m for m in review.marks if m.reason in BY_RULES]
    return covered(review.track.t_s, marks, Channel.HEART_RATE)


def share_found(
    run: Recording, change: Callable[[Array], Array], start_s: float = 900.0, lasts_s: float = 600.0
) -> float:
    """Share of a fault's records under a mark."""
    table = run.samples.frame()
    t = table["t_s"].to_numpy()
    here = (t >= start_s) & (t < start_s + lasts_s)
    table.loc[here, "hr_bpm"] = np.round(change(table["hr_bpm"].to_numpy()[here]))
    return float(marked(review_recording(replace(run, samples=sample_table(table)), Aim()))[here].mean())


@pytest.mark.parametrize("name", RUNS)
@pytest.mark.parametrize("fault", ["60 too low", "half", "40 too high"])
def test_gross_faults_in_real_runs_are_found(recordings: Path, name: str, fault: str) -> None:
    changes: dict[str, Callable[[Array], Array]] = {
        "60 too low": lambda hr: hr - 60.0,
        "half": lambda hr: hr / 2.0,
        "40 too high": lambda hr: hr + 40.0,
    }
    assert share_found(real_run(recordings, name), changes[fault]) > 0.6


@pytest.mark.parametrize("name", RUNS)
def test_clean_real_runs_are_left_alone(recordings: Path, name: str) -> None:
    review = review_recording(real_run(recordings, name), Aim())
    hours = float(review.track.recorded_s.sum()) / 3600.0
    minutes = float(review.track.recorded_s[marked(review)].sum()) / 60.0
    assert minutes / hours <= FALSE_MIN_PER_H


def test_a_step_rate_taken_for_a_heart_rate_is_found() -> None:
    """168 steps a minute while the heart, by the outing's own line, does 140."""
    t = np.arange(0.0, 3600.0)
    here = (t >= 1500.0) & (t < 2100.0)
    hr = np.where(here, 168.0 + np.sin(t / 7.0), 140.0 + np.sin(t / 11.0))
    run = track(t, hr=hr, speed=2.8)
    steps = outing_steps(run, make_grid(run, np.full(t.shape, 10.0)), np.full(t.shape, 168.0))
    found = doubts_alone(steps, running=True)
    locked = np.repeat(found[Reason.STEP_LOCKED], 5)
    assert locked[here].mean() > 0.9
    assert not locked[~here].any()


def test_of_a_jump_the_side_further_from_the_line_is_doubted() -> None:
    t = np.arange(0.0, 3600.0)
    here = (t >= 1500.0) & (t < 1700.0)
    run = track(t, hr=np.where(here, 105.0, 140.0), speed=2.8)
    steps = outing_steps(run, make_grid(run, np.full(t.shape, 10.0)), np.full(t.shape, np.nan))
    wrong = np.repeat(wrong_side(steps, own_line(steps, np.zeros(t.size // 5, bool))), 5)
    assert wrong[here].mean() > 0.9
    assert not wrong[~here].any()


def test_a_low_heart_rate_at_running_steps_needs_no_line() -> None:
    """Real outings may be wrong for most of their time: then the own line is wrong as well."""
    t = np.arange(0.0, 2400.0)
    run = track(t, hr=np.where(t > 400.0, 85.0, 150.0), speed=2.8)
    steps = outing_steps(run, make_grid(run, np.full(t.shape, 10.0)), np.full(t.shape, 165.0))
    assert np.repeat(doubts_alone(steps, running=False)[Reason.RESTING_RUN], 5)[t > 420.0].all()


def test_short_breaks_are_bridged_and_short_stretches_left() -> None:
    mask = np.array([0, 1, 1, 0, 1, 1, 0, 0, 0, 0, 1, 0], dtype=bool)
    assert true_runs(lasting(mask, least_s=20.0, bridged_s=5.0)) == [(1, 6)]


def test_work_over_the_limit_for_a_whole_minute_is_doubted_and_for_half_of_one_is_not() -> None:
    t = np.arange(0.0, 1200.0)
    work = np.full(t.shape, 8.0)
    work[300:420] = MOST_W_PER_KG[False] + 5.0
    work[800:825] = 40.0
    (span,) = doubtful_work(track(t, speed=2.8), work)[Reason.TOO_MUCH_WORK]
    assert list(span) == pytest.approx([300.0, 420.0], abs=31.0)


def test_no_minute_is_judged_across_a_pause() -> None:
    t = np.concatenate((np.arange(0.0, 600.0), np.arange(900.0, 1500.0)))
    work = np.full(t.shape, 8.0)
    work[560:640] = 30.0  # Forty seconds on either side of a pause of five minutes.
    assert not len(doubtful_work(track(t, speed=2.8), work)[Reason.TOO_MUCH_WORK])


@pytest.mark.parametrize(
    ("climb_m_per_h", "hr", "carried"),
    [(2600.0, 150.0, True), (1500.0, 85.0, True), (1500.0, 165.0, False), (600.0, 85.0, False)],
)
def test_lifts_are_told_by_their_speed_or_by_a_resting_heart(
    climb_m_per_h: float, hr: float, carried: bool
) -> None:
    t = np.arange(0.0, 1800.0)
    grade = np.where((t > 600.0) & (t < 1000.0), climb_m_per_h / 3600.0 / 3.0, 0.0)
    found = doubtful_work(track(t, hr=hr, speed=3.0, grade=grade), np.full(t.shape, 8.0))[Reason.CARRIED]
    assert bool(len(found)) is carried
    if carried:
        assert found.total_s == pytest.approx(400.0, abs=65.0)


def test_doubted_work_is_unknown_and_used_again_once_it_is_rejected(recordings: Path) -> None:
    run = real_run(recordings, "run_short.fit")
    span = Mark(600.0, 900.0, Channel.WORK, Reason.TOO_MUCH_WORK)
    review = review_recording(run, Aim(), (span,))
    here = covers(span, review.track.t_s)
    assert np.isnan(review.work_w_per_kg[here]).all()
    assert np.isfinite(review.work_w_per_kg[~here]).any()
