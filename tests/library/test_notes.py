"""Notes, taken back and merged."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from library.making import START, facts, keep
from slopebeat.library.notes import Merged, Note
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete


def note(outing: str, minute: int = 0, text: str = "talked in full sentences") -> Note:
    when = START + timedelta(minutes=minute)
    return Note(new_identity(), outing, when, "talk test", "coach", text, when, when, 2.5, 60.0, 120.0)


@pytest.fixture
def outing(library: Library, athlete: Athlete) -> str:
    return keep(library, athlete, b"a file", facts())[0].outing.identity


def test_notes_come_back_in_order_and_deleted_ones_stay_for_merging(library: Library, outing: str) -> None:
    later, earlier = note(outing, 5), replace(note(outing, 1), value=None, start_s=None, end_s=None)
    library.notes.put(later)
    library.notes.put(earlier)
    assert library.notes.of(outing) == (earlier, later)
    when = START + timedelta(days=1)
    library.notes.delete(earlier.identity, when)
    assert library.notes.of(outing) == (later,)
    gone = library.notes.of(outing, deleted=True)[0]
    assert (gone.deleted_utc, gone.changed_utc) == (when, when)
    with pytest.raises(KeyError):
        library.notes.delete("no such", when)


def test_merging_takes_the_later_change_and_brings_nothing_back(library: Library, outing: str) -> None:
    mine, theirs, stray = note(outing), note(outing, 3), note("an outing elsewhere")
    library.notes.put(mine)
    edited = replace(mine, text="short of breath", changed_utc=mine.changed_utc + timedelta(hours=1))
    assert library.notes.merge([edited, theirs, stray]) == Merged(added=1, replaced=1, without_outing=1)
    assert library.notes.of(outing) == (edited, theirs)
    library.notes.delete(theirs.identity, START + timedelta(days=1))
    assert library.notes.merge([mine, edited, theirs]) == Merged(unchanged=3)
    assert library.notes.of(outing) == (edited,)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    changes=st.lists(st.tuples(st.integers(0, 2), st.integers(0, 50)), max_size=10, unique=True),
    seed=st.randoms(),
)
def test_merging_in_any_order_and_twice_gives_the_same_notes(
    library: Library, changes: list[tuple[int, int]], seed: object
) -> None:
    from library.making import warden

    athlete = library.athletes.add(warden(new_identity()))
    outing = keep(library, athlete, athlete.identity.encode(), facts())[0].outing.identity
    bases = [note(outing, n) for n in range(3)]
    states = [
        replace(bases[n], text=f"change {minute}", changed_utc=START + timedelta(minutes=minute))
        for n, minute in changes
    ]
    library.notes.merge(states)
    merged = library.notes.of(outing)
    shuffled = states * 2
    seed.shuffle(shuffled)  # type: ignore[attr-defined]
    for each in shuffled:
        library.notes.merge([each])
    assert library.notes.of(outing) == merged
    latest = {n: max(minute for k, minute in changes if k == n) for n, _ in changes}
    assert {each.text for each in merged} == {f"change {minute}" for minute in latest.values()}


def test_notes_go_with_their_outing(library: Library, outing: str) -> None:
    library.notes.put(note(outing))
    library.outings.remove([outing])
    assert library.notes.of(outing, deleted=True) == ()
