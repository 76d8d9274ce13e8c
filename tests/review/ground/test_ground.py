"""What is said of ground gone before, from passes stated by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from helpers.ways import FIRST
from slopebeat.analysis.account.climbs import Climb
from slopebeat.library.places import KeptPass
from slopebeat.model.evidence import MODELLED, POWER, RIDE
from slopebeat.model.way import CLIMB, STRETCH, PassFigures, Place, WayFacts
from slopebeat.review.ground.ground import review_ground
from slopebeat.review.ground.repeated import repeated_ground
from slopebeat.review.ground.words import (
    days_alone,
    ground_sentences,
    place_name,
    place_sentences,
    repeated_sentence,
)

FACTS = WayFacts(FIRST, 7200.0, RIDE, "cycling", True, MODELLED, 14.0)
FIGURES = PassFigures(600.0, 300.0, 300.0, 240.0, 140.0, 3.0, 7.0, None, 0.0, 2000.0)
PLACE = Place(1, STRETCH, 2100.0, 3.0)


def passed(
    day: int, hr: float = 140.0, speed: float = 7.0, place: int = 1, first: int = 100, **rest: object
) -> KeptPass:
    figures = replace(FIGURES, hr_bpm=hr, speed_mps=speed)
    facts = replace(FACTS, start_utc=FIRST + timedelta(days=day))
    made = KeptPass(place, f"o-{day}", f"Ride {day}", facts, first, first + 210, figures)
    return replace(made, **rest)  # type: ignore[arg-type]


def test_a_place_of_two_days_is_listed_and_says_nothing() -> None:
    ground = review_ground([PLACE], [passed(0), passed(3)])
    (row,) = ground.places
    assert (len(row.passes), row.days, row.groups[0].days, row.groups[0].change) == (2, 2, 2, None)
    assert place_sentences(row) == (
        "Cycling without a power meter: 2 days to compare; nothing is said of fewer than 3 days.",
    )


def test_a_place_gone_once_is_none() -> None:
    assert review_ground([PLACE], [passed(0), passed(0, first=400)]).places == ()
    assert review_ground([], [passed(0), passed(3)]).places == ()


def test_the_later_half_is_said_with_its_interval_and_what_would_show() -> None:
    ground = review_ground([PLACE], [passed(day, hr=150.0 if day < 10 else 120.0) for day in range(20)])
    (row,) = ground.places
    change = row.groups[0].change
    assert change is not None
    assert change.change_bpm == pytest.approx(-30.0)
    # One day at one place: 8.15 bpm, ten days in each half, by hand.
    assert change.high_bpm - change.change_bpm == pytest.approx(1.96 * 8.154 * (2.0 / 10.0) ** 0.5, abs=0.01)
    (said,) = place_sentences(row)
    assert "30 bpm lower in the later half of the days (95 %: 37 lower to 23 lower); a change." in said
    assert "One day at one place differs by 8 bpm." in said


def test_a_change_of_the_source_of_work_or_of_the_sport_splits_a_place_and_is_said() -> None:
    meter = replace(FACTS, work_source=POWER)
    passes = [passed(day) for day in range(4)]
    passes += [passed(day, facts=replace(meter, start_utc=FIRST + timedelta(days=day))) for day in (5, 6)]
    (row,) = review_ground([PLACE], passes).places
    assert [(each.group.work_source, each.passes) for each in row.groups] == [(MODELLED, 4), (POWER, 2)]
    assert place_sentences(row)[1] == (
        "Kept apart, as the sport or the source of work changed: cycling without a power meter 4 times; "
        "cycling with a power meter 2 times."
    )


def test_passes_that_were_stood_through_or_lack_heart_rate_are_shown_and_not_compared() -> None:
    stood = replace(FIGURES, elapsed_s=400.0)
    silent = replace(FIGURES, hr_bpm=None)
    passes = [passed(0), passed(1), passed(2, figures=stood), passed(3, figures=silent)]
    (row,) = review_ground([PLACE], passes).places
    assert [each.equal_bpm is None for each in row.passes] == [False, False, True, True]
    assert row.groups[0].days == 2


def test_on_foot_work_decides_and_on_a_bike_speed() -> None:
    """With a load the same speed is more work: the heart rate at equal work is lower than the raw one."""
    facts = replace(FACTS, kind="walk", sport="hiking", on_bike=False)
    passes = []
    for day in range(6):
        loaded = day % 2 == 1
        figures = replace(FIGURES, work_w_per_kg=9.0 if loaded else 7.0, hr_bpm=140.0 if loaded else 124.0)
        passes.append(
            passed(day, facts=replace(facts, start_utc=FIRST + timedelta(days=day)), figures=figures)
        )
    (row,) = review_ground([PLACE], passes).places
    equal = [each.equal_bpm for each in row.passes]
    assert all(each is not None for each in equal)
    assert max(e for e in equal if e) - min(e for e in equal if e) < 6.0


def test_places_near_where_outings_begin_or_end_can_be_left_out() -> None:
    near = replace(FIGURES, from_ends_m=320.0)
    passes = [passed(0), passed(1), passed(0, place=2, figures=near), passed(1, place=2)]
    both = [PLACE, replace(PLACE, identity=2)]
    assert len(review_ground(both, passes).places) == 2
    ground = review_ground(both, passes, without_ends=True)
    assert [row.number for row in ground.places] == [1]
    assert ground_sentences(ground)[-1].startswith("1 place within 500 m of where outings begin or end")


def test_words_name_places_by_what_they_are_like() -> None:
    assert place_name(PLACE) == "Stretch of 2.10 km"
    assert place_name(Place(3, CLIMB, 860.0, 44.4)) == "Climb of 44 m over 0.86 km"
    assert "by 8 bpm at one place" in days_alone()


def test_what_of_an_outing_was_gone_before_is_earlier_and_joined() -> None:
    passes = [passed(0), passed(0, place=2, first=330), passed(0, place=3, first=900)]
    passes += [passed(5), passed(5, place=2, first=330), passed(5, place=3, first=900), passed(9)]
    gone = repeated_ground("o-5", passes)
    # From point 100 to 540 and from 900 to 1110: the 20 points between two places were gone then, too.
    assert [stretch.length_m for stretch in gone.stretches] == [4400.0, 2100.0]
    assert [stretch.outings for stretch in gone.stretches] == [1, 1]
    assert repeated_sentence(gone, 11_800.0) == "2 stretches of this way were gone before, 6.5 of 11.8 km."
    assert dict(gone.times)[1] == 3
    assert repeated_ground("o-0", passes).stretches == ()
    assert repeated_sentence(repeated_ground("o-0", passes), 11_800.0) == ""
    assert repeated_ground("o-77", passes).passes == ()


def test_two_places_gone_by_different_outings_are_two_stretches() -> None:
    passes = [passed(0), passed(1, place=2, first=330), passed(5), passed(5, place=2, first=330)]
    assert [s.length_m for s in repeated_ground("o-5", passes).stretches] == [2100.0, 2100.0]


def climb(start_s: float, end_s: float) -> Climb:
    return Climb(start_s, end_s, 0.0, 1.0, 500.0, 560.0, 60.0, 700.0, 0.08, None, None)


def test_a_climb_of_the_outing_says_how_often_it_was_gone() -> None:
    gone = repeated_ground("o-5", [passed(0), passed(2), passed(5)])
    assert gone.times_passed(climb(610.0, 890.0)) == 3
    assert gone.times_passed(climb(600.0, 3000.0)) is None
