"""A note that was taken back before it arrived is kept as a mark, and is told of as no note."""

from __future__ import annotations

from datetime import UTC, datetime

from library.making import facts, keep
from slopebeat.library.notes import Merged
from slopebeat.library.store import Library
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete


def test_a_note_taken_back_elsewhere_is_not_added(library: Library, athlete: Athlete) -> None:
    (kept,) = keep(library, athlete, b"one", facts())
    note = new_note(NoteKind.REMARK, Author.COACH, "calm", when=datetime(2026, 5, 2, tzinfo=UTC))
    gone = note.taken_back(datetime(2026, 5, 3, tzinfo=UTC))
    assert library.notes.merge(kept.outing.identity, [gone]) == Merged(unchanged=1)
    # The older copy that was not taken back does not bring it back.
    assert library.notes.merge(kept.outing.identity, [note]) == Merged(unchanged=1)
    assert library.notes.of(kept.outing.identity) == ()
