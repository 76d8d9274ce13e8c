"""Keeps what is written and decided on the recordings that are open, as soon as it is on screen."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, TypeGuard

from PySide6.QtCore import QObject, Signal

from slopebeat.model.errors import UserError
from slopebeat.model.notes import CONDITIONS, merge_notes
from slopebeat.model.outing.notebooks import KeptNotebook, Notebook, Store, caught_up
from slopebeat.session.background import Writer
from slopebeat.session.outing.opening import demo_load

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.notes.keeping import LibraryStore, NotebookStore
    from slopebeat.session.outing.aim import AimState
    from slopebeat.session.outing.outing import OpenOuting

_log = logging.getLogger(__name__)


class AutoSave(QObject):
    """Writes notes, decided marks, load and title of the recordings at hand back to where they came from.

    ``saved`` says that all that is on screen is on the disk, ``library_changed`` that an outing of a library
    was written to and its result may no longer hold.
    """

    saved = Signal()
    failed = Signal(str)
    library_changed = Signal(object)

    def __init__(self, outing: OpenOuting, aim: AimState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._outing = outing
        self._aim = aim
        self._writer = Writer(self)
        self._held: list[KeptNotebook] = []
        self._following = False
        self._closing = False
        self._load: tuple[float, float | None] = (0.0, None)
        self.usual_load_kg = aim.entered.rest.load_kg
        """Load the user last entered; an outing's own load never becomes that of the next one."""
        outing.notes_changed.connect(lambda: self._change(notes=outing.notes))
        outing.marks_changed.connect(lambda: self._change(marks=outing.marks))
        outing.title_changed.connect(lambda: self._change(title=outing.recordings[outing.index].title))
        outing.chosen.connect(self._start)
        aim.entered_changed.connect(self._take_load)

    @property
    def idle(self) -> bool:
        """Whether everything is on the disk."""
        return self._writer.idle

    @property
    def kept_as(self) -> str:
        """Identity of the outing of a library that is on screen; empty where it is none."""
        return self.kept_at(self._outing.index)

    def kept_at(self, index: int) -> str:
        """Identity of the outing of a library that a recording at hand is; empty where it is none."""
        store = self._store(index)
        return "" if store is None else store.outing.identity

    def load_at(self, index: int) -> tuple[float, float | None] | None:
        """Load kept of a recording at hand, and until when it was carried; None where nothing was said."""
        return self._held[index].book.load if 0 <= index < len(self._held) else None

    @property
    def kept_in(self) -> tuple[Library, str] | None:
        """The library and the identity there of the outing that is on screen; None where it is none."""
        store = self._store(self._outing.index)
        return None if store is None else (store.library, store.outing.identity)

    @property
    def kept_for(self) -> str:
        """Identity of the athlete of a library whose outing is on screen; empty where it is nobody's."""
        store = self._store(self._outing.index)
        return "" if store is None else store.outing.athlete

    def _store(self, index: int) -> LibraryStore | None:
        store = self._held[index].store if 0 <= index < len(self._held) else None
        return store if _in_library(store) else None

    def show(self, held: Sequence[KeptNotebook]) -> None:
        """The recordings shown next come from here; what happens to the aim until then is not about these."""
        self._following = False
        self._held = list(held)

    def look_for_library(self, library: Library, athlete: str | None) -> None:
        """Move to a library what it holds of the recordings that are open, after it was opened or filled.

        What came into the library on those it held already is shown.
        """
        for held in self._held:
            store = held.store
            if _in_notebook(store):
                work = partial(store.find_again, library, athlete)
                self._writer.put(work, partial(self._moved, store), self._tell)
            elif _in_library(store) and store.library is library:
                self._writer.put(store.read_again, partial(self._read_again, store), self._tell)

    def close(self) -> None:
        """Wait until all is written."""
        self._following, self._closing = False, True
        self._writer.close()

    def _start(self) -> None:
        """The load belongs to the outing; where nothing was said of it the usual one is carried."""
        self._following = False
        index = self._outing.index
        held = self._held[index] if index < len(self._held) else KeptNotebook()
        load = held.book.load
        if load is None and self._aim.for_now:
            load = demo_load(self._outing.recordings[index].file_name)
        self._show_load(*(load or (self.usual_load_kg, None)))
        self._following = True

    def _show_load(self, load_kg: float, until_s: float | None) -> None:
        entered = self._aim.entered
        rest = replace(entered.rest, load_kg=load_kg, load_until_s=until_s)
        if rest != entered.rest:
            self._aim.show(replace(entered, rest=rest))
        self._load = (load_kg, until_s)

    def _take_load(self) -> None:
        rest = self._aim.entered.rest
        load = (rest.load_kg, rest.load_until_s)
        if not self._following or load == self._load:
            return
        self._load = load
        if not self._aim.for_now:
            self.usual_load_kg = rest.load_kg
        self._change(load=load)

    def _change(self, **changes: Any) -> None:
        index = self._outing.index
        if not self._following or not 0 <= index < len(self._held):
            return
        before = self._held[index]
        held = replace(before, book=replace(before.book, **changes))
        if held.book != before.book:
            self._held[index] = held
            self._write(held, before.book)

    def _write(self, held: KeptNotebook, before: Notebook) -> None:
        store = held.store
        if store is not None:
            done = partial(self._done, store, _counts(before, held.book))
            self._writer.put(partial(store.write, held.book), done, self._tell)

    def _done(self, store: Store, counts: bool, result: None) -> None:
        if _in_library(store) and counts:
            self.library_changed.emit(store.library)
        if self._writer.idle:
            self.saved.emit()

    def _moved(self, before: Store, found: tuple[Store, Notebook, str]) -> None:
        """Go on in the library where it holds a recording that was kept in a notebook so far."""
        store, book, _ = found
        places = [i for i, held in enumerate(self._held) if held.store is before]
        if not _in_library(store) or not places:
            return
        index = places[0]
        mine = self._held[index].book
        merged = Notebook(
            merge_notes(book.notes, mine.notes),
            book.marks if mine.marks is None else mine.marks,
            book.load if mine.load is None else mine.load,
            book.title if mine.title is None else mine.title,
        )
        self._hold(index, KeptNotebook(store, merged), book)
        self.library_changed.emit(store.library)

    def _read_again(self, store: LibraryStore, found: tuple[Notebook, Notebook]) -> None:
        """Show what someone else has written to the library meanwhile."""
        was, now = found
        places = [i for i, held in enumerate(self._held) if held.store is store]
        if places and now != was:
            mine = self._held[places[0]].book
            self._hold(places[0], KeptNotebook(store, caught_up(mine, was, now)), now)

    def _hold(self, index: int, held: KeptNotebook, there: Notebook) -> None:
        """Go on with this, write what is not there yet, and show it."""
        self._held[index] = held
        book = held.book
        if book != there:
            self._write(held, there)
        if index == self._outing.index:
            self._following = False
            self._outing.take(book.marks, book.notes)
            if book.title is not None and book.title != self._outing.recordings[index].title:
                self._outing.set_title(book.title)
            if book.load is not None:
                self._show_load(*book.load)
            self._following = True

    def _tell(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        if self._closing:
            _log.warning("not kept at the end: %s", error)  # There may be no window left to say it in.
        self.failed.emit(str(error))


def _in_library(store: Store | None) -> TypeGuard[LibraryStore]:
    """Whether that is a place in a library; stores are loaded with the first file that is read."""
    return store is not None and hasattr(store, "library")


def _in_notebook(store: Store | None) -> TypeGuard[NotebookStore]:
    return store is not None and hasattr(store, "notebooks")


def _counts(before: Notebook, after: Notebook) -> bool:
    """Whether a change is seen in a list of outings: notes only where they enter a result."""
    others = set(after.notes) ^ set(before.notes)
    return replace(before, notes=()) != replace(after, notes=()) or any(
        note.kind in CONDITIONS for note in others
    )
