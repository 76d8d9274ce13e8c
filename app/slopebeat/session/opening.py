"""Opening files: read in the background, with progress and cancel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from slopebeat.files.reading import Progress, read_recordings
from slopebeat.model.errors import UserError
from slopebeat.model.recording import Recording
from slopebeat.session.background import Background, Job

Reader = Callable[[Path, Progress | None], tuple[Recording, ...]]


@dataclass(frozen=True)
class ReadFiles:
    """What reading some files gave: recordings, the files they came from, sentences on the rest."""

    recordings: tuple[Recording, ...]
    paths: tuple[Path, ...]
    problems: tuple[str, ...]


class Opening(QObject):
    """Reads one set of files at a time; starting another stops the present one."""

    started = Signal(str)
    progressed = Signal(float)
    ended = Signal()
    read = Signal(object)
    failed = Signal(str)

    def __init__(
        self, background: Background, reader: Reader = read_recordings, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._background = background
        self._reader = reader
        self._job: Job | None = None

    @property
    def reading(self) -> bool:
        return self._job is not None

    def open(self, paths: Sequence[Path]) -> None:
        """Read these files and hand their recordings out together."""
        if not paths:
            return
        self.cancel()
        wanted = tuple(paths)
        self.started.emit(wanted[0].name if len(wanted) == 1 else f"{len(wanted)} files")
        self._job = self._background.run_in_background(
            lambda progress: _read_all(wanted, self._reader, progress),
            self._done,
            self._error,
            self.progressed.emit,
        )

    def cancel(self) -> None:
        """Stop reading; what was open stays open."""
        if self._job is not None:
            self._job.cancel()
            self._job = None
            self.ended.emit()

    def _done(self, files: ReadFiles) -> None:
        self._job = None
        self.ended.emit()
        if files.problems:
            self.failed.emit(" ".join(files.problems))
        if files.recordings:
            self.read.emit(files)

    def _error(self, error: Exception) -> None:
        self._job = None
        self.ended.emit()
        raise error


def _read_all(paths: Sequence[Path], reader: Reader, progress: Progress) -> ReadFiles:
    recordings: list[Recording] = []
    good: list[Path] = []
    problems: list[str] = []
    for number, path in enumerate(paths):

        def part(share: float, number: int = number) -> None:
            progress((number + share) / len(paths))

        try:
            recordings += reader(path, part)
            good.append(path)
        except UserError as error:
            problems.append(str(error))
        except OSError as error:
            problems.append(f"{path.name} could not be opened: {error.strerror or error}.")
    return ReadFiles(tuple(recordings), tuple(good), tuple(problems))
