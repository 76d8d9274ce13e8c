"""An outing of a library as it is kept: recording, what is decided on it, and what it is reviewed with."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slopebeat.files.progress import Progress
from slopebeat.files.reading import read
from slopebeat.library.notes import where_noted
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.outing.notebooks import Notebook
from slopebeat.model.people import Aim, session_target_s
from slopebeat.model.recording import Recording
from slopebeat.review.notes.keeping import book_of


@dataclass(frozen=True, eq=False)
class OutingAsKept:
    """An outing read back; the aim has the band in force on its day and the prescription of a session."""

    outing: StoredOuting
    recording: Recording
    aim: Aim
    book: Notebook


def read_outing(library: Library, identity: str, progress: Progress | None = None) -> OutingAsKept:
    """Read an outing back from the file kept of it; KeyError when there is none of this identity.

    Raises
    ------
    UserError
        With a sentence, when that file is damaged.
    """
    outing = library.outings.get(identity)
    recordings = read(library.outings.original(identity), progress, outing.file_name).recordings
    if outing.activity >= len(recordings):
        raise UserError(
            tr("{file} holds no activity number {number} any more.").format(
                file=outing.file_name, number=outing.activity + 1
            )
        )
    inputs, book = library.inputs(outing.athlete), book_of(library, outing)
    placed = where_noted(outing, book.notes)
    target_s = session_target_s(inputs.prescribed(placed.local_day()))
    aim = replace(inputs.aim_of(placed), target_s=target_s)
    return OutingAsKept(outing, replace(recordings[outing.activity], title=outing.title), aim, book)
