"""What an archive brought on each outing: the outing itself, and notes with the role of who wrote them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from slopebeat.library.outings import StoredOuting
from slopebeat.model.notes import Note


class What(Enum):
    """What became of an outing or a note."""

    ADDED = "added"
    CHANGED = "changed"
    TAKEN_BACK = "taken_back"


@dataclass(frozen=True)
class ArchiveChange:
    """One thing that came: a new outing where ``note`` is None, else a note on one."""

    outing: StoredOuting
    what: What
    note: Note | None = None


def brought(
    outing: StoredOuting, is_new: bool, before: Sequence[Note], after: Sequence[Note]
) -> list[ArchiveChange]:
    """What differs on an outing; notes that nobody can see are none of it."""
    found = [ArchiveChange(outing, What.ADDED)] if is_new else []
    known = {note.identity: note for note in before}
    for note in after:
        was = known.pop(note.identity, None)
        if was != note:
            found.append(ArchiveChange(outing, What.ADDED if was is None else What.CHANGED, note))
    return [*found, *(ArchiveChange(outing, What.TAKEN_BACK, note) for note in known.values())]
