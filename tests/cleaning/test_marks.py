"""Marks on heart rate and ground: what is doubted, and what is left alone."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.cleaning.clean import clean, unmarked_heart_rate
from slopebeat.files.reading import read_recordings
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import sample_table
from slopebeat.model.spans import Spans
from slopebeat.review.words.messages import say

T = np.arange(1800.0)


def smooth_heart(t: np.ndarray) -> np.ndarray:
    return np.round(120.0 + 15.0 * np.sin(t / 60.0))


def found(hr: np.ndarray, **columns: Any) -> list[Mark]:
    return list(clean(recording(T, hr=lambda t: hr, **columns)).marks)


def reasons(marks: list[Mark]) -> set[Reason]:
    return {mark.reason for mark in marks}


def test_an_ordinary_heart_rate_is_not_doubted() -> None:
    assert found(smooth_heart(T)) == []


def test_a_spike_is_marked_from_its_jump_to_its_return() -> None:
    hr = smooth_heart(T)
    hr[600:620] += 60.0
    marks = found(hr)
    assert [(m.start_s, m.end_s, m.reason) for m in marks] == [(600.0, 620.0, Reason.SPIKE)]


def test_a_lone_jump_is_marked_only_around_itself() -> None:
    hr = np.where(T < 900, 110.0, 140.0) + np.round(3 * np.sin(T / 20))
    assert [(m.start_s, m.end_s) for m in found(hr)] == [(898.0, 902.0)]


def test_a_small_catch_up_of_a_strap_is_no_artefact() -> None:
    hr = smooth_heart(T)
    hr[700:] += 6.0
    assert found(hr) == []


def test_values_no_heart_has_are_marked() -> None:
    hr = smooth_heart(T)
    hr[300:330] = 244.0
    assert reasons(found(hr)) == {Reason.IMPLAUSIBLE}


def test_a_missing_stretch_is_pointed_out_once() -> None:
    hr = smooth_heart(T)
    hr[1000:1240] = np.nan
    marks = found(hr)
    assert [(m.start_s, m.end_s, m.reason) for m in marks] == [(1000.0, 1240.0, Reason.DROP_OUT)]


def test_frozen_is_doubted_only_when_the_work_changed() -> None:
    hr = smooth_heart(T)
    hr[600:800] = hr[600]
    steady = 1.2 * T
    varied = np.concatenate(([0.0], np.cumsum(1.2 + 0.9 * np.sin(T[:-1] / 30.0))))
    assert Reason.FROZEN not in reasons(found(hr, distance_m=steady))
    assert Reason.FROZEN in reasons(found(hr, distance_m=varied))


def test_a_heart_rate_that_moves_with_the_step_rate_is_doubted_on_foot_only() -> None:
    steps = np.round(165.0 + 6.0 * np.sin(T / 40.0))
    locked = clean(recording(T, hr=lambda t: steps, sport=Sport.RUNNING, cadence_rpm=steps / 2))
    beside = clean(
        recording(T, hr=lambda t: smooth_heart(t) + 45, sport=Sport.RUNNING, cadence_rpm=steps / 2)
    )
    riding = clean(recording(T, hr=lambda t: steps, sport=Sport.CYCLING, speed=6.0, cadence_rpm=steps / 2))
    assert Reason.STEP_LOCKED in reasons(list(locked.marks))
    assert Reason.STEP_LOCKED not in reasons(list(beside.marks))
    assert Reason.STEP_LOCKED not in reasons(list(riding.marks))


def test_a_jump_of_position_and_a_step_of_elevation_are_marked() -> None:
    distance = 1.2 * T + np.where(T >= 900, 400.0, 0.0)
    marks = clean(
        recording(T, hr=smooth_heart, elevation=lambda t: np.where(t < 50, 451.0, 500.0), distance_m=distance)
    ).marks
    assert {(m.channel, m.reason, m.start_s) for m in marks} == {
        (Channel.POSITION, Reason.POSITION_JUMP, 899.0),
        (Channel.ELEVATION, Reason.ELEVATION_STEP, 49.0),
    }


def test_marked_heart_rate_is_left_out_until_the_mark_is_rejected() -> None:
    hr = smooth_heart(T)
    proposed = Mark(600.0, 620.0, Channel.HEART_RATE, Reason.SPIKE)
    rejected = Mark(600.0, 620.0, Channel.HEART_RATE, Reason.SPIKE, MarkState.REJECTED)
    assert np.isnan(unmarked_heart_rate(T, hr, (proposed,))[600:620]).all()
    assert np.isfinite(unmarked_heart_rate(T, hr, (rejected,))).all()


@pytest.mark.parametrize(("speed", "on_bike"), [(1.3, False), (6.0, True)])
def test_an_unnamed_sport_is_read_by_its_speed_and_says_so(speed: float, on_bike: bool) -> None:
    cleaned = clean(recording(T, speed=speed, sport=Sport.UNKNOWN))
    assert cleaned.track.on_bike is on_bike
    assert len(cleaned.warnings) == 1


@pytest.mark.parametrize("speed", [1.3, 6.0])
def test_a_named_sport_of_another_kind_is_not_guessed_at(speed: float) -> None:
    cleaned = clean(recording(T, speed=speed, sport=Sport.OTHER))
    assert not cleaned.track.on_bike
    (warning,) = cleaned.warnings
    assert "figures on work do not apply" in say(warning)


def test_an_implausible_heart_rate_on_the_last_record_is_marked() -> None:
    hr = smooth_heart(T)
    hr[-1] = 254.0
    (mark,) = (m for m in found(hr) if m.reason is Reason.IMPLAUSIBLE)
    assert (mark.start_s, mark.end_s) == (T[-1], T[-1])
    track = clean(recording(T, hr=lambda t: hr)).track
    assert np.isnan(track.hr_bpm[-1])
    assert np.nanmax(track.hr_bpm) == hr[:-1].max()


def test_an_implausible_heart_rate_up_to_the_last_record_is_marked_once() -> None:
    hr = smooth_heart(T)
    hr[-3:] = 254.0
    marks = [m for m in found(hr) if m.reason is Reason.IMPLAUSIBLE]
    assert [(m.start_s, m.end_s) for m in marks] == [(T[-3], T[-1])]
    assert np.isnan(clean(recording(T, hr=lambda t: hr)).track.hr_bpm[-3:]).all()


def test_a_stretch_marked_up_to_the_end_holds_the_last_record() -> None:
    by_hand = Mark(1500.0, T[-1], Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    kept = unmarked_heart_rate(T, smooth_heart(T), (by_hand,))
    assert np.isnan(kept[1500:]).all()
    assert np.isfinite(kept[:1500]).all()


def test_elevation_marked_up_to_the_end_does_not_raise_the_ascent() -> None:
    rise = np.where(T[-1] == T, 900.0, 500.0)
    by_hand = Mark(1700.0, T[-1], Channel.ELEVATION, Reason.BY_HAND, MarkState.ACCEPTED)
    cleaned = clean(recording(T, elevation=lambda t: rise), (by_hand,))
    assert cleaned.elevation.ascent_m == 0.0


def test_an_elevation_step_onto_the_last_record_is_taken_out() -> None:
    rise = np.where(T[-1] == T, 900.0, 500.0)
    cleaned = clean(recording(T, hr=smooth_heart, elevation=lambda t: rise))
    assert [(m.start_s, m.end_s) for m in cleaned.marks] == [(T[-2], T[-1])]
    np.testing.assert_allclose(cleaned.elevation.level_m, 900.0)


def test_as_many_doubts_as_records_take_time_in_proportion() -> None:
    # 40,000 records, each with a jump in heart rate and elevation, every other in distance: they took 34 s.
    t = np.arange(40_000.0)
    odd = t % 2.0 > 0.0
    jumping = recording(
        t,
        hr=lambda _: np.where(odd, 60.0, 200.0),
        elevation=lambda _: np.where(odd, 0.0, 1000.0),
        distance_m=np.cumsum(np.where(odd, 0.0, 100.0)),
    )
    began = time.process_time()
    cleaned = clean(jumping)
    assert time.process_time() - began < 10.0
    assert len(cleaned.marks) > 40_000
    np.testing.assert_allclose(cleaned.elevation.level_m, 0.0, atol=1e-6)


METRE_DEG = 1.0 / 111_195.0
"""Degrees of latitude to a metre on a sphere of 6,371,008.8 m, the mean radius of the earth (IUGG)."""


def walk_north(frozen: tuple[int, int] | None = None, speed: float = 1.3) -> Recording:
    """A straight walk; between the two records the position stands, and the file's distance with it."""
    t = np.arange(0.0, 1800.0)
    way = speed * t
    if frozen is not None:
        first, last = frozen
        way[first:last] = way[first]
    return recording(
        t, lat_deg=47.0 + way * METRE_DEG, lon_deg=np.full(t.shape, 8.0), distance_m=way, sport=Sport.HIKING
    )


