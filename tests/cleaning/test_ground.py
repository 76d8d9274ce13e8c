"""Positions that stand still and jump, climbs with the timer off, and power of zeros."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from slopebeat.cleaning.clean import clean
from slopebeat.files.reading import read_recordings
from slopebeat.model.marks import Channel, MarkState, Reason
from slopebeat.model.recording import Recording, Sport
from slopebeat.model.samples import sample_table
from slopebeat.model.spans import Spans
from synthetic import recording

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


def reasons(recording: Recording) -> list[Reason]:
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
    assert Reason.POSITION_FROZEN not in reasons(stood)


@pytest.mark.parametrize("length_s", [25, 40, 90, 240])
def test_stretches_frozen_in_a_real_run_are_found(recordings, length_s: int) -> None:
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
