"""Notebooks of recordings that are in no library: whole or not at all, and found by content."""

from __future__ import annotations

import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faults.kill_while_writing import kill_often
from slopebeat.library.connections import is_held
from slopebeat.library.notebooks import NotebookFault, Notebooks
from slopebeat.library.old.notebooks import file_of
from slopebeat.library.store import Library
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook

KEY = ContentKey("ab" * 32, 1)
MARKS = st.builds(
    Mark,
    st.floats(0.0, 1e5),
    st.floats(0.0, 1e5),
    st.sampled_from(Channel),
    st.sampled_from(Reason),
    st.sampled_from(MarkState),
)
NOTES = st.builds(
    lambda text, start: new_note(NoteKind.REMARK, Author.COACH, text, start_s=start),
    st.text(st.characters(exclude_categories=["C"]), min_size=1).filter(str.strip),
    st.none() | st.floats(0.0, 1e6),
)
BOOKS = st.builds(
    Notebook,
    st.lists(NOTES, max_size=3).map(lambda notes: tuple(sorted(notes, key=lambda n: n.identity))),
    st.none() | st.lists(MARKS, max_size=3).map(tuple),
    st.none() | st.tuples(st.floats(0.0, 150.0), st.none() | st.floats(0.0, 1e5)),
    st.none() | st.text(st.characters(exclude_categories=["Cs"])),
)


@pytest.fixture
def books(tmp_path: Path) -> Notebooks:
    return Notebooks(tmp_path / "data" / "library.sqlite3")


@settings(deadline=None, max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(book=BOOKS)
def test_a_notebook_comes_back_as_written(books: Notebooks, book: Notebook) -> None:
    books.remove(KEY)
    books.write(KEY, book)
    back, problem = books.read(KEY)
    assert problem == ""
    assert {note.identity: note for note in back.notes} == {note.identity: note for note in book.notes}
    assert (back.marks, back.load, back.title) == (book.marks, book.load, book.title)
    assert [path.name for path in books.path.parent.iterdir()] == [books.path.name], (
        "nothing is left beside it"
    )


def test_looking_for_a_notebook_makes_no_library(books: Notebooks) -> None:
    assert books.read(KEY) == (Notebook(), "")
    books.remove(KEY)
    assert not books.path.exists()


def test_two_windows_on_one_recording_lose_none_of_each_others_notes(books: Notebooks) -> None:
    here, there = books, Notebooks(books.path)
    mine, theirs = (new_note(NoteKind.REMARK, Author.COACH, text) for text in ("mine", "theirs"))
    here.write(KEY, Notebook((mine,)))
    there.write(KEY, Notebook((theirs,)))
    assert {note.text for note in here.read(KEY)[0].notes} == {"mine", "theirs"}


def test_notes_are_nobody_elses_to_read(books: Notebooks) -> None:
    books.write(KEY, Notebook(title="Round"))
    assert stat.S_IMODE(books.path.stat().st_mode) == 0o600


def test_notebooks_go_along_with_a_backup(books: Notebooks, tmp_path: Path) -> None:
    books.write(KEY, Notebook(title="Round"))
    with Library.open(books.path) as library:
        library.backup(tmp_path / "backup.sqlite3")
    assert Notebooks(tmp_path / "backup.sqlite3").read(KEY)[0].title == "Round"


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"version": 1}', b'{"version": "x"}', b"\xff\xfe"])
def test_a_damaged_file_of_an_earlier_version_is_set_aside(books: Notebooks, content: bytes) -> None:
    old = file_of(books.folder, KEY)
    old.parent.mkdir(parents=True)
    old.write_bytes(content)
    book, problem = books.read(KEY)
    (aside,) = books.folder.iterdir()
    assert (book, aside.read_bytes()) == (Notebook(), content)
    assert str(aside) in problem
    assert books.read(KEY) == (Notebook(), "")


def test_a_place_that_cannot_be_written_to_is_told(books: Notebooks) -> None:
    books.path.parent.write_text("in the way")
    with pytest.raises(NotebookFault, match="cannot be kept"):
        books.write(KEY, Notebook())


@pytest.mark.parametrize(
    ("table", "column", "left"),
    [
        ("notebook_note", "kind", (0, 1, True)),
        ("notebook", "marks", (1, None, True)),
        ("notebook", "load_kg", (1, 1, False)),
    ],
)
def test_what_is_damaged_in_a_row_is_named_and_costs_only_that(
    books: Notebooks, table: str, column: str, left: tuple[int, int | None, bool]
) -> None:
    note = new_note(NoteKind.REMARK, Author.COACH, "steep")
    mark = Mark(1.0, 2.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    books.write(KEY, Notebook((note,), (mark,), (9.0, None), "Round"))
    with closing(sqlite3.connect(books.path)) as connection, connection:
        connection.execute(f"UPDATE {table} SET {column} = 'x'")
    book, problem = books.read(KEY)
    assert (len(book.notes), book.marks and len(book.marks), book.load is not None) == left
    assert ("of a kind this version does not know" if column == "kind" else "damaged") in problem
    with books.for_many():
        assert [books.read(KEY) for _ in range(2)] == [(book, problem)] * 2, "each act tells of what it met"
        assert is_held(books.path)
    assert not is_held(books.path)


@pytest.mark.parametrize("kind", ["notebook", "library"])
def test_no_note_told_of_as_kept_is_lost_when_the_program_is_killed(tmp_path: Path, kind: str) -> None:
    """A few kills; ``tests/faults/kill_while_writing.py`` does many."""
    told, missing = kill_often(tmp_path, kind, 4)
    assert len(told) >= 4
    assert missing == set()
