"""Make the library of a coach with six invented athletes.

``python samples/make_coach_library.py FILE [WEEKS]``: two years are some fifteen hundred outings, simulated
and imported in two processes each; nothing of it is shipped. It needs the program installed, or ``app`` on
the path.
"""

from __future__ import annotations

import multiprocessing
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from generator.coach import FIRST_MONDAY, WEEKS, Charge, Kept, charges
from generator.season import BAND_BPM

from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, BodyMass, Ground, Phase, PhaseKind, Prescription
from slopebeat.review.ground.search import find_ground
from slopebeat.review.imports.importing import import_files
from slopebeat.review.imports.pool import WORKERS

Tell = Callable[[str], None]


def make(path: Path, charged: Sequence[Charge], workers: int = WORKERS, tell: Tell = lambda _: None) -> None:
    """Make a library with these athletes; refuses a name that is taken."""
    with Library.create(path) as library, tempfile.TemporaryDirectory() as place:
        folders = [Path(place) / str(number) for number in range(len(charged))]
        for folder in folders:
            folder.mkdir()
        if workers == 1:
            _fill(library, charged, folders, map(Charge.record, charged, folders), workers, tell)
            return
        # While one athlete's outings are imported those of the next are simulated.
        with ProcessPoolExecutor(workers, multiprocessing.get_context("spawn")) as pool:
            _fill(library, charged, folders, pool.map(Charge.record, charged, folders), workers, tell)


def _fill(
    library: Library,
    charged: Sequence[Charge],
    folders: Sequence[Path],
    recorded: Iterable[list[Kept]],
    workers: int,
    tell: Tell,
) -> None:
    """Bring everybody in, in the order of the names, each as soon as the files are there."""
    for charge, folder, outings in zip(charged, folders, recorded, strict=True):
        athlete = _athlete(library, charge)
        report = import_files(library, athlete, [folder], workers=workers)
        assert len(report.imported) == len(outings), report
        _write_remarks(library, athlete, charge, outings)
        find_ground(library, athlete)
        tell(f"{charge.person.role}: {len(outings)} outings")


def _athlete(library: Library, charge: Charge) -> str:
    """The athlete with bands and all that has dates."""
    who = library.athletes.add(Athlete(new_identity(), charge.person.role.capitalize()))
    identity = who.identity
    for ground in Ground:
        library.bands.put(BandPeriod(identity, ground, FIRST_MONDAY, Band(*BAND_BPM)))
    for asked in charge.asked:
        minutes = (asked.minutes, asked.sessions, asked.most_above)
        library.dated.put(Prescription(identity, asked.from_day, *minutes))
    for day, kg in charge.masses:
        library.dated.put(BodyMass(identity, day, kg))
    for spell in charge.spells:
        days = (spell.first_day, spell.last_day)
        library.dated.put(Phase(new_identity(), identity, PhaseKind[spell.kind], *days, spell.text))
    return identity


def _write_remarks(library: Library, athlete: str, charge: Charge, outings: Sequence[Kept]) -> None:
    """The coach's remarks; what was written on is ticked off, but for the last two weeks."""
    by_file = {one.file_name: one for one in library.outings.of(athlete)}
    for remark in charge.remarks(outings):
        note = new_note(NoteKind.REMARK, Author.COACH, remark.text, when=remark.written)
        library.notes.merge(by_file[remark.file_name].identity, [note])
    for outing in outings[: -2 * charge.person.sessions_per_week]:
        library.ticks.put(by_file[outing.file_name].identity, outing.start)


def _main() -> None:
    began = time.perf_counter()

    def tell(words: str) -> None:
        print(f"{time.perf_counter() - began:7.1f} s  {words}", flush=True)

    make(Path(sys.argv[1]), charges(int(sys.argv[2]) if len(sys.argv) > 2 else WEEKS), tell=tell)


if __name__ == "__main__":
    _main()
