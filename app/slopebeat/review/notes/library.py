"""Notes as a library keeps them, and back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from slopebeat.library.notes import Note as StoredNote
from slopebeat.library.outings import StoredOuting
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Author, Note, NoteKind


def stored_note(note: Note, outing: StoredOuting) -> StoredNote:
    """The note as it is kept with an outing; kinds and authors by name, because their words may change."""
    return StoredNote(
        identity=note.identity,
        outing=outing.identity,
        time_utc=outing.start_utc + timedelta(seconds=note.start_s or 0.0),
        kind=note.kind.name,
        author_role=note.author.name,
        text=note.text,
        created_utc=note.created_utc,
        changed_utc=note.changed_utc,
        value=note.value,
        start_s=note.start_s,
        end_s=note.end_s,
        deleted_utc=note.deleted_utc,
    )


def note_of(stored: StoredNote) -> Note:
    """The note back.

    Raises
    ------
    UserError
        With a sentence, when it is of a kind this version does not know.
    """
    try:
        kind, author = NoteKind[stored.kind], Author[stored.author_role]
    except KeyError as unknown:
        told = tr("A note is of a kind this version does not know ({kind}); update the program.")
        raise UserError(told.format(kind=unknown)) from None
    return Note(
        identity=stored.identity,
        kind=kind,
        author=author,
        text=stored.text,
        created_utc=stored.created_utc,
        changed_utc=stored.changed_utc,
        value=stored.value,
        start_s=stored.start_s,
        end_s=stored.end_s,
        deleted_utc=stored.deleted_utc,
    )


def notes_of(stored: Iterable[StoredNote]) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    """The notes that this version can show, and sentences on the others, which stay in the library."""
    notes, problems = [], []
    for each in stored:
        try:
            notes.append(note_of(each))
        except UserError as problem:
            problems.append(str(problem))
    return tuple(notes), tuple(problems)
