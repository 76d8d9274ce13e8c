"""What is kept of the recordings that are opened, and where."""

from __future__ import annotations

from dataclasses import dataclass, field

from slopebeat.files.reading import ReadFile
from slopebeat.library.notebooks import ContentKey, Notebook, Notebooks
from slopebeat.library.store import Library
from slopebeat.review.notes.keeping import Store, find_store


@dataclass(frozen=True, eq=False)
class Held:
    """What is kept of one recording, and where; without a store nothing is kept of it.

    ``problem`` is a sentence on what was damaged.
    """

    store: Store | None = None
    book: Notebook = field(default_factory=Notebook)
    problem: str = ""


def held_of_file(file: ReadFile, library: Library | None, athlete: str | None) -> tuple[Held, ...]:
    """What is kept of the recordings of a file, found by the very bytes they were read from.

    Raises
    ------
    UserError
        With a sentence, when it cannot be read.
    """
    notebooks = Notebooks()
    return tuple(
        Held(*find_store(ContentKey(file.content_hash, activity), notebooks, library, athlete))
        for activity in range(len(file.recordings))
    )
