"""Notebooks of recordings that are in no library: whole or not at all, and found by content."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from faults.kill_while_writing import kill_often
from slopebeat.library.notebooks import ContentKey, Notebook, NotebookFault, Notebooks
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind, new_note

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
    st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=1).filter(str.strip),
    st.none() | st.floats(0.0, 1e6),
)
BOOKS = st.builds(
    Notebook,
    st.lists(NOTES, max_size=3).map(lambda notes: tuple(sorted(notes, key=lambda n: n.identity))),
    st.none() | st.lists(MARKS, max_size=3).map(tuple),
    st.none() | st.tuples(st.floats(0.0, 150.0), st.none() | st.floats(0.0, 1e5)),
    st.none() | st.text(st.characters(codec="utf-8")),
)


@settings(deadline=None, max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(book=BOOKS)
def test_a_notebook_comes_back_as_written(tmp_path: Path, book: Notebook) -> None:
    books = Notebooks(tmp_path)
    books.remove(KEY)
    books.write(KEY, book)
    back, problem = books.read(KEY)
    assert problem == ""
    assert {note.identity: note for note in back.notes} == {note.identity: note for note in book.notes}
    assert (back.marks, back.load, back.title) == (book.marks, book.load, book.title)
    assert [path.name for path in tmp_path.iterdir()] == [books.path(KEY).name], "nothing is left beside it"


def test_two_windows_on_one_recording_lose_none_of_each_others_notes(tmp_path: Path) -> None:
    here, there = Notebooks(tmp_path), Notebooks(tmp_path)
    mine, theirs = (new_note(NoteKind.REMARK, Author.COACH, text) for text in ("mine", "theirs"))
    here.write(KEY, Notebook((mine,)))
    there.write(KEY, Notebook((theirs,)))
    assert {note.text for note in here.read(KEY)[0].notes} == {"mine", "theirs"}


def test_notes_are_nobody_elses_to_read(tmp_path: Path) -> None:
    books = Notebooks(tmp_path / "notebooks")
    books.write(KEY, Notebook(title="Round"))
    assert stat.S_IMODE(books.path(KEY).stat().st_mode) == 0o600


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"version": 1}', b'{"version": "x"}', b"\xff\xfe"])
def test_whatever_is_damaged_is_set_aside(tmp_path: Path, content: bytes) -> None:
    books = Notebooks(tmp_path)
    books.path(KEY).write_bytes(content)
    book, problem = books.read(KEY)
    (aside,) = tmp_path.iterdir()
    assert (book, aside.read_bytes()) == (Notebook(), content)
    assert str(aside) in problem


def test_a_place_that_cannot_be_written_to_is_told(tmp_path: Path) -> None:
    (tmp_path / "notebooks").write_text("in the way")
    with pytest.raises(NotebookFault, match="cannot be kept"):
        Notebooks(tmp_path / "notebooks").write(KEY, Notebook())


@pytest.mark.parametrize("kind", ["notebook", "library"])
def test_no_note_told_of_as_kept_is_lost_when_the_program_is_killed(tmp_path: Path, kind: str) -> None:
    """A few kills; ``tests/faults/kill_while_writing.py`` does many."""
    told, missing = kill_often(tmp_path, kind, 4)
    assert len(told) >= 4
    assert missing == set()