def reasons_in(recording: Recording) -> list[Reason]:
    return [mark.reason for mark in clean(recording).marks]


def test_frozen_positions_have_their_way_spread_over_the_stretch() -> None:
    cleaned = clean(walk_north(frozen=(600, 700)))
    assert [mark.reason for mark in cleaned.marks if mark.reason is Reason.POSITION_FROZEN]
    true = 1.3 * cleaned.track.t_s
    # Without the mark the walker stands 100 s and then moves 130 m in one second.
    assert np.max(np.abs(cleaned.track.distance_m - true)) < 2.0
    assert cleaned.track.moving[600:700].all()


def test_rejected_the_stretch_is_as_recorded() -> None:
    held = walk_north(frozen=(600, 700))
    marks = tuple(replace(m, state=MarkState.REJECTED) for m in clean(held).marks)
    assert not clean(held, marks).track.moving[620:680].any()


def test_standing_and_walking_on_is_no_frozen_position() -> None:
    t = np.arange(0.0, 1800.0)
    way = np.where(t < 600.0, 1.3 * t, np.where(t < 700.0, 780.0, 780.0 + 1.3 * (t - 700.0)))
    stood = recording(t, lat_deg=47.0 + way * METRE_DEG, lon_deg=np.full(t.shape, 8.0), distance_m=way)
    assert Reason.POSITION_FROZEN not in reasons_in(stood)


