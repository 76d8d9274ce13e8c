"""Whether the program ended as it should the last time, and what was open when it did not."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from PySide6.QtCore import QLockFile, QObject

from slopebeat.disk.places import running_folder
from slopebeat.model.recording import title_of
from slopebeat.session.outing.opening import ReadFiles, demo_files
from slopebeat.session.small_files import read_small, write_small

if TYPE_CHECKING:
    from slopebeat.session.library.kept import KeptParts
    from slopebeat.session.session import Session


@dataclass(frozen=True)
class LastOpened:
    """What was on screen: files, or an outing of a library.

    Attributes
    ----------
    name : as the user knows it. paths : the files. index : which of their recordings.
    library, athlete, outing : the place of a kept outing; empty for files. demo : all of it was invented.
    """

    name: str
    paths: tuple[str, ...] = ()
    index: int = 0
    library: str = ""
    athlete: str = ""
    outing: str = ""
    demo: bool = False

    @property
    def still_there(self) -> bool:
        """Whether it can be opened again."""
        return bool(self.library) or (bool(self.paths) and all(Path(path).is_file() for path in self.paths))


class RunningNote(QObject):
    """A file that is there as long as the program runs and says what is open; a clean end removes it.

    A lock beside it tells a running program from one that was killed, whatever the system.
    """

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self._folder = running_folder()
        self._path = self._folder / f"{uuid4()}.json"
        self._lock: QLockFile | None = None
        self._place: LastOpened | None = None

    def begin(self) -> LastOpened | None:
        """Start to keep note; returns what was open when an earlier run ended unexpectedly."""
        left: list[tuple[float, LastOpened]] = []
        with suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            left = sorted(self._take_leftovers(), key=lambda found: found[0])
            self._lock = _lock_of(self._path)
            self._lock.tryLock(0)
        self._session.opening.read.connect(self._files_opened)
        self._session.library.kept.read.connect(self._outing_opened)
        self._session.outing.chosen.connect(self._chosen)
        return left[-1][1] if left and left[-1][1].still_there else None

    def end(self) -> None:
        """The program ends as it should."""
        with suppress(OSError):
            self._path.unlink(missing_ok=True)
        if self._lock is not None:
            self._lock.unlock()

    def _take_leftovers(self) -> Iterator[tuple[float, LastOpened]]:
        """Notes whose program is gone, with their age; they are removed."""
        for path in self._folder.glob("*.json"):
            lock = _lock_of(path)
            if not lock.tryLock(0):
                continue
            if (place := read_small(path, LastOpened)) is not None:
                with suppress(OSError):
                    yield path.stat().st_mtime, place
            path.unlink(missing_ok=True)
            lock.unlock()

    def _files_opened(self, files: ReadFiles) -> None:
        if files.recordings:
            shown = files.recordings[0]
            paths = tuple(str(path.absolute()) for path in files.paths)
            demo = set(paths) == {str(path.absolute()) for path in demo_files()}
            self._write(LastOpened(title_of(shown), paths, demo=demo))

    def _outing_opened(self, kept: KeptParts) -> None:
        opened = self._session.library.opened
        if opened.library is not None:
            self._write(
                LastOpened(
                    title_of(kept.shown.recording),
                    library=str(opened.library.path),
                    athlete=opened.athlete.identity if opened.athlete else "",
                    outing=kept.shown.identity,
                    demo=opened.is_demo,
                )
            )

    def _chosen(self) -> None:
        if self._place is not None and self._place.paths:
            self._write(replace(self._place, index=self._session.outing.index))

    def _write(self, place: LastOpened) -> None:
        self._place = place
        write_small(self._path, place)


def _lock_of(path: Path) -> QLockFile:
    lock = QLockFile(str(path.with_suffix(".lock")))
    # Only the death of its program makes it stale, not its age.
    lock.setStaleLockTime(0)
    return lock
