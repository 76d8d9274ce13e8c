"""Bringing older libraries to the present layout, on steps made up for the test."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from slopebeat.library.connections import connect
from slopebeat.library.migration import migrate, version_of
from slopebeat.library.schema import MIGRATIONS, Migration
from slopebeat.library.store import Library
from slopebeat.review.words.basis import basis_words, how_words

FIRST: Migration = (
    "CREATE TABLE hut (identity INTEGER PRIMARY KEY, name TEXT)",
    "CREATE TABLE visit (hut INTEGER REFERENCES hut, day TEXT)",
    "INSERT INTO hut VALUES (1, 'upper'), (2, 'lower')",
    "INSERT INTO visit VALUES (1, '2026-05-01')",
)
SECOND: Migration = (
    # The way SQLite rebuilds a table others point to (https://www.sqlite.org/lang_altertable.html).
    "CREATE TABLE new_hut (identity INTEGER PRIMARY KEY, name TEXT NOT NULL, elevation_m REAL)",
    "INSERT INTO new_hut SELECT identity, name, NULL FROM hut",
    "DROP TABLE hut",
    "ALTER TABLE new_hut RENAME TO hut",
)
THIRD: Migration = ("ALTER TABLE visit ADD COLUMN load_kg REAL NOT NULL DEFAULT 0",)
FAILING: Migration = ("INSERT INTO hut VALUES (3, 'ridge', 2100)", "INSERT INTO nowhere VALUES (1)")
ORPHANING: Migration = ("DELETE FROM hut WHERE identity = 1",)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    path = tmp_path / "old.sqlite3"
    sqlite3.connect(path).close()
    path.touch()
    with closing(connect(path)) as connection:
        migrate(connection, path, (FIRST,))
    return path


def huts(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return [row[0] for row in connection.execute("SELECT name FROM hut ORDER BY identity")]


def test_steps_are_carried_out_in_order_after_a_copy_that_stays(old: Path) -> None:
    with closing(connect(old)) as connection:
        copy = migrate(connection, old, (FIRST, SECOND, THIRD))
        assert version_of(connection) == 3
        assert connection.execute("SELECT load_kg, day FROM visit").fetchall()[0]["load_kg"] == 0.0
        assert connection.execute("PRAGMA foreign_keys").fetchone()[0] == 1
        assert migrate(connection, old, (FIRST, SECOND, THIRD)) is None
    assert copy is not None
    assert copy.name.startswith("old.version-1.")
    with closing(sqlite3.connect(copy)) as before:
        assert before.execute("PRAGMA user_version").fetchone()[0] == 1
        assert len(before.execute("SELECT * FROM visit").description) == 2
    assert huts(copy) == huts(old) == ["upper", "lower"]


def test_a_step_that_fails_leaves_the_version_before_it(old: Path) -> None:
    with closing(connect(old)) as connection:
        with pytest.raises(sqlite3.OperationalError, match="nowhere"):
            migrate(connection, old, (FIRST, SECOND, FAILING))
        assert version_of(connection) == 2
        assert connection.execute("PRAGMA foreign_keys").fetchone()[0] == 1
        migrate(connection, old, (FIRST, SECOND, THIRD))
        assert version_of(connection) == 3
    assert huts(old) == ["upper", "lower"]


def test_a_step_that_would_orphan_rows_is_taken_back(old: Path) -> None:
    with closing(connect(old)) as connection:
        with pytest.raises(RuntimeError, match="1 broken references"):
            migrate(connection, old, (FIRST, ORPHANING))
        assert version_of(connection) == 1
    assert huts(old) == ["upper", "lower"]


def test_a_second_process_that_comes_too_late_does_nothing_again(old: Path) -> None:
    with closing(connect(old)) as first, closing(connect(old)) as second:
        migrate(first, old, (FIRST, SECOND))
        migrate(second, old, (FIRST, SECOND, THIRD))
        assert version_of(first) == 3
    assert huts(old) == ["upper", "lower"]


def test_the_real_steps_are_never_edited_only_added() -> None:
    """The first layout as it was released, by the columns that were in it."""
    with closing(sqlite3.connect(":memory:")) as connection:
        for statement in MIGRATIONS[0]:
            connection.execute(statement)
        tables = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        columns = {
            table: [row[1] for row in connection.execute(f"PRAGMA table_info({table})")] for table in tables
        }
    assert set(columns) == {
        *("athlete", "band_period", "content", "outing", "duplicate", "result", "decided_marks", "note"),
    }
    assert columns["content"] == ["hash", "size_bytes", "packed"]
    assert columns["result"] == ["outing", "version", "input_key", "summary"]
    assert columns["note"][-3:] == ["created_us", "changed_us", "deleted_us"]


def test_a_library_of_the_first_layout_written_by_hand_opens_with_what_is_in_it(tmp_path: Path) -> None:
    """A file as the first version wrote it, made here from plain SQL, whatever the layout is today."""
    path = tmp_path / "first.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        for statement in MIGRATIONS[0]:
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {int.from_bytes(b'SLBP')}")
        connection.execute("PRAGMA user_version = 1")
        connection.execute("INSERT INTO athlete VALUES ('a-1', 'hut warden', 1980, 70.0, 13.0, 3, 135.0)")
        connection.execute(
            "INSERT INTO band_period VALUES ('a-1', 'FOOT', '2026-03-01', 112, 131, 'HR_MAX', "
            "'60-70 % of 187 bpm', 'measured', '{}')"
        )
        connection.execute("INSERT INTO content VALUES ('00', 0, x'789c030000000001')")
        connection.execute(
            "INSERT INTO outing VALUES ('o-1', 'a-1', '00', 0, 1, 'a.fit', 'Round', 'hiking', 0, "
            "1777622400000000, 7200.0, 8.5, NULL, 1777708800000000)"
        )
        connection.commit()
    with Library.open(path) as library:
        (athlete,) = library.athletes
        assert (athlete.name, athlete.body_mass_kg, athlete.minutes_per_week) == ("hut warden", 70.0, 135.0)
        (period,) = library.bands.of("a-1")
        assert (period.band.lower_bpm, period.band.upper_bpm, how_words(period.band)) == (
            112,
            131,
            "measured",
        )
        assert basis_words(period.band) == "60-70 % of 187 bpm"
        (outing,) = library.outings.of("a-1")
        assert outing.start_utc.isoformat() == "2026-05-01T08:00:00+00:00"
        assert outing.load_kg == 8.5
