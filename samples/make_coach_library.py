"""Make the library of a coach with six invented athletes.

``python samples/make_coach_library.py FILE [WEEKS]``: two years take some twenty minutes; nothing of it is
shipped. It needs the program installed, or ``app`` on the path.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from generator.coach import FIRST_MONDAY, WEEKS, Charge, charges
from generator.season import BAND_BPM, SeasonOuting

from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, BodyMass, Ground, Phase, PhaseKind, Prescription
from slopebeat.review.imports.importing import import_files
from slopebeat.review.imports.pool import WORKERS


def make(path: Path, charged: Sequence[Charge], workers: int = WORKERS) -> None:
    """Make a library with these athletes; refuses a name that is taken."""
    with Library.create(path) as library:
        for charge in charged:
            outings = list(charge.outings())
            athlete = _athlete(library, charge)
            _bring_in(library, athlete, outings, workers)
            _write_remarks(library, athlete, charge, outings)


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


def _bring_in(library: Library, athlete: str, outings: list[SeasonOuting], workers: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        for outing in outings:
            (Path(folder) / outing.file_name).write_bytes(outing.encode())
        report = import_files(library, athlete, [Path(folder)], workers=workers)
    assert len(report.imported) == len(outings), report


def _write_remarks(library: Library, athlete: str, charge: Charge, outings: list[SeasonOuting]) -> None:
    """The coach's remarks; what was written on is ticked off, but for the last two weeks."""
    by_file = {one.file_name: one for one in library.outings.of(athlete)}
    for remark in charge.remarks(outings):
        note = new_note(NoteKind.REMARK, Author.COACH, remark.text, when=remark.written)
        library.notes.merge(by_file[remark.file_name].identity, [note])
    for outing in outings[: -2 * charge.person.sessions_per_week]:
        library.ticks.put(by_file[outing.file_name].identity, outing.start)


if __name__ == "__main__":
    make(Path(sys.argv[1]), charges(int(sys.argv[2]) if len(sys.argv) > 2 else WEEKS))
