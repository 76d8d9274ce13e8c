"""What was written and decided on a recording in the window, for a command."""

from __future__ import annotations

from pathlib import Path

from slopebeat.library.notebooks import ContentKey, Notebook, Notebooks
from slopebeat.library.store import Library, default_path
from slopebeat.review.notes.keeping import read_kept_book


def kept_book(content_hash: str, activity: int, library: Path | None) -> Notebook:
    """Notes, marks, load and title kept on an activity (from 0) of a file; empty where there is nothing.

    ``content_hash`` is that of the file as it was read; ``library`` None looks in the user's own one, if any.

    Raises
    ------
    UserError
        With a sentence, when the library or the notebook cannot be read.
    """
    key, notebooks = ContentKey(content_hash, activity), Notebooks()
    if library is None and not default_path().is_file():
        return read_kept_book(key, notebooks)
    with Library.open(library or default_path()) as opened:
        return read_kept_book(key, notebooks, opened)
