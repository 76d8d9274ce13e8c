"""What is kept of the recordings that are opened, and where."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from slopebeat.library.notebooks import ContentKey, Notebook, Notebooks
from slopebeat.library.originals import content_hash
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


def held_of_file(path: Path, count: int, library: Library | None, athlete: str | None) -> tuple[Held, ...]:
    """What is kept of the recordings of a file.

    Raises
    ------
    UserError
        With a sentence, when it cannot be read.
    OSError
        When the file is gone meanwhile.
    """
    digest, notebooks = content_hash(path.read_bytes()), Notebooks()
    return tuple(
        Held(*find_store(ContentKey(digest, activity), notebooks, library, athlete))
        for activity in range(count)
    )
