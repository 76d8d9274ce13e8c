"""What was written and decided on one recording, and where it is kept."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Protocol

from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note, merge_notes


@dataclass(frozen=True)
class ContentKey:
    """An activity of a file: SHA-256 of the file's bytes, and which activity in it, from 0."""

    content_hash: str
    activity: int


@dataclass(frozen=True)
class Notebook:
    """What was written and decided on one recording; None where nothing was decided.

    Attributes
    ----------
    notes : those taken back among them. load : kg, and until how many seconds from the start, or throughout.
    """

    notes: tuple[Note, ...] = ()
    marks: tuple[Mark, ...] | None = None
    load: tuple[float, float | None] | None = None
    title: str | None = None

    @property
    def empty(self) -> bool:
        return self == Notebook()


NO_LOAD = (0.0, None)
"""The load of an outing on which nothing was said of one."""


def joined(here: Notebook, book: Notebook) -> Notebook:
    """What a library keeps, with a notebook of the same recording brought in."""
    return replace(
        here,
        notes=merge_notes(here.notes, book.notes),
        marks=book.marks if here.marks is None else here.marks,
        load=book.load if here.load == NO_LOAD and book.load is not None else here.load,
        title=book.title or here.title,
    )


def caught_up(mine: Notebook, was: Notebook, now: Notebook) -> Notebook:
    """What is on screen, with what has changed in a library since that is as it was there before."""

    def later(name: str) -> Any:
        here = getattr(mine, name)
        return getattr(now, name) if here == getattr(was, name) else here

    notes = merge_notes(now.notes, mine.notes)
    return Notebook(notes, later("marks"), later("load"), later("title"))


class Store(Protocol):
    """A place for what is decided on one recording. Only one thread writes to it."""

    def write(self, book: Notebook) -> None:
        """Keep this state; it is on the disk when this returns. UserError with a sentence otherwise."""


@dataclass(frozen=True, eq=False)
class KeptNotebook:
    """What is kept of one recording, and where; without a store nothing is kept of it.

    ``problem`` is a sentence on what was damaged.
    """

    store: Store | None = None
    book: Notebook = field(default_factory=Notebook)
    problem: str = ""
