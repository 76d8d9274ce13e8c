"""Opening files: read in the background, with progress and cancel."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from slopebeat.files.reading import Progress, ReadFile
from slopebeat.files.reading import read as read_file
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.recording import Recording
from slopebeat.review.notes.keeping import Held
from slopebeat.session.background import Background, Job

Reader = Callable[[Path, Progress | None], ReadFile]
Finder = Callable[[ReadFile], tuple[Held, ...]]
"""Finds what is kept on each of the recordings of a file; UserError with a sentence."""


@dataclass(frozen=True)
class ReadFiles:
    """What reading some files gave.

    Attributes
    ----------
    files : those that were read, and ``paths`` where each lay. problems : sentences on the rest.
    held : for each recording what is kept of it and where.
    """

    files: tuple[ReadFile, ...]
    paths: tuple[Path, ...]
    problems: tuple[str, ...]
    held: tuple[Held, ...]

    @property
    def recordings(self) -> tuple[Recording, ...]:
        """All of them, file by file."""
        return tuple(recording for file in self.files for recording in file.recordings)

    @property
    def sources(self) -> tuple[ReadFile, ...]:
        """For each recording the file it was read from."""
        return tuple(file for file in self.files for _ in file.recordings)


class Opening(QObject):
    """Reads one set of files at a time; starting another stops the present one."""

    started = Signal(str)
    progressed = Signal(float)
    ended = Signal()
    read = Signal(object)
    failed = Signal(str)

    def __init__(
        self,
        background: Background,
        reader: Reader = read_file,
        finder: Finder | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._background = background
        self._reader = reader
        self._finder = finder
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
        many = trn("{n} file", "{n} files", len(wanted)).format(n=len(wanted))
        self.started.emit(wanted[0].name if len(wanted) == 1 else many)
        self._job = self._background.run_in_background(
            lambda progress: _read_all(wanted, self._reader, self._finder, progress),
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


def _read_all(paths: Sequence[Path], reader: Reader, finder: Finder | None, progress: Progress) -> ReadFiles:
    files: list[ReadFile] = []
    held: list[Held] = []
    good: list[Path] = []
    problems: list[str] = []
    for number, path in enumerate(paths):

        def part(share: float, number: int = number) -> None:
            progress((number + share) / len(paths))

        try:
            file = reader(path, part)
            held += _found(file, finder, problems)
            files.append(file)
            good.append(path)
        except UserError as error:
            problems.append(str(error))
        except OSError as error:
            sentence = tr("{file} could not be opened: {reason}.")
            problems.append(sentence.format(file=path.name, reason=error.strerror or error))
    return ReadFiles(tuple(files), tuple(good), tuple(problems), tuple(held))


def _found(file: ReadFile, finder: Finder | None, problems: list[str]) -> tuple[Held, ...]:
    """What is kept of a file's recordings; where that cannot be read they open all the same."""
    if finder is not None:
        try:
            held = finder(file)
            problems += [each.problem for each in held if each.problem]
            return held
        except UserError as error:
            problems.append(str(error))
    return (Held(),) * len(file.recordings)
