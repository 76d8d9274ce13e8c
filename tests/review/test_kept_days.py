"""Outings of a library that are parts of one are found, said otherwise by the user, and counted as one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

from helpers.libraries import warden
from helpers.summaries import PLAIN, asked, outing
from slopebeat.analysis.months.weeks import weeks
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.results import Result
from slopebeat.library.store import Library
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.people import Athlete
from slopebeat.model.way import Way, WayFacts, WayPoints, WayValues
from slopebeat.review.kept_days import find_days, put_joined
from slopebeat.review.notes.keeping import remove_for_good

START = PLAIN.start_utc
HUT, VALLEY = (47.0, 11.0), (47.1, 11.0)
METRES_A_DEGREE = 111_195.0
"""Of latitude, on a sphere of 6371 km: 2 pi 6371000 / 360."""

TAUGHT = OutingEvidence(
    START,
    "walk",
    "hiking",
    False,
    None,
    "",
    1.0,
    0.0,
    0.0,
    0.0,
    None,
    None,
    None,
    None,
    0.0,
    None,
    None,
    None,
)


def line(first: tuple[float, float], last: tuple[float, float]) -> Way:
    lat, lon = (np.linspace(one, other, 5) for one, other in zip(first, last, strict=True))
    nothing = np.full(5, np.nan)
    values = WayValues(np.arange(5.0), np.arange(5.0), nothing, nothing, nothing, nothing)
    return Way(
        WayPoints(lat, lon, np.zeros(5, dtype=np.int64)),
        values,
        WayFacts(START, 0.0, "walk", "hiking", False, None, None),
    )


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "library.sqlite3") as made:
        yield made


@pytest.fixture
def athlete(library: Library) -> Athlete:
    return warden(library)


def put(
    library: Library, athlete: Athlete, after_min: float, minutes: float, way: Way | None, name: bytes = b""
) -> str:
    """An outing that begins so long after :data:`START`, reviewed."""
    content = name or f"{after_min}".encode()
    here = len(library.outings.of(athlete.identity)) if name else 0
    start = START + timedelta(minutes=after_min)
    arrival = IncomingOuting(OutingFacts(here, start, 0.0, "hiking", False, "To the hut"))
    kept = library.imports.keep(athlete.identity, packed(content), "outing.fit", [arrival])
    identity = kept[0].outing.identity
    summary = outing(start_utc=start, recorded_s=60.0 * minutes, in_band_s=15.0 * 60.0)
    evidence = replace(TAUGHT, start_utc=start, span_s=60.0 * minutes)
    assert library.results.put(identity, Result(summary, 1, "", evidence, way))
    return identity


def days(library: Library, athlete: Athlete) -> Sequence[str | None]:
    return [each.day for each in library.results.summaries(athlete.identity).values()]


def test_parts_that_follow_at_one_place_are_one_outing(library: Library, athlete: Athlete) -> None:
    first = put(library, athlete, 0, 60, line(VALLEY, HUT))
    second = put(library, athlete, 70, 60, line(HUT, VALLEY))
    put(library, athlete, 300, 60, line(VALLEY, HUT))
    assert find_days(library) == 2
    assert days(library, athlete) == [first, first, None]
    assert library.days.parts(second) == (first, second)
    assert find_days(library) == 0  # Nothing is written where nothing changed.


def test_another_place_or_half_an_hour_more_is_another_outing(library: Library, athlete: Athlete) -> None:
    away = (HUT[0] + 600.0 / METRES_A_DEGREE, HUT[1])
    put(library, athlete, 0, 60, line(VALLEY, HUT))
    put(library, athlete, 70, 60, line(away, VALLEY))
    put(library, athlete, 170, 60, line(VALLEY, HUT))
    find_days(library)
    assert days(library, athlete) == [None, None, None]


def test_without_places_only_one_file_holds_parts(library: Library, athlete: Athlete) -> None:
    first = put(library, athlete, 0, 60, None, b"one file")
    put(library, athlete, 65, 60, None, b"one file")
    put(library, athlete, 130, 60, None)
    find_days(library)
    assert days(library, athlete) == [first, first, None]


def test_what_the_user_says_holds_until_taken_back(library: Library, athlete: Athlete) -> None:
    first = put(library, athlete, 0, 60, line(VALLEY, HUT))
    second = put(library, athlete, 70, 60, line(HUT, VALLEY))
    third = put(library, athlete, 300, 60, line(HUT, VALLEY))
    find_days(library)
    put_joined(library, athlete.identity, {second: False})
    assert days(library, athlete) == [None, None, None]
    put_joined(library, athlete.identity, {third: True})
    find_days(library)
    assert days(library, athlete) == [None, second, second]
    put_joined(library, athlete.identity, {second: None, third: None})
    assert days(library, athlete) == [first, first, None]


def test_a_part_that_is_removed_leaves_no_day_behind(library: Library, athlete: Athlete) -> None:
    first = put(library, athlete, 0, 60, line(VALLEY, HUT))
    second = put(library, athlete, 70, 60, line(HUT, VALLEY))
    find_days(library)
    remove_for_good(library, (first,), Notebooks(library.path))
    assert days(library, athlete) == [None]
    assert library.days.parts(second) == (second,)


def test_a_week_counts_the_parts_of_a_day_as_one_outing() -> None:
    """Worked by hand: two parts of 15 minutes in band are one session of 30; by themselves neither is one."""
    later = outing().start_utc + timedelta(hours=2)
    part = outing(recorded_s=1000.0, in_band_s=900.0, above_s=60.0, day="a")
    parts = [part, replace(part, start_utc=later)]
    alone = [replace(each, day=None) for each in parts]
    (joined,), (apart,) = weeks(parts, asked(30.0, 1)), weeks(alone, asked(30.0, 1))
    assert (joined.outings, joined.sessions, joined.in_band_s, joined.apart) == (1, 1, 1800.0, ())
    assert (apart.outings, apart.sessions, apart.in_band_s, len(apart.apart)) == (2, 0, 1800.0, 2)
    assert joined.met is True


def test_a_night_through_is_of_the_week_it_began_in() -> None:
    """ISO 8601: 2026-01-11 is the Sunday of week 2."""
    sunday = outing().start_utc.replace(day=11, hour=22)
    parts = [outing(start_utc=sunday, day="a"), outing(start_utc=sunday + timedelta(hours=5), day="a")]
    found = weeks(parts)
    assert [(each.iso, each.outings) for each in found] == [("2026-W02", 1)]


def test_a_part_without_heart_rate_does_not_take_the_day_apart() -> None:
    swim = outing(in_band_s=0.0, no_hr_s=7200.0, day="a")
    ride = outing(start_utc=outing().start_utc + timedelta(hours=3), day="a")
    (week,) = weeks([swim, ride])
    assert week.apart == ()
    assert weeks([swim])[0].apart[0][1].name == "NO_HEART_RATE"
