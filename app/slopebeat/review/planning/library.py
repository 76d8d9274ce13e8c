"""Earlier outings of an athlete in a library, as far as they teach for a plan."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from slopebeat.analysis.route.evidence import Evidence
from slopebeat.files.reading import read
from slopebeat.library.outings import StoredOuting
from slopebeat.library.results import Inputs
from slopebeat.library.store import Library
from slopebeat.model.athlete import DEFAULT_TARGET_S, Aim
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note
from slopebeat.model.people import Ground
from slopebeat.review.notes.library import notes_of
from slopebeat.review.outing import review_recording
from slopebeat.review.planning.planning import evidence_from

LATEST_OUTINGS = 15
"""Outings learnt from, the latest ones: fitness of half a year ago is another athlete's [project choice]."""

Told = Callable[[int, int, str], None]
"""Called with outings done, all outings and the name at hand; raises ``Cancelled`` to stop."""


@dataclass(frozen=True, eq=False)
class Taught:
    """What a library teaches: evidence, the aim of the day, and sentences on what was left out."""

    outings: tuple[Evidence, ...]
    aim: Aim
    warnings: tuple[str, ...]


@dataclass(eq=False)
class EvidenceMemory:
    """What outings taught already, so that a plan asked for again reads no file again.

    Kept by everything the evidence of an outing depends on: the outing, the masses, its load, the marks
    decided and the notes. ``None`` stands for an outing that teaches nothing.
    """

    kept: dict[tuple[object, ...], Evidence | None] = field(default_factory=dict)

    def of(self, library: Library, outing: StoredOuting, aim: Aim) -> Evidence | None:
        """The evidence of an outing, read and reviewed at most once.

        Raises
        ------
        UserError
            When its file cannot be read; it is tried again the next time.
        """
        marks = library.outings.marks(outing.identity)
        notes, _ = notes_of(library.notes.of(outing.identity))
        masses = (aim.body_mass_kg, aim.bike_mass_kg, aim.load_kg, aim.load_until_s)
        key = (library.path, outing.identity, *masses, marks, repr(notes))
        if key not in self.kept:
            self.kept[key] = _slim(_evidence(library, outing, aim, marks, notes))
        return self.kept[key]


def learn(
    library: Library,
    athlete: str,
    ground: Ground,
    day: date,
    latest: int = LATEST_OUTINGS,
    told: Told | None = None,
    memory: EvidenceMemory | None = None,
    chosen: Collection[str] | None = None,
) -> Taught:
    """Review outings of an athlete on one ground: the latest, or the chosen ones.

    Parameters
    ----------
    athlete : identity. day : of the outing to plan; only outings begun before its end are used, and the
        band in force on it.
    memory : what was learnt before. chosen : identities of the outings to learn from.

    Raises
    ------
    KeyError
        For an unknown athlete.
    """
    inputs, memory = library.inputs(athlete), memory or EvidenceMemory()
    stored = teachers(library, athlete, ground, day)
    stored = stored[-latest:] if chosen is None else [o for o in stored if o.identity in chosen]
    found, lost = [], []
    for number, outing in enumerate(stored):
        if told is not None:
            told(number, len(stored), outing.title or outing.file_name)
        try:
            one = memory.of(library, outing, inputs.aim_of(outing))
        except UserError as problem:
            left_out = tr("{outing} was left out: {reason}")
            lost.append(left_out.format(outing=outing.title or outing.file_name, reason=problem))
            continue
        if one is None:
            without = tr("{outing} has no distance or elevation; it was left out.")
            lost.append(without.format(outing=outing.title or outing.file_name))
        else:
            found.append(one)
    return Taught(tuple(found), aim_for(inputs, ground, day), tuple(lost))


def teachers(library: Library, athlete: str, ground: Ground, day: date) -> list[StoredOuting]:
    """Outings of an athlete on one ground up to a day, the earliest first."""
    return [o for o in library.outings.of(athlete) if o.ground is ground and o.local_day() <= day]


def aim_for(inputs: Inputs, ground: Ground, day: date) -> Aim:
    """The aim of an outing to come: the band in force on its day, and the prescription of one session."""
    who, target = inputs.athlete, DEFAULT_TARGET_S
    if who.minutes_per_week and who.sessions_per_week:
        target = 60.0 * who.minutes_per_week / who.sessions_per_week
    return replace(inputs.aim(ground, day), target_s=target)


def _slim(found: Evidence | None) -> Evidence | None:
    """Without what is as long as the recording: a hundred outings stay in memory at once."""
    if found is None:
        return None
    return replace(found, response=replace(found.response, fitted_hr_bpm=None, residual_bpm=None))


def _evidence(
    library: Library,
    outing: StoredOuting,
    aim: Aim,
    marks: tuple[Mark, ...] | None,
    notes: Sequence[Note],
) -> Evidence | None:
    recordings = read(library.outings.original(outing.identity), name=outing.file_name).recordings
    if outing.activity >= len(recordings):
        gone = tr("the file holds no activity number {number} any more.")
        raise UserError(gone.format(number=outing.activity + 1))
    review = review_recording(recordings[outing.activity], aim, marks, notes)
    return evidence_from(review, notes)
