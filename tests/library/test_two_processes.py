"""Two processes writing to one library.

What two programs write to one library is kept, however often each opens it.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import slopebeat
from helpers.patience import WAIT_S
from library.making import facts, keep, warden
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete

OUTINGS_EACH = 40

WRITER = """
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import packed
from slopebeat.library.outings import OutingFacts
from slopebeat.library.store import Library

path, number, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
with Library.open(path) as library:
    athlete = next(iter(library.athletes))
    for step in range(count):
        start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=2 * step + number)
        facts = OutingFacts(0, start, None, "hiking", False, f"{number} {step}")
        content = f"{number} {step}".encode() * 3000
        (kept,) = library.imports.keep(athlete.identity, packed(content), "f.fit", [IncomingOuting(facts)])
        library.outings.set_load(kept.outing.identity, float(step))
"""


def test_two_processes_write_to_one_library_and_nothing_is_lost(library: Library, athlete: Athlete) -> None:
    path = str(Path(slopebeat.__file__).parents[1])
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(library.path), str(number), str(OUTINGS_EACH)],
            env={"PYTHONPATH": path},
            stderr=subprocess.PIPE,
        )
        for number in (0, 1)
    ]
    for writer in writers:
        _, complaint = writer.communicate(timeout=WAIT_S)
        assert complaint == b""
        assert writer.returncode == 0
    outings = library.outings.of(athlete.identity)
    assert {outing.title for outing in outings} == {f"{n} {s}" for n in (0, 1) for s in range(OUTINGS_EACH)}
    for outing in outings:
        assert library.outings.original(outing.identity) == outing.title.encode() * 3000
        assert outing.load_kg == float(outing.title.split()[1])
    assert library.check(files=True) == ()


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
