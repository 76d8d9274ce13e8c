"""What two programs write to one library is kept, however often each opens it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import slopebeat
from library.making import facts, keep, warden
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, NoteKind, new_note

APP = str(Path(slopebeat.__file__).resolve().parents[1])
OTHER_PROGRAM = """
import sys
from pathlib import Path
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, NoteKind, new_note
with Library.open(Path(sys.argv[1])) as library:
    library.outings.set_title(sys.argv[2], "named elsewhere")
"""


def test_opening_a_library_again_gives_up_no_lock_on_it(tmp_path: Path) -> None:
    """Closing any handle on a file drops all locks this process has on it (POSIX, fcntl: closing a file).

    SQLite names this as a way to corrupt a database (https://www.sqlite.org/howtocorrupt.html, 2.2): another
    program then takes itself for the only one and clears the log this one still writes to.
    """
    path = tmp_path / "library.sqlite3"
    with Library.create(path) as first:
        athlete = first.athletes.add(warden())
        outing = keep(first, athlete, b"a file", facts())[0].outing
        with Library.open(path) as second:
            assert second.outings.count() == 1
            command = [sys.executable, "-c", OTHER_PROGRAM, str(path), outing.identity]
            subprocess.run(command, check=True, env=os.environ | {"PYTHONPATH": APP})
            note = new_note(NoteKind.REMARK, Author.COACH, "steep")
            first.notes.merge(outing.identity, [note])
            assert first.outings.get(outing.identity).title == "named elsewhere"
    with Library.open(path) as later:
        assert later.notes.of(outing.identity) == (note,)
        assert later.outings.get(outing.identity).title == "named elsewhere"
        assert later.check() == ()
