"""Prescriptions, body masses and phases have dates; what a day is judged by is what held on it."""

from __future__ import annotations

import gzip
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from helpers.sentences import sentences_of
from library.making import facts, keep, review_all, warden
from slopebeat.library.faults import LibraryFault
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.people import (
    DEFAULT_BODY_MASS_KG,
    Athlete,
    BodyMass,
    Dated,
    Phase,
    PhaseKind,
    Prescription,
    body_mass_in_force,
    prescription_in_force,
)

WRITTEN = Path(__file__).parent / "files" / "version_4.sqlite3.gz"
PATROL = Athlete("22222222-2222-4222-8222-222222222222", "Trail patrol", 1988, 68.5, 12.0, 2, 90.0)
MOMENT = datetime(2026, 8, 1, 19, 30, 0, 123456, UTC)


@pytest.fixture
def patrol(library: Library) -> Athlete:
    return library.athletes.add(replace(warden(), minutes_per_week=90.0, sessions_per_week=2))


def test_a_library_of_the_fourth_version_keeps_all_and_takes_dates(tmp_path: Path) -> None:
    place = tmp_path / "library.sqlite3"
    place.write_bytes(gzip.decompress(WRITTEN.read_bytes()))
    with closing(sqlite3.connect(place)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == 4
        before = connection.execute("SELECT summary FROM result").fetchone()[0]
    with Library.open(place) as library:
        assert list(library.athletes) == [PATROL]
        assert library.dated.of(PATROL.identity) == Dated()
        (kept,) = library.outings.of(PATROL.identity)
        assert [note.text for note in library.notes.of(kept.identity)] == ["ruhig"]
        assert library.ticks.of(PATROL.identity) == {}
        library.ticks.put(kept.identity, MOMENT)
        assert library.ticks.of(PATROL.identity) == {kept.identity: MOMENT}
        assert library.migrated_copy is not None
        assert library.migrated_copy.name.startswith("library.version-4.")
        assert library.damage.found == ()
    with closing(sqlite3.connect(place)) as connection:
        assert connection.execute("SELECT summary FROM result").fetchone()[0] == before


def test_entries_are_kept_by_day_replaced_and_removed(library: Library, patrol: Athlete) -> None:
    first = Prescription(patrol.identity, date(2026, 3, 2), 120.0, 3, 10.0)
    second = Prescription(patrol.identity, date(2026, 6, 1), None, 4)
    mass = BodyMass(patrol.identity, date(2026, 5, 1), 69.5)
    camp = Phase(
        new_identity(), patrol.identity, PhaseKind.CAMP, date(2026, 7, 6), date(2026, 7, 12), "Hütte"
    )
    ill = Phase(new_identity(), patrol.identity, PhaseKind.ILLNESS, date(2026, 2, 2))
    for entry in (second, first, mass, camp, ill):
        library.dated.put(entry)
    assert library.dated.of(patrol.identity) == Dated((first, second), (mass,), (ill, camp))
    library.dated.put(replace(first, minutes_per_week=135.0))
    library.dated.put(replace(ill, last_day=date(2026, 2, 8)))
    library.dated.remove(second)
    library.dated.remove(camp)
    found = library.dated.of(patrol.identity)
    assert found.prescriptions == (replace(first, minutes_per_week=135.0),)
    assert found.phases == (replace(ill, last_day=date(2026, 2, 8)),)
    assert [found.phases[0].holds(date(2026, 2, day)) for day in (1, 2, 8, 9)] == [False, True, True, False]


def test_a_phase_that_ends_before_it_begins_is_refused(library: Library, patrol: Athlete) -> None:
    backwards = Phase(new_identity(), patrol.identity, PhaseKind.BLOCK, date(2026, 3, 2), date(2026, 3, 1))
    with pytest.raises(LibraryFault):
        library.dated.put(backwards)
    assert library.dated.of(patrol.identity).phases == ()


def test_what_holds_on_a_day_is_the_latest_that_began_else_what_the_athlete_began_with(
    patrol: Athlete,
) -> None:
    march = Prescription(patrol.identity, date(2026, 3, 2), 120.0, 3, 10.0)
    june = Prescription(patrol.identity, date(2026, 6, 1), 60.0)
    dated = Dated((march, june), (BodyMass(patrol.identity, date(2026, 5, 1), 69.5),))

    def asked(day: date) -> tuple[float | None, int | None, float | None]:
        held = prescription_in_force(patrol, dated, day)
        return held.minutes_per_week, held.sessions_per_week, held.most_above_minutes

    assert asked(date(2026, 3, 1)) == (90.0, 2, None)
    assert asked(date(2026, 3, 2)) == asked(date(2026, 5, 31)) == (120.0, 3, 10.0)
    assert asked(date(2026, 6, 1)) == (60.0, None, None)
    masses = [body_mass_in_force(patrol, dated, date(2026, month, 1)) for month in (4, 5, 6)]
    assert masses == [DEFAULT_BODY_MASS_KG, 69.5, 69.5]


def test_a_new_body_mass_makes_only_the_outings_after_it_stale(library: Library, patrol: Athlete) -> None:
    before, after = facts(0.0), facts(10.0)
    keep(library, patrol, b"before", before)
    keep(library, patrol, b"after", after)
    review_all(library)
    assert library.stale_outings(1) == ()
    library.dated.put(BodyMass(patrol.identity, date(2026, 5, 6), 71.0))
    (stale,) = library.stale_outings(1)
    assert stale.outing.start_utc == after.start_utc
    assert stale.aim.body_mass_kg == 71.0


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        *(("prescription", "minutes_per_week", "x"), ("body_mass", "body_mass_kg", -3.0)),
        *(("phase", "first_day", "in May"), ("phase", "kind", "HOLIDAY")),
    ],
)
def test_a_damaged_entry_is_named_and_the_rest_is_read(
    library: Library, patrol: Athlete, table: str, column: str, value: object
) -> None:
    day = date(2026, 5, 6)
    for at in (day, date(2026, 6, 6)):
        library.dated.put(Prescription(patrol.identity, at, 60.0))
        library.dated.put(BodyMass(patrol.identity, at, 70.0))
        library.dated.put(Phase(new_identity(), patrol.identity, PhaseKind.BLOCK, at))
    with closing(sqlite3.connect(library.path)) as connection:
        connection.execute(f"UPDATE {table} SET {column} = ? WHERE rowid = 1", (value,))
        connection.commit()
    found = library.dated.of(patrol.identity)
    counts = sorted(map(len, (found.prescriptions, found.masses, found.phases)))
    assert counts == [1, 2, 2]
    assert "enter it again" in sentences_of(library.damage.found)[0]


def test_a_damaged_tick_is_told_and_the_outing_counts_as_not_reviewed(
    library: Library, patrol: Athlete
) -> None:
    (kept,) = keep(library, patrol, b"one", facts())
    library.ticks.put(kept.outing.identity, MOMENT)
    with closing(sqlite3.connect(library.path)) as connection:
        connection.execute("UPDATE outing SET reviewed_us = 'x'")
        connection.commit()
    assert library.ticks.of(patrol.identity) == {}
    assert "not reviewed yet" in sentences_of(library.damage.found)[0]
    library.ticks.put(kept.outing.identity, None)
    assert library.ticks.of(patrol.identity) == {}


def test_removing_an_athlete_takes_what_is_dated_along(library: Library, patrol: Athlete) -> None:
    library.dated.put(Prescription(patrol.identity, date(2026, 5, 6), 60.0))
    library.dated.put(Phase(new_identity(), patrol.identity, PhaseKind.BLOCK, date(2026, 5, 6)))
    library.athletes.remove(patrol.identity)
    assert library.dated.of(patrol.identity) == Dated()
