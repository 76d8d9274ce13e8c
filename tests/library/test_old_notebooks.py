"""Notebooks in files of their own and a library without any, as the version before wrote them."""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from slopebeat.library.notebooks import Notebooks
from slopebeat.library.old import notebooks as old_notebooks
from slopebeat.library.store import Library
from slopebeat.model.marks import Channel, MarkState, Reason
from slopebeat.model.notes import Author, NoteKind
from slopebeat.model.outing.notebooks import ContentKey, Notebook
from slopebeat.review.notes.keeping import book_of

FILES = Path(__file__).parent / "files"
WHEN = datetime(2026, 7, 1, 9, 0, 0, 123456, tzinfo=UTC)


def key(text: str, activity: int = 0) -> ContentKey:
    return ContentKey(hashlib.sha256(text.encode()).hexdigest(), activity)


@pytest.fixture
def books(tmp_path: Path) -> Notebooks:
    """Beside a library of that version and all its notebooks."""
    books = Notebooks(tmp_path / "data" / "library.sqlite3")
    shutil.copytree(FILES / "notebooks_1", books.folder)
    books.path.write_bytes(gzip.decompress((FILES / "everything_3.sqlite3.gz").read_bytes()))
    return books


def written(name: str) -> dict[str, Any]:
    """What stands in such a file, read as plain JSON."""
    (path,) = (FILES / "notebooks_1").glob(f"{key(name).content_hash}-0.json")
    return dict(json.loads(path.read_text(encoding="utf-8")))


def test_every_notebook_is_taken_in_once_and_its_file_set_aside(books: Notebooks) -> None:
    files = {path.name: path.read_bytes() for path in books.folder.iterdir()}
    assert len(files) == 5
    book, problem = books.read(key("everything"))
    assert problem == ""
    values = written("everything")
    later = {NoteKind.UTC_OFFSET}  # no file of that version can have one
    assert len(book.notes) == len(values["notes"])
    assert {note.kind for note in book.notes} == set(NoteKind) - later
    by_identity = {note.identity: note for note in book.notes}
    for each in values["notes"]:
        note = by_identity[each["identity"]]
        assert (note.kind.name, note.author.name, note.text) == (each["kind"], each["author"], each["text"])
        assert (note.value, note.start_s, note.end_s) == (each["value"], each["start_s"], each["end_s"])
        times = (note.created_utc, note.changed_utc, note.deleted_utc)
        names = ("created_utc", "changed_utc", "deleted_utc")
        assert [time and time.isoformat() for time in times] == [each[name] for name in names]
    assert book.marks is not None
    rows = [[m.start_s, m.end_s, m.channel.name, m.reason.name, m.state.name] for m in book.marks]
    assert rows == values["marks"]
    assert len(rows) == len(Channel) * len(Reason) * len(MarkState)
    assert (book.load, book.title) == ((12.5, 3600.0), "Über den Grat")
    assert books.read(key("everything", 1)) == (Notebook(title="second activity"), "")
    assert books.read(key("decided nothing bad")) == (Notebook(marks=()), "")
    assert books.read(key("load throughout")) == (Notebook(load=(9.0, None)), "")
    (note,) = books.read(key("notes only"))[0].notes
    assert (note.author, note.created_utc) == (next(iter(Author)), WHEN)
    aside = books.folder / old_notebooks.TAKEN_IN
    assert {path.name: path.read_bytes() for path in aside.iterdir()} == files
    assert [path.name for path in books.folder.iterdir()] == [old_notebooks.TAKEN_IN]


def test_the_library_keeps_all_it_held_and_a_copy_of_how_it_was(books: Notebooks) -> None:
    books.read(key("everything"))
    with Library.open(books.path) as library:
        (athlete,) = library.athletes
        first, second = library.outings.of(athlete.identity)
        book, values = book_of(library, first), written("everything")
        assert len(book.notes) == len(values["notes"])
        assert len(book.marks or ()) == len(values["marks"])
        assert (book.load, book.title) == ((8.0, 1200.0), "Zum Gipfel")
        assert book_of(library, second).notes == ()
        assert library.outings.original(first.identity) == b"outing zero"
        assert library.check(files=True) == ()
        assert library.damage.found == ()
    (copy,) = books.path.parent.glob("library.version-3.*")
    assert copy.read_bytes()[:15] == b"SQLite format 3"


def test_what_was_decided_since_is_not_overruled_by_a_file_that_comes_again(books: Notebooks) -> None:
    """As after a restart between taking in and setting aside, or with a folder brought from elsewhere."""
    place = key("everything")
    book = books.read(place)[0]
    kept = [note.taken_back(note.changed_utc) for note in book.notes]
    books.write(place, Notebook(tuple(kept)))
    shutil.copytree(FILES / "notebooks_1", books.folder, dirs_exist_ok=True)
    again = books.read(place)[0]
    assert all(note.deleted for note in again.notes)
    assert (again.marks, again.load, again.title) == (None, None, None)
    assert not old_notebooks.waiting(books.folder)


def test_a_program_killed_before_the_file_is_set_aside_takes_nothing_in_twice(
    books: Notebooks, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError("no room")

    Library.open(books.path).close()
    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", full)
        before = books.read(key("everything"))[0]
        assert len(old_notebooks.waiting(books.folder)) == 5
    books.write(key("everything"), Notebook(before.notes))
    assert books.read(key("everything"))[0] == Notebook(before.notes)
    assert not old_notebooks.waiting(books.folder)


def test_a_file_an_older_version_writes_later_is_taken_in_as_well(books: Notebooks) -> None:
    place = key("notes only")
    (note,) = books.read(place)[0].notes
    values = written("notes only")
    values["notes"].append(values["notes"][0] | {"identity": "f" * 8 + note.identity[8:], "text": "later"})
    old_notebooks.file_of(books.folder, place).write_text(json.dumps(values), encoding="utf-8")
    assert {each.text for each in books.read(place)[0].notes} == {note.text, "later"}


def test_forgetting_a_recording_forgets_its_files_too(books: Notebooks) -> None:
    books.read(key("notes only"))
    books.remove(key("notes only"))
    assert books.read(key("notes only")) == (Notebook(), "")
    found = [path.name for path in books.folder.rglob("*.json")]
    assert len(found) == 4
    assert not [name for name in found if key("notes only").content_hash in name]


def test_a_later_version_is_left_alone_and_keeps_no_other_out(books: Notebooks) -> None:
    old = old_notebooks.file_of(books.folder, key("notes only"))
    old.write_text(json.dumps(written("notes only") | {"version": 99}))
    before = old.read_bytes()
    assert books.read(key("load throughout"))[0].load == (9.0, None)
    with pytest.raises(old_notebooks.NotebookFault, match="later version"):
        books.read(key("notes only"))
    with pytest.raises(old_notebooks.NotebookFault, match="later version"):
        books.write(key("notes only"), Notebook(title="Round"))
    assert old.read_bytes() == before
