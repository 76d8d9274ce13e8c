"""A folder that is looked at while the program runs: what is new in it is imported by itself."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from slopebeat.session.small_files import read_small, write_small

if TYPE_CHECKING:
    from slopebeat.model.people import Athlete
    from slopebeat.review.imports.report import ImportReport
    from slopebeat.session.background import Background
    from slopebeat.session.library.opened import OpenLibrary
    from slopebeat.session.library.work import LibraryWork


FILE_NAME = "watched.json"
"""Name of the file beside the settings."""

EVERY_MS, SETTLE_MS = 15_000, 2_000
"""Time between two looks, and while something may still grow [project choice]."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Watched:
    """Which folder, for whom in which library, and what of it has arrived."""

    folder: Path | None = None
    library: Path | None = None
    athlete: str = ""
    taken: dict[str, FileStamp] = field(default_factory=dict)


class FolderWatch(QObject):
    """Looks into the folder at the start and again and again, while the library it is for is open.

    ``arrived`` gives the report of an import that brought something or failed. ``changed`` tells that another
    folder is looked at, or none, or that it came or went. After an import that was stopped or could not be
    kept, nothing is looked at until ``look_again``: it would only fail again.
    """

    arrived = Signal(object)
    changed = Signal()

    def __init__(
        self, folder: Path, background: Background, opened: OpenLibrary, work: LibraryWork, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._file = folder / FILE_NAME
        self._background, self._opened, self._work = background, opened, work
        self.watched = read_small(self._file, Watched) or Watched()
        self.there: bool | None = None
        """Whether the folder was there at the last look; None before the first."""
        self.held = False
        """Whether nothing is looked at until somebody says so."""
        self._looks = FolderScans(dict(self.watched.taken))
        self._looking = self._importing = False
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self._look)
        opened.opened.connect(self.look_again)
        work.arrived.connect(self._imported)

    @property
    def idle(self) -> bool:
        """Whether no look and no import is under way."""
        return not (self._looking or self._importing)

    def watch(self, folder: Path, athlete: Athlete) -> None:
        """Look into this folder from now on, for an athlete of the library that is open."""
        library = self._opened.library
        assert library is not None
        self._set(Watched(folder.absolute(), library.path, athlete.identity))
        self.look_again()

    def stop(self) -> None:
        """Look into no folder; what has arrived stays."""
        self._timer.stop()
        self._set(Watched())

    def close(self) -> None:
        """Look no more."""
        self.held = True
        self._timer.stop()

    def look_again(self) -> None:
        """Look now, and then again and again."""
        self.held = False
        if self._wanted():
            self._timer.start(0)

    def _wanted(self) -> bool:
        library, watched = self._opened.library, self.watched
        return (
            watched.folder is not None
            and library is not None
            and library.path == watched.library
            and not self.held
        )

    def _look(self) -> None:
        # An import that was given up before its turn brings no report.
        self._importing = self._importing and self._work.busy
        if not self._wanted():
            return
        if not self.idle:
            self._timer.start(SETTLE_MS)
            return
        folder = self.watched.folder
        assert folder is not None
        self._looking = True
        self._background.run_in_background(
            lambda _progress: scan_folder(folder), partial(self._seen, folder), self._failed
        )

    def _seen(self, folder: Path, signs: FileStamps | None) -> None:
        self._looking = False
        if folder != self.watched.folder or not self._wanted():
            return
        if self.there is not (signs is not None):
            self.there = signs is not None
            self.changed.emit()
        fresh, growing = self._looks.compare(signs) if signs is not None else ([], False)
        self._timer.start(SETTLE_MS if growing else EVERY_MS)
        library = self._opened.library
        known = any(each.identity == self.watched.athlete for each in self._opened.athletes)
        if not fresh or library is None or not known:
            return
        self._importing = True
        paths = [folder / name for name in fresh]
        self._work.import_files(library, self.watched.athlete, paths, by_itself=True)

    def _failed(self, error: Exception) -> None:
        self._looking = False
        _log.info("%s not looked at: %s", self.watched.folder, error)
        self._timer.start(EVERY_MS)

    def _imported(self, report: ImportReport) -> None:
        self._importing = False
        if report.cancelled or report.fault is not None:
            self.held = True
        else:
            self._looks.take()
            self._set(replace(self.watched, taken=dict(self._looks.taken)))
            self.look_again()
        if report.imported or report.taken_over or report.unreadable or report.archives or self.held:
            self.arrived.emit(report)

    def _set(self, watched: Watched) -> None:
        other = (watched.folder, watched.athlete) != (self.watched.folder, self.watched.athlete)
        self.watched = watched
        if other:
            self._looks = FolderScans(dict(watched.taken))
            self.there = None
            self.changed.emit()
        write_small(self._file, watched)


@dataclass(frozen=True)
class FileStamp:
    """By what a file is known without being read."""

    size_bytes: int
    modified_ns: int


FileStamps = Mapping[str, FileStamp]
"""Files by their path within the folder, with ``/`` between its parts."""


def scan_folder(folder: Path) -> dict[str, FileStamp] | None:
    """The recordings and archives in a folder and all folders in it; None where it is not there.

    A device that is not plugged in is a folder that is not there. What cannot be looked at is passed over: it
    is tried again the next time.
    """
    from slopebeat.review.imports.sources import files_under

    if not folder.is_dir():
        return None
    found = {}
    for path in files_under(folder):
        try:
            known = path.stat()
        except OSError:
            continue
        if known.st_size > 0:
            found[path.relative_to(folder).as_posix()] = FileStamp(known.st_size, known.st_mtime_ns)
    return found


@dataclass
class FolderScans:
    """What was seen in a folder until now.

    Attributes
    ----------
    taken : what was handed out, and need not be again while its size and time stay.
    """

    taken: dict[str, FileStamp] = field(default_factory=dict)
    _before: dict[str, FileStamp] = field(default_factory=dict)
    _out: dict[str, FileStamp] = field(default_factory=dict)

    def compare(self, now: FileStamps) -> tuple[list[str], bool]:
        """What is new and no longer grows, and whether there is more that may still grow.

        A file that is being copied has another size or time at the next look; one whose size and time are
        the same in two looks that follow one another is whole.
        """
        fresh = {name: sign for name, sign in now.items() if self.taken.get(name) != sign}
        still = {name: sign for name, sign in fresh.items() if self._before.get(name) == sign}
        self._before, self._out = dict(now), still
        return sorted(still), len(still) < len(fresh)

    def take(self) -> None:
        """What was handed out last has arrived, or was found to be no recording."""
        self.taken |= self._out
        self._out = {}
