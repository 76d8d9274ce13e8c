"""Learning from a library: one sport, the latest, what the user leaves out, and the aim of the day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from helpers.earlier_outings import evidence_before as made
from helpers.earlier_outings import keep_teachers
from slopebeat.library.store import Library
from slopebeat.model.evidence import RIDE, RUN, WALK
from slopebeat.model.people import Athlete, Ground
from slopebeat.model.recording import Sport
from slopebeat.review.planning.library import evidence_before, learn_from
from slopebeat.review.planning.planning import usual_sport

WARDEN = "0" * 32


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    """A warden with six walks and three rides."""
    with Library.create(tmp_path / "library.sqlite3") as opened:
        opened.athletes.add(
            Athlete(WARDEN, "hut warden", body_mass_kg=72.0, sessions_per_week=2, minutes_per_week=100.0)
        )
        keep_teachers(opened, WARDEN, 6)
        keep_teachers(opened, WARDEN, 3, on_bike=True)
        yield opened


def test_each_ground_learns_from_its_own_outings_in_order_of_time(library: Library) -> None:
    foot = learn_from(library, WARDEN, Ground.FOOT, date.max)
    assert (len(foot.outings), foot.sport) == (6, WALK)
    starts = [one.start_utc for one in foot.outings]
    assert starts == sorted(starts)
    ride = learn_from(library, WARDEN, Ground.BIKE, date.max)
    assert (len(ride.outings), ride.sport) == (3, RIDE)


def test_runs_never_tell_of_walks(library: Library) -> None:
    taught = learn_from(library, WARDEN, Ground.FOOT, date.max, RUN)
    assert taught.outings == ()
    assert any("6 outings of other sports were left out" in text for text in taught.warnings)


def test_the_latest_the_chosen_and_those_begun_by_the_day(library: Library) -> None:
    every = learn_from(library, WARDEN, Ground.FOOT, date.max).outings
    latest = learn_from(library, WARDEN, Ground.FOOT, date.max, latest=2).outings
    assert [one.start_utc for one in latest] == [one.start_utc for one in every[-2:]]
    kept = evidence_before(library, WARDEN, Ground.FOOT, date.max)
    chosen = learn_from(library, WARDEN, Ground.FOOT, date.max, chosen={kept[1].identity}).outings
    assert [one.start_utc for one in chosen] == [every[1].start_utc]
    early = learn_from(library, WARDEN, Ground.FOOT, every[2].start_utc.date()).outings
    assert len(early) == 3


def test_what_the_user_leaves_out_teaches_nothing(library: Library) -> None:
    kept = evidence_before(library, WARDEN, Ground.FOOT, date.max)
    library.outings.set_teaches([kept[0].identity], False)
    assert len(learn_from(library, WARDEN, Ground.FOOT, date.max).outings) == 5


def test_the_aim_is_the_prescription_of_one_session(library: Library) -> None:
    # 100 minutes a week in two sessions.
    assert learn_from(library, WARDEN, Ground.FOOT, date.max).aim.target_s == 3000.0


def test_who_is_not_there_is_no_athlete(library: Library) -> None:
    with pytest.raises(KeyError):
        learn_from(library, "nobody", Ground.FOOT, date.max)


def test_the_sport_is_the_one_most_outings_are_of() -> None:
    walks, runs = made(4), made(2, sport=Sport.RUNNING)
    assert usual_sport([*walks, *runs]) == WALK
    assert usual_sport([*walks[:1], *runs]) == RUN
    assert usual_sport([*walks, *made(5, on_bike=True)], on_bike=False) == WALK
    assert usual_sport([]) is None
