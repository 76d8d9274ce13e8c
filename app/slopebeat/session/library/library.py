"""The library's side of the session, put together: what is open, what is looked at, what is under way."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Collection, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from slopebeat.disk.places import DEMO_FILE, data_folder, demo_folder
from slopebeat.session.background import Background
from slopebeat.session.library.acts import Corrections, Entries, PeopleActs
from slopebeat.session.library.kept import KeptOutings
from slopebeat.session.library.memory import LibraryMemory
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.library.watch import FolderWatch
from slopebeat.session.library.work import LibraryWork
from slopebeat.session.undo import History

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.imports.report import Asked
    from slopebeat.review.imports.sources import ImportSource
    from slopebeat.session.library.filter import PriceState, ShownOutings

RELOAD_EVERY_MS = 2500
"""While outings arrive the list is read again this often [project choice]."""

RENEW_AFTER_MS = 1500
"""This long after the last change of an outing on screen its kept result is made anew [project choice]."""


def demo_path() -> Path:
    """Where the demo library is built; apart from the user's own."""
    return data_folder() / DEMO_FILE


class LibrarySession(QObject):
    """Owns the library's state objects and the links between them."""

    failed = Signal(str)

    corrected = Signal()
    """What is kept of outings was put right: those on screen may be among them."""

    def __init__(self, folder: Path, parent: QObject | None = None, history: History | None = None) -> None:
        """``folder`` is where settings are kept; ``history`` takes the acts on the library, too."""
        super().__init__(parent)
        self.history = history or History(self)
        self.background = Background(self)
        self._long = Background(self)  # Else the list would wait for an import to end.
        self.memory = LibraryMemory(folder)
        self.opened = OpenLibrary(self.background, self.memory, self)
        self.work = LibraryWork(self._long, self)
        self.kept = KeptOutings(self.background, self)
        self.watch = FolderWatch(folder, self.background, self.opened, self.work, self)
        self.corrections = Corrections(self.opened, self.history, self._corrected)
        self.people = PeopleActs(self.opened, self.history, self._corrected, self.failed.emit)
        self.entries = Entries(self.opened, self.failed.emit, self.history)
        self._reload = _once_after(self, RELOAD_EVERY_MS, self._arrived)
        self._changed: list[Library] = []
        self._renew = _once_after(self, RENEW_AFTER_MS, self._review_changed)
        for part in (self.opened, self.work, self.kept):
            part.failed.connect(self.failed)
        self.opened.opened.connect(self.history.clear_lasting)
        self.opened.opened.connect(self._begin)
        self.opened.edited.connect(self.recompute)
        self.work.progressed.connect(self._progressed)
        self.work.ended.connect(self._arrived)

    @cached_property
    def outings(self) -> ShownOutings:
        """Made when a library is opened, as the months of the outings are."""
        from slopebeat.session.library.filter import ShownOutings

        made = ShownOutings(self.background, self.opened, self)
        if self.opened.library is not None:
            made.update()
        return made

    @cached_property
    def price(self) -> PriceState:
        from slopebeat.session.library.filter import PriceState

        return PriceState(self.background, self.opened, self.outings)

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        waiting = self.work.busy or self._reload.isActive() or self._renew.isActive()
        return not waiting and self.opened.idle and self.background.idle

    def open(self, path: Path | None = None) -> None:
        """Open the user's own library: the one at ``path``, else the last one, else the default one."""
        self.work.cancel()
        self.opened.open(path or self.memory.path)

    def open_remembered(self) -> bool:
        """Open the library of the last time, if it is still there."""
        path = self.memory.path
        if path is None or not path.is_file():
            return False
        self.opened.open(path)
        return True

    def import_anyway(self, asked: Asked, hashes: Collection[str]) -> None:
        """Keep files of an import beside the recordings of the same outings that are there."""
        library = self.opened.library
        if library is not None:
            rest = (asked.load_kg, asked.load_until_s)
            self.work.import_files(library, asked.athlete, asked.paths, *rest, anyway=hashes)

    def open_demo(self) -> None:
        """Open the demo library, built at the first time."""
        self.work.cancel()
        self.opened.open(demo_path(), demo=True)

    def import_paths(
        self, paths: Sequence[Path | ImportSource], load_kg: float = 0.0, load_until_s: float | None = None
    ) -> None:
        """Import files, folders and archives for the athlete looked at; archives know their own."""
        library, athlete = self.opened.library, self.opened.athlete
        assert library is not None
        self.work.import_files(library, athlete.identity if athlete else None, paths, load_kg, load_until_s)

    def with_library(self, act: Callable[[Library], None]) -> None:
        """Do this with the library that is open, else with the user's own once it is, made where missing."""

        def once() -> None:
            assert self.opened.library is not None
            act(self.opened.library)

        if self.opened.library is None:
            self.opened.opened.connect(once, Qt.ConnectionType.SingleShotConnection)
            self.open()
        else:
            once()

    def recompute(self) -> None:
        """Review again what no longer holds, after an edit of what results rest on."""
        library = self.opened.library
        if library is not None:
            self.work.recompute(library)

    def outing_changed(self, library: Library) -> None:
        """Review again soon what was written to a library, so that the list and the months follow."""
        if library not in self._changed:
            self._changed.append(library)
        self._renew.start()

    def open_outing(self, *identities: str) -> None:
        """Look at an outing, with the other parts of its day, or with the others named beside it."""
        if self.opened.library is not None:
            self.kept.open(self.opened.library, identities)

    def compare(self, first: str, second: str) -> None:
        if self.opened.library is not None:
            self.kept.compare(self.opened.library, (first, second))

    def close(self) -> None:
        """Stop the work, wait for it, and close what was open."""
        self._reload.stop()
        self._renew.stop()
        self.watch.close()
        self.opened.finish()
        self.work.cancel()
        self._long.close()
        self.background.close()
        self.opened.close()

    def _begin(self) -> None:
        library = self.opened.library
        assert library is not None

        def go_on(missing: bool) -> None:
            if missing:
                self.work.fill_demo(library)
            else:
                self.recompute()

        if self.opened.is_demo:
            self.opened.ask(demo_is_missing, go_on)
        else:
            self.recompute()

    def _review_changed(self) -> None:
        """Once for several changes in a row, or reviewing would never keep up with the hand."""
        for library in self._changed:
            self.work.recompute(library)
        self._changed.clear()

    def _progressed(self) -> None:
        if not self._reload.isActive():
            self._reload.start()

    def _corrected(self) -> None:
        self._arrived()
        self.recompute()
        self.corrected.emit()

    def _arrived(self) -> None:
        self._reload.stop()
        if self.opened.library is not None:
            self.opened.reload_people()
            self.opened.load_rows()


def _once_after(parent: QObject, wait_ms: int, act: Callable[[], None]) -> QTimer:
    timer = QTimer(parent, interval=wait_ms, singleShot=True)
    timer.timeout.connect(act)
    return timer


def demo_is_missing(library: Library) -> bool:
    """Whether outings of the demo are still to be imported."""
    from slopebeat.review.demo_months import demo_people

    folder = demo_folder()
    if folder is None:
        return False
    wanted = 0
    for person in demo_people(folder):
        with zipfile.ZipFile(person.archive) as archive:
            wanted += len(archive.namelist())
    return library.outings.count() < wanted
