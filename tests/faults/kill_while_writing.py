"""Kill a program in the middle of writing notes, again and again, and count what was lost.

Run by hand: ``python tests/faults/kill_while_writing.py [KILLS]`` with ``app`` on the path. A child writes
notes into a notebook or a library and tells of each when it is kept; after a random time it is killed. Every
note it told of must be there.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import slopebeat
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, NoteKind, merge_notes, new_note
from slopebeat.model.outing.notebooks import ContentKey, Notebook, Store
from slopebeat.model.people import Athlete
from slopebeat.review.notes.keeping import LibraryStore, NotebookStore, book_of

APP = str(Path(slopebeat.__file__).resolve().parents[1])
KEY = ContentKey("0" * 64, 0)


def main() -> int:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    lost = 0
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("notebook", "library"):
            told, missing = kill_often(Path(folder), kind, kills)
            print(f"{kind}: {kills} kills, {len(told)} notes told of, {len(missing)} lost")
            lost += len(missing)
    return min(lost, 1)


def kill_often(folder: Path, kind: str, kills: int, seed: int = 0) -> tuple[set[str], set[str]]:
    """Texts of the notes told of as kept, and of those among them that are gone."""
    chance, told = random.Random(seed), set[str]()
    for _ in range(kills):
        command = [sys.executable, __file__, "--write", str(folder), kind]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, env=os.environ | {"PYTHONPATH": APP})
        assert child.stdout is not None
        told.add(json.loads(child.stdout.readline()))
        time.sleep(chance.uniform(0.0, 0.25))
        child.kill()
        lines = child.stdout.read().split(b"\n")
        told |= {json.loads(line) for line in lines[:-1]}
        child.stdout.close()
        child.wait()
        _, book = open_store(folder, kind)
        missing = told - {note.text for note in book.notes}
        if missing:
            return told, missing
    return told, set()


def open_store(folder: Path, kind: str) -> tuple[Store, Notebook]:
    """The place written to, and what is in it."""
    if kind == "notebook":
        notebooks = Notebooks(folder / "notebooks.sqlite3")
        book, problem = notebooks.read(KEY)
        assert not problem, problem
        return NotebookStore(notebooks, KEY), book
    library = Library.open_or_create(folder / "library.sqlite3")
    if not library.outings.count():
        athlete = next(iter(library.athletes), None) or library.athletes.add(
            Athlete(new_identity(), "trail patrol")
        )
        when = new_note(NoteKind.REMARK, Author.COACH, "start").created_utc
        facts = OutingFacts(0, when, None, "hiking", False, "Round")
        library.imports.keep(athlete.identity, packed(b"no recording"), "round.gpx", [IncomingOuting(facts)])
    (athlete,) = library.athletes
    (outing,) = library.outings.of(athlete.identity)
    assert library.check() == ()
    book = book_of(library, outing)
    return LibraryStore(library, outing, book), book


def write(folder: Path, kind: str) -> None:
    """The child: write notes without end, and tell of each when it is kept."""
    store, book = open_store(folder, kind)
    notes = book.notes
    while True:
        note = new_note(NoteKind.REMARK, Author.COACH, new_identity())
        notes = merge_notes(notes, (note,))
        store.write(Notebook(notes, book.marks, book.load, book.title))
        sys.stdout.write(json.dumps(note.text) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--write"]:
        write(Path(sys.argv[2]), sys.argv[3])
    sys.exit(main())