@pytest.mark.parametrize("length_s", [25, 40, 90, 240])
def test_stretches_frozen_in_a_real_run_are_found(recordings: Path, length_s: int) -> None:
    """Faults put into a real recording at ten places each; 95 of 100 were found where the rule was made."""
    run = read_recordings(recordings / "run_developer_fields.fit")[0]
    table = run.samples
    t = table["t_s"]
    found = 0
    starts = np.linspace(200.0, t[-1] - 400.0, 10)
    for start in starts:
        held = table.frame()
        here = (t >= start) & (t < start + length_s)
        first = int(np.argmax(here))
        for name in ("lat_deg", "lon_deg"):
            held.loc[here, name] = float(table[name][first])
        marks = clean(replace(run, samples=sample_table(held))).marks
        found += any(
            m.reason is Reason.POSITION_FROZEN and m.start_s < start + length_s and m.end_s > start
            for m in marks
        )
    assert found >= 9


def lift_in_a_pause(sideways_m: float) -> Recording:
    """1,000 s level, then 300 m up over a pause of ten minutes, then 1,000 s level."""
    t = np.concatenate((np.arange(0.0, 1000.0), np.arange(1600.0, 2600.0)))
    after = t >= 1600.0
    way = 1.3 * np.where(after, t - 600.0, t) + sideways_m * after
    return recording(
        t,
        elevation=lambda s: np.where(s >= 1600.0, 800.0, 500.0),
        lat_deg=47.0 + way * METRE_DEG,
        lon_deg=np.full(t.shape, 8.0),
        distance_m=way,
        pauses=Spans.from_pairs([(1000.0, 1599.0)]),
    )


def test_a_climb_with_the_timer_off_is_no_ascent() -> None:
    cleaned = clean(lift_in_a_pause(900.0))
    assert [(m.channel, m.start_s) for m in cleaned.marks if m.reason is Reason.TIMER_OFF_CLIMB] == [
        (Channel.ELEVATION, 999.0)
    ]
    assert cleaned.elevation.ascent_m == pytest.approx(0.0, abs=1.0)
    assert cleaned.track.elevation_m[-1] == pytest.approx(800.0, abs=1.0)
    used = tuple(replace(m, state=MarkState.REJECTED) for m in cleaned.marks)
    assert clean(lift_in_a_pause(900.0), used).elevation.ascent_m == pytest.approx(300.0, abs=2.0)


def test_power_of_zeros_is_no_power() -> None:
    t = np.arange(0.0, 900.0)
    zeros = recording(t, speed=7.0, sport=Sport.CYCLING, power_w=np.zeros(t.shape))
    cleaned = clean(zeros)
    assert [m.reason for m in cleaned.marks if m.channel is Channel.POWER] == [Reason.NO_POWER]
    assert not np.isfinite(cleaned.track.power_w).any()
    ridden = recording(t, speed=7.0, sport=Sport.CYCLING, power_w=np.where(t % 10 < 5, 0.0, 180.0))
    assert Channel.POWER not in [m.channel for m in clean(ridden).marks]
