"""A damaged library costs what is damaged: the row is named, the rest is read, no act ends in a traceback."""

from __future__ import annotations

import json
import sqlite3
import zlib
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from helpers.sentences import sentences_of
from library.making import facts, keep, period, review_all
from slopebeat.command.main import main as command
from slopebeat.library.faults import DamagedOriginals, LibraryFault, as_library_faults
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.old.notebooks import file_of
from slopebeat.library.store import Library, restore
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.model.people import Athlete
from slopebeat.review.summary import COMPUTATION_VERSION

NESTED = "[" * 100_000


@pytest.fixture
def filled(library: Library, athlete: Athlete) -> Library:
    """Two outings five days apart, each with a result, a note and decided marks, and one band."""
    library.bands.put(period(athlete, date(2026, 1, 1), 112, 131))
    for number in range(2):
        outing = keep(library, athlete, b"outing %d" % number, facts(days=number * 5.0))[0].outing
        library.notes.merge(outing.identity, [new_note(NoteKind.REMARK, Author.ATHLETE, "easy")])
        library.outings.set_marks(outing.identity, ())
    review_all(library, COMPUTATION_VERSION)
    return library


def damage(library: Library, table: str, column: str, value: Any, as_text: bool = False) -> None:
    """Put a value of another kind into the first row, as damage inside a page would."""
    with closing(sqlite3.connect(library.path)) as connection, connection:
        place = "CAST(? AS TEXT)" if as_text else "?"
        connection.execute(
            f"UPDATE {table} SET {column} = {place} WHERE rowid = (SELECT min(rowid) FROM {table})", (value,)
        )


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("title", b"\xff\xfe"),
        ("start_us", "x"),
        ("start_us", 2**62),
        ("utc_offset_s", "noon"),
        ("utc_offset_s", 1e308),
        ("load_kg", float("inf")),
        ("file_name", b"\xff"),
    ],
)
def test_an_outing_that_cannot_be_read_costs_itself_and_is_named(
    filled: Library, athlete: Athlete, column: str, value: object
) -> None:
    damage(filled, "outing", column, value)
    assert len(filled.outings.of(athlete.identity)) == 1
    assert len(filled.stale_outings(COMPUTATION_VERSION)) == 0
    name = "?" if column == "file_name" else "outing.fit"
    assert sentences_of(filled.damage.found) == (
        f"The outing of {name} is damaged in the library and is left out.",
    )


def test_text_that_is_no_text_costs_its_row(filled: Library, athlete: Athlete) -> None:
    """SQLite keeps bytes as text without looking at them; the driver refused the whole answer for one."""
    damage(filled, "outing", "title", b"\xff\xfe", as_text=True)
    assert len(filled.outings.of(athlete.identity)) == 1


@pytest.mark.parametrize(
    "value", [NESTED, "{}", "null", "[]", "", b"\xff", 5, '{"start_utc": 3}', '{"start_utc": "9999-12-31"}']
)
def test_a_result_that_cannot_be_read_is_computed_anew(
    filled: Library, athlete: Athlete, value: object
) -> None:
    damage(filled, "result", "summary", value)
    assert len(filled.results.summaries(athlete.identity)) == 1
    assert len(filled.stale_outings(COMPUTATION_VERSION)) == 1
    assert filled.results.get(filled.outings.of(athlete.identity)[0].identity) is None
    assert "computed anew" in sentences_of(filled.damage.found)[0]


def test_a_figure_of_another_kind_in_a_result_is_not_taken_for_one(filled: Library, athlete: Athlete) -> None:
    with closing(sqlite3.connect(filled.path)) as connection:
        text = connection.execute("SELECT summary FROM result").fetchone()[0]
    for broken in ({"moving_s": "long"}, {"recorded_s": None}, {"ascent_m": 1e999}, {"sport": "\ud800"}):
        damage(filled, "result", "summary", json.dumps(json.loads(text) | broken))
        assert len(filled.results.summaries(athlete.identity)) == 1, broken


@pytest.mark.parametrize(
    "value", [NESTED, "[[1, 2]]", "[[0, 1, 2, 3, 4]]", "x", 7, '[["a", 1, "HR", "X", "Y"]]']
)
def test_marks_that_cannot_be_read_do_not_count_and_are_told(
    filled: Library, athlete: Athlete, value: object
) -> None:
    damage(filled, "decided_marks", "marks", value)
    first = filled.outings.of(athlete.identity)[0]
    assert filled.outings.marks(first.identity) is None
    assert sentences_of(filled.damage.found)


@pytest.mark.parametrize(("column", "value"), [("created_us", "x"), ("value", "much"), ("text", b"\xff")])
def test_a_note_that_cannot_be_read_costs_itself(
    filled: Library, athlete: Athlete, column: str, value: object
) -> None:
    damage(filled, "note", column, value)
    notes = [len(filled.notes.of(outing.identity)) for outing in filled.outings.of(athlete.identity)]
    assert sorted(notes) == [0, 1]
    assert "note" in sentences_of(filled.damage.found)[0]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("lower_bpm", "low"),
        ("lower_bpm", 200),
        ("from_day", "May"),
        ("ground", "ICE"),
        ("method", None),
        ("basis", "by age"),
    ],
)
def test_a_band_that_cannot_be_read_costs_itself(
    filled: Library, athlete: Athlete, column: str, value: object
) -> None:
    if value is None:
        value = 3
    damage(filled, "band_period", column, value)
    assert filled.bands.of(athlete.identity) == ()
    assert sentences_of(filled.damage.found)


