"""Weeks are calendar weeks where the outing was, and none of them is dropped."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from slopebeat.analysis.months.weeks import (
    LEAST_SESSION_S,
    Choice,
    Terrain,
    day_of,
    monday_of,
    terrain_of,
    weeks,
    weeks_since,
)
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Ground
from summaries import outing


def on(day: str, in_band_min: float | None = 60.0, **figures: object) -> OutingSummary:
    start = datetime.fromisoformat(f"{day}T09:00:00+00:00")
    return outing(start_utc=start, in_band_s=None if in_band_min is None else in_band_min * 60.0, **figures)


# Around new year: ISO 8601 gives a week to the year that holds its Thursday, so 2020 has 53 weeks.
@pytest.mark.parametrize(
    ("day", "iso"),
    [
        ("2020-12-31", "2020-W53"),
        ("2021-01-03", "2020-W53"),
        ("2021-01-04", "2021-W01"),
        ("2024-12-30", "2025-W01"),
        ("2026-01-01", "2026-W01"),
    ],
)
def test_weeks_are_named_by_iso_8601(day: str, iso: str) -> None:
    (week,) = weeks([on(day)], home=UTC)
    assert week.iso == iso


def test_minutes_and_sessions_are_held_against_the_prescription() -> None:
    found = weeks(
        [on("2026-01-05", 50), on("2026-01-07", 15), on("2026-01-11", 45), on("2026-01-12", 100)],
        minutes_per_week=120,
        sessions_per_week=2,
        home=UTC,
    )
    first, second = found
    assert (first.outings, first.sessions, first.in_band_s) == (3, 2, 110 * 60.0)
    assert (first.missing_s, first.missing_sessions, first.met) == (600.0, 0, False)
    assert (second.missing_s, second.missing_sessions, second.met) == (1200.0, 1, False)
    (enough,) = weeks([on("2026-01-05", 60), on("2026-01-06", 60)], 120, 2, home=UTC)
    assert enough.met is True


def test_a_short_stay_in_band_is_no_session_but_its_minutes_count() -> None:
    edge = LEAST_SESSION_S / 60
    (week,) = weeks([on("2026-01-05", edge), on("2026-01-06", edge - 0.1)], home=UTC)
    assert week.sessions == 1
    assert week.in_band_s == pytest.approx((2 * edge - 0.1) * 60)
    assert (week.missing_s, week.missing_sessions, week.met) == (None, None, None)


def test_weeks_without_an_outing_are_there_and_empty() -> None:
    found = weeks([on("2026-02-02"), on("2026-01-05")], 90, 2, home=UTC, until=date(2026, 2, 18))
    assert [week.iso for week in found] == [f"2026-W{n:02d}" for n in range(2, 9)]
    assert [week.outings for week in found] == [1, 0, 0, 0, 1, 0, 0]
    assert found[1].missing_s == 5400.0
    assert found[1].missing_sessions == 2
    assert weeks([], 90, 2) == ()
    assert len(weeks([on("2026-02-02")], home=UTC, until=date(2025, 1, 1))) == 1


def test_an_outing_without_a_band_is_counted_apart() -> None:
    (week,) = weeks([on("2026-01-05", None), on("2026-01-06", 30)], home=UTC)
    assert (week.outings, week.unbanded, week.sessions, week.in_band_s) == (2, 1, 1, 1800.0)


def test_the_day_is_the_local_one_where_the_file_knows_it() -> None:
    # 23:30 UTC on Sunday is Monday at +2 h and Sunday at -3 h.
    late = datetime(2026, 7, 5, 23, 30, tzinfo=UTC)
    east, west = (outing(start_utc=late, utc_offset_s=h * 3600.0) for h in (2, -3))
    assert day_of(east) == date(2026, 7, 6)
    assert day_of(west) == date(2026, 7, 5)
    assert [week.outings for week in weeks([east, west])] == [1, 1]
    unknown = outing(start_utc=late)
    assert day_of(unknown, timezone(timedelta(hours=1))) == date(2026, 7, 6)
    assert day_of(unknown, UTC) == date(2026, 7, 5)


@pytest.mark.parametrize(
    ("share", "terrain"),
    [
        (0.0, Terrain.GENTLE),
        (0.19, Terrain.GENTLE),
        (0.20, Terrain.MIXED),
        (0.59, Terrain.MIXED),
        (0.60, Terrain.STEEP),
        (None, None),
    ],
)
def test_terrain_goes_by_the_share_of_steep_ground(share: float | None, terrain: Terrain | None) -> None:
    assert terrain_of(outing(steep_share=share)) is terrain


@pytest.mark.parametrize(
    ("choice", "kept"),
    [
        (Choice(), True),
        (Choice(ground=Ground.FOOT), True),
        (Choice(ground=Ground.BIKE), False),
        (Choice(sports=frozenset({"hiking", "walking"})), True),
        (Choice(sports=frozenset({"running"})), False),
        (Choice(shortest_s=7200.0, longest_s=7200.0), True),
        (Choice(shortest_s=7201.0), False),
        (Choice(longest_s=7199.0), False),
        (Choice(terrains=frozenset({Terrain.MIXED})), True),
        (Choice(terrains=frozenset({Terrain.STEEP, Terrain.GENTLE})), False),
        (Choice(heaviest_load_kg=0.0), True),
        (Choice(lightest_load_kg=5.0), False),
        (Choice(first_day=date(2026, 1, 5), last_day=date(2026, 1, 5)), True),
        (Choice(first_day=date(2026, 1, 6)), False),
        (Choice(last_day=date(2026, 1, 4)), False),
    ],
)
def test_outings_are_chosen_by_every_rule_at_once(choice: Choice, kept: bool) -> None:
    assert choice.keeps(outing(), UTC) is kept


def test_unknown_terrain_is_kept_only_when_terrain_was_not_asked_for() -> None:
    unknown = outing(steep_share=None)
    assert Choice().keeps(unknown)
    assert not Choice(terrains=frozenset(Terrain)).keeps(unknown)


def test_time_is_counted_in_weeks() -> None:
    assert weeks_since(datetime(2026, 1, 8, 20, tzinfo=UTC), datetime(2026, 1, 5, 8, tzinfo=UTC)) == 0.5
    assert monday_of(date(2026, 1, 11)) == date(2026, 1, 5)
