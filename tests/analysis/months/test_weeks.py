"""Weeks are calendar weeks where the outing was, and none of them is dropped."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import partial

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from helpers.summaries import asked, outing
from helpers.zones import computer_in
from slopebeat.analysis.months.choice import Choice, Terrain, day_of, terrain_of
from slopebeat.analysis.months.weeks import (
    LEAST_SESSION_S,
    SHORTEST_OUTING_S,
    EdgesOff,
    monday_of,
    weeks,
    weeks_since,
)
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Athlete, Dated, Ground, Prescription, prescription_in_force


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
    (week,) = weeks([on(day)])
    assert week.iso == iso


def test_minutes_and_sessions_are_held_against_the_prescription() -> None:
    found = weeks(
        [on("2026-01-05", 50), on("2026-01-07", 15), on("2026-01-11", 45), on("2026-01-12", 100)],
        asked(120, 2),
    )
    first, second = found
    assert (first.outings, first.sessions, first.in_band_s) == (3, 2, 110 * 60.0)
    assert (first.missing_s, first.missing_sessions, first.met) == (600.0, 0, False)
    assert (second.missing_s, second.missing_sessions, second.met) == (1200.0, 1, False)
    (enough,) = weeks([on("2026-01-05", 60), on("2026-01-06", 60)], asked(120, 2))
    assert enough.met is True


def test_a_short_stay_in_band_is_no_session_but_its_minutes_count() -> None:
    edge = LEAST_SESSION_S / 60
    (week,) = weeks([on("2026-01-05", edge), on("2026-01-06", edge - 0.1)])
    assert week.sessions == 1
    assert week.in_band_s == pytest.approx((2 * edge - 0.1) * 60)
    assert (week.missing_s, week.missing_sessions, week.met) == (None, None, None)


def test_weeks_without_an_outing_are_there_and_empty() -> None:
    found = weeks([on("2026-02-02"), on("2026-01-05")], asked(90, 2), until=date(2026, 2, 18))
    assert [week.iso for week in found] == [f"2026-W{n:02d}" for n in range(2, 9)]
    assert [week.outings for week in found] == [1, 0, 0, 0, 1, 0, 0]
    assert found[1].missing_s == 5400.0
    assert found[1].missing_sessions == 2
    assert weeks([], asked(90, 2)) == ()
    assert len(weeks([on("2026-02-02")], until=date(2025, 1, 1))) == 1


def test_an_outing_without_a_band_is_counted_apart() -> None:
    (week,) = weeks([on("2026-01-05", None), on("2026-01-06", 30)])
    assert (week.outings, week.unbanded, week.sessions, week.in_band_s) == (2, 1, 1, 1800.0)


def test_an_outing_of_unknown_worth_is_counted_apart_and_fails_no_week() -> None:
    silent = {"in_band_s": 300.0, "no_hr_s": 3601.0, "recorded_s": 7200.0}
    short = {"recorded_s": SHORTEST_OUTING_S - 1.0}
    rows = [
        *(on("2026-01-05", None), on("2026-01-06", 30)),
        outing(start_utc=datetime(2026, 1, 13, 9, tzinfo=UTC), **silent),
        on("2026-01-20", 10, **short),
        *(on("2026-01-27", 10, **short), on("2026-01-28", 30)),
        *(on("2026-02-03", None), on("2026-02-04", 120)),
    ]
    found = weeks(rows, asked(60))
    assert [[(i, why.name) for i, why in week.apart] for week in found] == [
        [(0, "NO_BAND")],
        [(2, "NO_HEART_RATE")],
        [(3, "SHORT")],
        [(4, "SHORT")],
        [(6, "NO_BAND")],
    ]
    # Unknown minutes may have been enough; short ones, beside an outing that counts, were not.
    assert [week.met for week in found] == [None, None, None, False, True]
    assert [week.in_band_s / 60 for week in found] == [30, 5, 10, 40, 120]
    assert [week.unknown for week in found] == [False, True, False, False, False]


def test_half_the_time_with_heart_rate_is_enough() -> None:
    (week,) = weeks([outing(no_hr_s=3600.0, recorded_s=7200.0)])
    assert week.apart == ()


def test_each_week_is_held_against_what_was_in_force_on_its_last_day() -> None:
    who = Athlete("a", "Hut warden", minutes_per_week=60.0)
    dated = Dated((Prescription("a", date(2026, 1, 18), 90.0, 2, 20.0), Prescription("a", date(2026, 1, 26))))
    rows = [on(f"2026-01-{day:02d}", 75, above_s=1500.0) for day in (5, 13, 20, 27)]
    found = weeks(rows, partial(prescription_in_force, who, dated))
    # The 18th is the Sunday of the second week; from the 26th on nothing is prescribed.
    assert [week.missing_s for week in found] == [0.0, 900.0, 900.0, None]
    assert [week.met for week in found] == [True, False, False, None]
    assert [week.too_much_above for week in found] == [None, True, True, None]


def test_the_week_under_way_has_not_failed() -> None:
    rows = [on("2026-01-05", 30), on("2026-01-13", 30)]
    sunday = weeks(rows, asked(60), until=date(2026, 1, 18))
    assert [(week.over, week.met) for week in sunday] == [(True, False), (False, None)]
    monday = weeks(rows, asked(60), until=date(2026, 1, 19))
    assert [(week.over, week.met) for week in monday] == [(True, False), (True, False), (False, None)]
    (done,) = weeks([on("2026-01-13", 61)], asked(60), until=date(2026, 1, 14))
    assert done.met is True


def test_means_of_four_weeks_agree_with_pandas_and_know_no_break() -> None:
    rng = np.random.default_rng(3)
    start = datetime(2025, 9, 1, 9, tzinfo=UTC)
    # Two runs of months with seven empty weeks between.
    days = [*rng.integers(0, 70, 25).tolist(), *rng.integers(126, 190, 20).tolist(), 0, 69, 126]
    rows = [
        outing(start_utc=start + timedelta(days=day), in_band_s=float(s), above_s=float(s) / 7)
        for day, s in zip(days, rng.integers(600, 7200, len(days)), strict=True)
    ]
    by_sunday = {week.monday + timedelta(days=6): week for week in weeks(rows)}
    frame = pd.DataFrame({"s": [o.in_band_s for o in rows], "above": [o.above_s for o in rows]})
    frame.index = pd.DatetimeIndex([o.start_utc for o in rows])
    for first, last in ((0, 70), (126, 190)):
        since, until = (start + timedelta(days=day) for day in (first, last))
        sums = frame[(frame.index >= since) & (frame.index <= until)].resample("W-SUN").sum()
        means = sums.rolling(4).mean()
        assert means["s"].notna().sum() >= 5
        for sunday, total, mean in zip(sums.index, sums.itertuples(), means.itertuples(), strict=True):
            week = by_sunday[sunday.date()]
            assert (week.in_band_s, week.above_s) == pytest.approx((total.s, total.above))
            got = (week.mean_in_band_s, week.mean_above_s)
            assert got == ((None, None) if np.isnan(mean.s) else pytest.approx((mean.s, mean.above)))


def test_no_mean_is_given_over_weeks_of_which_nothing_is_known() -> None:
    rows = [on(f"2026-01-{day:02d}", None if day == 12 else 60) for day in (5, 12, 19, 26)]
    rows += [on("2026-02-02"), on("2026-02-09")]
    means = [week.mean_in_band_s for week in weeks(rows)]
    assert means == [None, None, None, None, None, 3600.0]


def test_edges_off_are_added_up_where_every_outing_has_them() -> None:
    one = {"above_upper_down_s": 100.0, "above_upper_up_s": 40.0, "below_lower_down_s": 7.0}
    two = {"above_upper_down_s": 10.0, "above_upper_up_s": 4.0, "below_lower_down_s": 0.5}
    rows = [on("2026-01-05", **one, below_lower_up_s=30.0), on("2026-01-06", **two, below_lower_up_s=3.0)]
    (week,) = weeks([*rows, on("2026-01-07", None)])
    assert week.edges_off == EdgesOff(110.0, 44.0, 7.5, 33.0)
    (old,) = weeks([*rows, on("2026-01-07")])
    assert old.edges_off is None


@settings(max_examples=60, deadline=None)
@given(st.lists(st.dates(date(2015, 1, 1), date(2035, 12, 31)), min_size=1, max_size=30))
def test_weeks_agree_with_iso_8601_of_the_standard_library_and_with_pandas(days: list[date]) -> None:
    rows = [on(day.isoformat(), 10 + at) for at, day in enumerate(days)]
    found = {week.iso: week.in_band_s for week in weeks(rows) if week.outings}
    named = [f"{y}-W{w:02d}" for y, w, _ in (day.isocalendar() for day in days)]
    frame = pd.DataFrame({"week": named, "s": [row.in_band_s for row in rows]})
    assert found == frame.groupby("week")["s"].sum().to_dict()


def test_the_day_is_the_local_one_where_the_file_knows_it() -> None:
    # 23:30 UTC on Sunday is Monday at +2 h and Sunday at -3 h.
    late = datetime(2026, 7, 5, 23, 30, tzinfo=UTC)
    east, west = (outing(start_utc=late, utc_offset_s=h * 3600.0) for h in (2, -3))
    assert day_of(east) == date(2026, 7, 6)
    assert day_of(west) == date(2026, 7, 5)
    assert [week.outings for week in weeks([east, west])] == [1, 1]
    unknown = outing(start_utc=late, utc_offset_s=None)
    for zone, day in (("EAST-1", 6), ("UTC0", 5)):
        with computer_in(zone):
            assert day_of(unknown) == date(2026, 7, day)


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
    assert choice.keeps(outing()) is kept


def test_unknown_terrain_is_kept_only_when_terrain_was_not_asked_for() -> None:
    unknown = outing(steep_share=None)
    assert Choice().keeps(unknown)
    assert not Choice(terrains=frozenset(Terrain)).keeps(unknown)


def test_time_is_counted_in_weeks() -> None:
    assert weeks_since(datetime(2026, 1, 8, 20, tzinfo=UTC), datetime(2026, 1, 5, 8, tzinfo=UTC)) == 0.5
    assert monday_of(date(2026, 1, 11)) == date(2026, 1, 5)
