"""Outings out of the library: one to look at, or two side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from PySide6.QtCore import QObject, Signal

from slopebeat.files.reading import read
from slopebeat.library.notebooks import ContentKey, Notebooks
from slopebeat.library.notes import where_noted
from slopebeat.library.store import Library
from slopebeat.model.bands import BandMethod
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.people import DEFAULT_TARGET_S, Aim, Prescription
from slopebeat.model.recording import Recording
from slopebeat.review.notes.keeping import Held, LibraryStore, book_of, hand_over
from slopebeat.review.outing import Review, review_recording
from slopebeat.session.background import Background, Job
from slopebeat.session.outing.aim import BandChoice, Entered

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class KeptOuting:
    """An outing read back, with the aim it is reviewed with: the band in force on its day."""

    identity: str
    recording: Recording
    aim: Aim
    held: Held = field(default_factory=Held)

    @property
    def entered(self) -> Entered:
        """The aim as a user would have entered it."""
        band = self.aim.band
        if band is None:
            return Entered(BandChoice(), self.aim)
        choice = BandChoice(BandMethod.MANUAL, band.lower_bpm, band.upper_bpm)
        return Entered(choice, replace(self.aim, band=None))


def target_s(asked: Prescription) -> float:
    """Prescribed time in band of one session: the week's minutes over its sessions."""
    if asked.minutes_per_week and asked.sessions_per_week:
        return asked.minutes_per_week * 60.0 / asked.sessions_per_week
    return DEFAULT_TARGET_S


def read_kept(library: Library, identity: str, progress: Progress) -> KeptOuting:
    """Read an outing back from the file kept of it.

    Raises
    ------
    UserError
        With a sentence, when that file is damaged.
    """
    outing = library.outings.get(identity)
    try:
        _, problem = hand_over(library, outing, Notebooks(), ContentKey(outing.content_hash, outing.activity))
    except UserError as error:
        problem = str(error)
    outing = library.outings.get(identity)
    inputs = library.inputs(outing.athlete)
    recordings = read(library.outings.original(identity), progress, outing.file_name).recordings
    if outing.activity >= len(recordings):
        raise UserError(
            tr("{file} holds no activity number {number} any more.").format(
                file=outing.file_name, number=outing.activity + 1
            )
        )
    book = book_of(library, outing)
    placed = where_noted(outing, book.notes)
    aim = replace(inputs.aim_of(placed), target_s=target_s(inputs.prescribed(placed.local_day())))
    recording = replace(recordings[outing.activity], title=outing.title)
    return KeptOuting(identity, recording, aim, Held(LibraryStore(library, outing, book), book, problem))


class KeptOutings(QObject):
    """Reads in the background; asking for something else drops what is under way."""

    read = Signal(object)
    """A :class:`KeptOuting`."""

    compared = Signal(object, object)
    """Two reviews, the earlier outing first."""

    busy_changed = Signal(bool)
    failed = Signal(str)

    def __init__(self, background: Background, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self._job: Job | None = None

    def open(self, library: Library, identity: str) -> None:
        """Read one outing."""

        def work(progress: Progress) -> KeptOuting:
            return read_kept(library, identity, progress)

        self._start(work, self.read.emit)

    def compare(self, library: Library, identities: tuple[str, str]) -> None:
        """Read and review two outings, each with the band of its day."""

        def work(progress: Progress) -> list[Review]:
            reviews = []
            for number, identity in enumerate(identities):
                kept = read_kept(library, identity, lambda share, n=number: progress((n + share) / 2))  # type: ignore[misc]
                book = kept.held.book
                reviews.append(review_recording(kept.recording, kept.aim, book.marks, book.notes))
            return sorted(reviews, key=lambda review: review.recording.start_utc)

        self._start(work, lambda pair: self.compared.emit(*pair))

    def _start(self, work: Callable[[Progress], object], deliver: Callable[..., object]) -> None:
        if self._job is not None:
            self._job.cancel()

        def done(result: object) -> None:
            self._job = None
            self.busy_changed.emit(False)
            deliver(result)

        self._job = self._background.run_in_background(work, done, self._tell)
        self.busy_changed.emit(True)

    def _tell(self, error: Exception) -> None:
        self._job = None
        self.busy_changed.emit(False)
        if isinstance(error, KeyError):
            self.failed.emit(tr("This outing is no longer in the library."))
        elif isinstance(error, UserError):
            self.failed.emit(str(error))
        else:
            raise error
