"""Outings go from one athlete to another, and two athletes become one, whole or not at all."""

from __future__ import annotations

import sqlite3
from datetime import date

import pytest

from library.making import facts, keep, period, warden
from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings, Transferred
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BodyMass, Phase, PhaseKind, Prescription

DAY = date(2026, 5, 1)
PHASE = "0" * 8 + "-0000-0000-0000-" + "0" * 12


def filled(library: Library, athlete: Athlete, content: bytes = b"one") -> str:
    """One outing with a note, and one of everything that has a date."""
    (kept,) = keep(library, athlete, content, facts())
    note = new_note(NoteKind.REMARK, Author.COACH, f"of {athlete.name}")
    library.notes.merge(kept.outing.identity, [note])
    library.bands.put(period(athlete, DAY, 112, 131))
    library.dated.put(Prescription(athlete.identity, DAY, 90.0, 2))
    library.dated.put(BodyMass(athlete.identity, DAY, 70.0))
    return kept.outing.identity


def test_an_outing_goes_to_another_athlete_with_its_notes(library: Library, athlete: Athlete) -> None:
    outing = filled(library, athlete)
    other = library.athletes.add(warden("trail patrol"))
    assert library.transfers.move([outing], other.identity) == Transferred(outings=1)
    assert library.outings.of(athlete.identity) == ()
    (moved,) = library.outings.of(other.identity)
    assert moved.identity == outing
    assert [note.text for note in library.notes.of(outing)] == ["of hut warden"]
    assert len(library.bands.of(athlete.identity)) == 1
    with pytest.raises(KeyError):
        library.transfers.move([outing], "nobody")


def test_two_athletes_become_one_and_the_days_of_the_one_that_stays_hold(
    library: Library, athlete: Athlete
) -> None:
    other = library.athletes.add(warden("trail patrol"))
    mine, theirs = filled(library, athlete), filled(library, other, b"two")
    library.dated.put(Phase(PHASE, other.identity, PhaseKind.CAMP, DAY))
    library.dated.put(BodyMass(other.identity, DAY, 82.0))
    library.bands.put(period(other, date(2026, 6, 1), 100, 120))
    assert library.transfers.belongings(other.identity) == Belongings(1, 1, 0, 2, 1, 1, 1, 0)
    done = library.transfers.merge(other.identity, athlete.identity)
    # Of the same day only the body mass says something else.
    assert done == Transferred(outings=1, kept_apart=1)
    assert [each.name for each in library.athletes] == ["hut warden"]
    assert {each.identity for each in library.outings.of(athlete.identity)} == {mine, theirs}
    assert library.transfers.belongings(athlete.identity) == Belongings(2, 2, 0, 2, 1, 1, 1, 0)
    assert library.dated.of(athlete.identity).masses[0].body_mass_kg == 70.0
    assert library.check() == ()


def test_one_file_of_both_is_one_outing_with_the_notes_of_both(library: Library, athlete: Athlete) -> None:
    other = library.athletes.add(warden("trail patrol"))
    mine, theirs = filled(library, athlete), filled(library, other)
    library.outings.set_load(theirs, 8.0)
    done = library.transfers.merge(other.identity, athlete.identity)
    assert done == Transferred(joined=1)
    (left,) = library.outings.of(athlete.identity)
    assert (left.identity, left.load_kg) == (mine, 8.0)
    assert {note.text for note in library.notes.of(mine)} == {"of hut warden", "of trail patrol"}


def test_a_merge_that_is_broken_off_changes_nothing(
    library: Library, athlete: Athlete, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = library.athletes.add(warden("trail patrol"))
    filled(library, athlete)
    filled(library, other, b"two")
    before = library.transfers.belongings(other.identity)

    def broken(*_: object) -> int:
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr("slopebeat.library.transfer._move_dated", broken)
    with pytest.raises(sqlite3.OperationalError):
        library.transfers.merge(other.identity, athlete.identity)
    assert library.transfers.belongings(other.identity) == before
    assert library.outings.count(athlete.identity) == 1