@pytest.mark.parametrize(
    ("column", "value"), [("name", b"\xff"), ("body_mass_kg", "heavy"), ("body_mass_kg", -1e308)]
)
def test_an_athlete_with_a_damaged_field_keeps_all_outings(
    filled: Library, athlete: Athlete, column: str, value: object
) -> None:
    damage(filled, "athlete", column, value)
    (found,) = filled.athletes
    assert len(filled.outings.of(found.identity)) == 2
    assert found.body_mass_kg == athlete.body_mass_kg
    assert column in sentences_of(filled.damage.found)[0]


def test_an_athlete_whom_a_damaged_index_hides_is_still_found(
    filled: Library, athlete: Athlete, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The row is whole, the index of identities leads to it no more: a look-up by identity finds nothing."""
    path = tmp_path / "hidden.sqlite3"
    filled.backup(path)
    with closing(sqlite3.connect(path)) as connection:
        query = "SELECT rootpage FROM sqlite_master WHERE name = 'sqlite_autoindex_athlete_1'"
        (page,), (size,) = (
            connection.execute(query).fetchone(),
            connection.execute("PRAGMA page_size").fetchone(),
        )
    body = bytearray(path.read_bytes())
    at = body.index(athlete.identity.encode(), (page - 1) * size, page * size)
    body[at : at + 4] = b"zzzz"
    path.write_bytes(body)
    with closing(sqlite3.connect(path)) as connection:
        query = "SELECT count(*) FROM athlete WHERE identity = ?"
        assert connection.execute(query, (athlete.identity,)).fetchone() == (0,)
    with Library.open(path) as library:
        assert library.athletes.get(athlete.identity) == athlete
        assert library.stale_outings(COMPUTATION_VERSION) == ()
        assert len(library.stale_outings(COMPUTATION_VERSION + 1, athlete.identity)) == 2
    assert command(["months", "--library", str(path)]) == 0
    assert athlete.name in capsys.readouterr().out


def test_months_of_a_damaged_library_name_the_row_and_count_the_rest(
    filled: Library, capsys: pytest.CaptureFixture[str]
) -> None:
    damage(filled, "outing", "start_us", "x")
    assert command(["months", "--library", str(filled.path)]) == 0
    assert "The outing of outing.fit is damaged" in capsys.readouterr().out


def test_tables_that_are_not_those_of_a_library_are_a_sentence(filled: Library, tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite3"
    filled.backup(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("ALTER TABLE result RENAME COLUMN summary TO sumnary")
    with pytest.raises(LibraryFault, match="damaged"):
        Library.open(path)
    with pytest.raises(LibraryFault, match="damaged"):
        restore(path, tmp_path / "restored.sqlite3")
    assert not (tmp_path / "restored.sqlite3").exists()


def test_a_backup_with_a_damaged_original_names_it_and_asks(filled: Library, tmp_path: Path) -> None:
    backup, target = tmp_path / "backup.sqlite3", tmp_path / "restored.sqlite3"
    filled.backup(backup)
    with closing(sqlite3.connect(backup)) as connection, connection:
        connection.execute(
            "UPDATE content SET packed = ? WHERE rowid = (SELECT min(rowid) FROM content)",
            (zlib.compress(b"another"),),
        )
    with pytest.raises(DamagedOriginals) as refusal:
        restore(backup, target)
    assert sentences_of(refusal.value.names) == ("The original file of outing.fit is damaged.",)
    assert not target.exists()
    assert restore(backup, target, although_damaged=True) is None
    with Library.open(target) as library:
        assert library.outings.count() == 2


@pytest.mark.parametrize("problem", [MemoryError(), UnicodeDecodeError("utf-8", b"\xf4", 0, 1, "no text")])
def test_what_the_driver_fails_on_in_a_damaged_file_is_a_sentence(tmp_path: Path, problem: Exception) -> None:
    """Its own refusal cannot be decoded where it quotes damaged names of the schema."""
    with pytest.raises(LibraryFault, match="damaged"), as_library_faults(tmp_path):
        raise problem


def test_an_original_that_unpacks_without_end_is_not_unpacked(filled: Library) -> None:
    bomb = zlib.compress(bytes(50_000_000))
    damage(filled, "content", "packed", bomb)
    assert len(filled.check(files=True)) == 1


@pytest.mark.parametrize(
    "text",
    [
        '{"version": 1, "notes": [], "marks": null, "load": [], "title": null}',
        '{"version": 1, "notes": [], "marks": null, "load": [1], "title": null}',
        '{"version": 1, "notes": [], "marks": null, "load": null, "title": "\\ud800"}',
        '{"version": 1, "notes": [], "marks": null, "load": [1e999, null], "title": null}',
        NESTED,
    ],
)
def test_a_damaged_notebook_is_set_aside(tmp_path: Path, text: str) -> None:
    books, key = Notebooks(tmp_path / "library.sqlite3"), ContentKey("ab" * 32, 0)
    old = file_of(books.folder, key)
    old.parent.mkdir()
    old.write_text(text, encoding="utf-8")
    book, sentence = books.read(key)
    assert book == Notebook()
    assert "set aside" in sentence
    books.write(key, Notebook(title="Hut way"))
    assert books.read(key)[0].title == "Hut way"
