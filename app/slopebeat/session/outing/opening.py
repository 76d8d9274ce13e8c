"""Opening files: read in the background, with progress and cancel; and the demo outings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.model.bands import BandMethod
from slopebeat.model.codec import decode
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.outing.notebooks import KeptNotebook
from slopebeat.model.people import Aim
from slopebeat.session.background import Background, Latest, Progress
from slopebeat.session.outing.aim import BandChoice, Entered

if TYPE_CHECKING:
    from slopebeat.files.reading import ReadFile
    from slopebeat.model.recording import Recording

Reader = Callable[[Path, Progress | None], "ReadFile"]
Finder = Callable[["ReadFile"], tuple[KeptNotebook, ...]]
"""Finds what is kept on each of the recordings of a file; UserError with a sentence."""


def read_file(path: Path, progress: Progress | None = None) -> ReadFile:
    """Read a file; the readers are loaded with the first one, by the thread that reads it."""
    from slopebeat.files.reading import read

    return read(path, progress)


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
    held: tuple[KeptNotebook, ...]

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
        self, background: Background, reader: Reader = read_file, finder: Finder | None = None
    ) -> None:
        super().__init__(background)
        self._latest = Latest(background, self._error)
        self._reader = reader
        self._finder = finder
        self._files: ReadFiles | None = None
        self.when_shown: Callable[[Callable[[], None]], None] = lambda act: act()
        """Acts once what shows an outing is there."""

    @property
    def reading(self) -> bool:
        return self._latest.busy or self._files is not None

    def open(self, paths: Sequence[Path]) -> None:
        """Read these files and hand their recordings out together."""
        if not paths:
            return
        self.cancel()
        wanted = tuple(paths)
        many = trn("{n} file", "{n} files", len(wanted)).format(n=len(wanted))
        self.started.emit(wanted[0].name if len(wanted) == 1 else many)
        self._latest.start(
            lambda progress: _read_all(wanted, self._reader, self._finder, progress),
            self._done,
            self.progressed.emit,
        )

    def cancel(self) -> None:
        """Stop reading; what was open stays open."""
        if self.reading:
            self._latest.drop()
            self._files = None
            self.ended.emit()

    def _done(self, files: ReadFiles) -> None:
        self._files = files
        self.when_shown(self._hand_out)

    def _hand_out(self) -> None:
        files, self._files = self._files, None
        if files is None:
            return
        self.ended.emit()
        if files.problems:
            self.failed.emit(" ".join(files.problems))
        if files.recordings:
            self.read.emit(files)

    def _error(self, error: Exception) -> None:
        self.ended.emit()
        raise error


def _read_all(paths: Sequence[Path], reader: Reader, finder: Finder | None, progress: Progress) -> ReadFiles:
    files: list[ReadFile] = []
    held: list[KeptNotebook] = []
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


def _found(file: ReadFile, finder: Finder | None, problems: list[str]) -> tuple[KeptNotebook, ...]:
    """What is kept of a file's recordings; where that cannot be read they open all the same."""
    if finder is not None:
        try:
            held = finder(file)
            problems += [each.problem for each in held if each.problem]
            return held
        except UserError as error:
            problems.append(str(error))
    return (KeptNotebook(),) * len(file.recordings)


DEMO_AIM = Entered(
    BandChoice(method=BandMethod.HR_MAX, hr_max_bpm=187), Aim(target_s=45 * 60.0, body_mass_kg=72.0)
)
"""The invented athlete of the demo outings."""

DEMO_NOTE = mark(
    "Demo outings of an invented hut warden and trail patrol. Their band is 60-70 % of a maximal heart rate "
    "of 187 bpm; yours is kept apart and comes back with your own recording."
)
"""Goes through the language when it is shown."""

NAMES = ("hut_supply_hike.fit", "forest_road_patrol.tcx", "lake_shore_walk.gpx")


def demo_files() -> tuple[Path, ...]:
    """The demo files that are installed, beside the package or at the top of the source tree."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "samples", package.parent.parent / "samples"):
        found = tuple(folder / name for name in NAMES if (folder / name).is_file())
        if found:
            return found
    return ()


@dataclass(frozen=True)
class _Load:
    load_kg: float
    carried_until_s: float


@dataclass(frozen=True)
class _Truth:
    """What is read of the truth beside a demo outing."""

    load: _Load | None = None


def demo_load(file_name: str) -> tuple[float, float | None]:
    """Load in kg and the second it was set down, as the truth beside a demo outing tells them."""
    for path in demo_files():
        truth = path.parent / "truth" / f"{path.stem}.json"
        if path.name == file_name and truth.is_file():
            load = decode(truth.read_bytes(), _Truth).load
            if load is not None:
                return load.load_kg, load.carried_until_s
    return 0.0, None
