"""Two processes writing to one library."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import slopebeat
from patience import WAIT_S
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete

OUTINGS_EACH = 40

WRITER = """
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from slopebeat.library.arrivals import Arrival
from slopebeat.library.originals import packed
from slopebeat.library.outings import OutingFacts
from slopebeat.library.store import Library

path, number, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
with Library.open(path) as library:
    athlete = next(iter(library.athletes))
    for step in range(count):
        start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=2 * step + number)
        facts = OutingFacts(0, start, None, "hiking", False, f"{number} {step}")
        content = f"{number} {step}".encode() * 3000
        (kept,) = library.arrivals.keep(athlete.identity, packed(content), "f.fit", [Arrival(facts)])
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
