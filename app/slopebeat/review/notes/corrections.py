"""What is put right of outings, of many at once: title and sport; and outings with what was put right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import UTC, datetime

from slopebeat.library.notes import where_noted
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.model.note_kinds import SPORTS, Author
from slopebeat.model.notes import CONDITIONS, Note, NoteKind, by_writing, new_note, sport_from_notes
from slopebeat.model.recording import Sport


def outings_as_noted(library: Library, athlete: str) -> tuple[StoredOuting, ...]:
    """An athlete's outings, the earliest first, with time zone, sport and load as their notes say.

    The load is the most that was carried.
    """
    notes = library.notes.by_outing(athlete, CONDITIONS)
    outings = library.outings.of(athlete)
    return tuple(_as_noted(each, notes.get(each.identity, ())) for each in outings)


def _as_noted(outing: StoredOuting, notes: Iterable[Note]) -> StoredOuting:
    here = tuple(notes)
    return replace(where_noted(outing, here), load_kg=most_carried_kg(outing.load_kg, here))


def most_carried_kg(load_kg: float, notes: Iterable[Note]) -> float:
    """The most that was carried on an outing whose load is ``load_kg`` where no note says otherwise, kg.

    A note on the whole outing takes its place, those on a moment or a range hold beside it.
    """
    loads = [note for note in notes if note.kind is NoteKind.LOAD and note.value is not None]
    whole = [note for note in loads if note.start_s is None]
    if whole:
        load_kg = max(whole, key=by_writing).value or 0.0
    return max([load_kg, *(note.value or 0.0 for note in loads if note.start_s is not None)])


def sports_entered(library: Library, outings: Iterable[str]) -> dict[str, Sport | None]:
    """The sport put right of each outing; None where the file's word stands."""
    return {each: sport_from_notes(library.notes.of(each)) for each in outings}


def put_sports(library: Library, sports: Mapping[str, Sport | None], author: Author) -> None:
    """Put the sport of outings right, as notes on them; None takes the file's word."""
    with library.together():
        for outing, sport in sports.items():
            here = [note for note in library.notes.of(outing) if note.kind is NoteKind.SPORT]
            changed = _notes_on(sport, here, author)
            if changed:
                library.notes.merge(outing, changed)


def _notes_on(sport: Sport | None, here: list[Note], author: Author) -> list[Note]:
    """What changes of the notes that are here."""
    now = datetime.now(UTC)
    if sport is None:
        return [note.taken_back(now) for note in here]
    value = SPORTS.index(sport) + 1.0
    if not here:
        return [new_note(NoteKind.SPORT, author, value=value)]
    latest = max(here, key=by_writing)
    return [] if latest.value == value else [latest.edited(now, value=value)]


def titles_of(library: Library, outings: Iterable[str]) -> dict[str, str]:
    """The titles kept of outings."""
    return {each: library.outings.get(each).title for each in outings}


def put_titles(library: Library, titles: Mapping[str, str]) -> None:
    """Give outings titles."""
    with library.together():
        for outing, title in titles.items():
            library.outings.set_title(outing, title)
