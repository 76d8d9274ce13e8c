"""What an import did, in words for every screen."""

from __future__ import annotations

from slopebeat.model.language import tr
from slopebeat.review.imports.importing import TakenOver


def taken_over_words(taken: TakenOver) -> str:
    """That a fuller recording of an outing took the place of another, and what became of the notes."""
    told = tr(
        "{file} is a fuller recording of {title} and took the place of {before}; notes and marks went along."
    )
    outing = taken.outing
    return told.format(file=taken.name, title=outing.title or outing.file_name, before=taken.before)
