"""Notes, taken back and merged."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers.sentences import sentences_of
from library.making import START, facts, keep, warden
from slopebeat.library.notes import Merged
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.model.people import Athlete


def note(minute: int = 0, text: str = "talked in full sentences") -> Note:
    when = START + timedelta(minutes=minute)
    start_s = 60.0 * minute
    return new_note(NoteKind.TALK_TEST, Author.COACH, text, 3.0, start_s, start_s + 60.0, when)


@pytest.fixture
def outing(library: Library, athlete: Athlete) -> str:
    return keep(library, athlete, b"a file", facts())[0].outing.identity


def test_notes_come_back_in_order_and_deleted_ones_stay_for_merging(library: Library, outing: str) -> None:
    later, earlier = note(5), replace(note(1), start_s=None, end_s=None)
    assert library.notes.merge(outing, [later, earlier]) == Merged(added=2)
    assert library.notes.of(outing) == (earlier, later)
    gone = earlier.taken_back(START + timedelta(days=1))
    library.notes.merge(outing, [gone])
    assert library.notes.of(outing) == (later,)
    assert library.notes.of(outing, deleted=True) == (gone, later)


def test_merging_takes_the_later_change_and_brings_nothing_back(library: Library, outing: str) -> None:
    mine, theirs = note(), note(3)
    library.notes.merge(outing, [mine])
    edited = mine.edited(START + timedelta(hours=1), text="short of breath")
    assert library.notes.merge(outing, [edited, theirs]) == Merged(added=1, replaced=1)
    assert library.notes.merge("an outing elsewhere", [note()]) == Merged(without_outing=1)
    assert library.notes.of(outing) == (edited, theirs)
    library.notes.merge(outing, [theirs.taken_back(START + timedelta(days=1))])
    assert library.notes.merge(outing, [mine, edited, theirs]) == Merged(unchanged=3)
    assert library.notes.of(outing) == (edited,)


def test_of_two_changes_of_one_moment_both_sides_keep_the_same(library: Library, outing: str) -> None:
    when = START + timedelta(hours=1)
    one = note()
    states = one.edited(when, text="phrases"), one.edited(when, text="sentences"), one.taken_back(when)
    for first in states:
        fresh = [replace(state, identity=new_identity()) for state in (first, *states)]
        fresh = [replace(state, identity=fresh[0].identity) for state in fresh]
        for state in fresh:
            library.notes.merge(outing, [state])
        kept = [n for n in library.notes.of(outing, deleted=True) if n.identity == fresh[0].identity]
        assert [n.deleted for n in kept] == [True]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    changes=st.lists(st.tuples(st.integers(0, 2), st.integers(0, 50)), max_size=10, unique=True),
    seed=st.randoms(),
)
def test_merging_in_any_order_and_twice_gives_the_same_notes(
    library: Library, changes: list[tuple[int, int]], seed: Random
) -> None:
    athlete = library.athletes.add(warden(new_identity()))
    outing = keep(library, athlete, athlete.identity.encode(), facts())[0].outing.identity
    bases = [note(n) for n in range(3)]
    states = [
        replace(bases[n], text=f"change {minute}", changed_utc=START + timedelta(minutes=minute))
        for n, minute in changes
    ]
    library.notes.merge(outing, states)
    merged = library.notes.of(outing)
    shuffled = states * 2
    seed.shuffle(shuffled)
    for each in shuffled:
        library.notes.merge(outing, [each])
    assert library.notes.of(outing) == merged
    latest = {n: max(minute for k, minute in changes if k == n) for n, _ in changes}
    assert {each.text for each in merged} == {f"change {minute}" for minute in latest.values()}


def test_a_note_of_a_kind_of_a_later_version_is_told_and_stays(library: Library, outing: str) -> None:
    library.notes.merge(outing, [note()])
    with closing(sqlite3.connect(library.path)) as connection, connection:
        connection.execute("UPDATE note SET kind = 'SONG'")
    assert library.notes.of(outing) == ()
    (sentence,) = sentences_of(library.damage.found)
    assert "a kind this version does not know (SONG)" in sentence
    library.notes.merge(outing, [note(1)])
    with closing(sqlite3.connect(library.path)) as connection, connection:
        assert connection.execute("SELECT count(*) FROM note WHERE kind = 'SONG'").fetchone() == (1,)


def test_notes_go_with_their_outing(library: Library, outing: str) -> None:
    library.notes.merge(outing, [note()])
    library.outings.remove([outing])
    assert library.notes.of(outing, deleted=True) == ()
