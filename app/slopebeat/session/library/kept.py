"""Outings out of the library: one to look at, or two side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.model.bands import BandMethod
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.outing.notebooks import ContentKey, KeptNotebook
from slopebeat.session.background import Background, Latest, Progress
from slopebeat.session.outing.aim import BandChoice, Entered

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.model.people import Aim
    from slopebeat.model.recording import Recording
    from slopebeat.review.ground.repeated import SharedGround
    from slopebeat.review.outing import Review


@dataclass(frozen=True, eq=False)
class KeptOuting:
    """An outing read back, with the aim it is reviewed with: the band in force on its day."""

    identity: str
    recording: Recording
    aim: Aim
    held: KeptNotebook = field(default_factory=KeptNotebook)

    @property
    def entered(self) -> Entered:
        """The aim as a user would have entered it."""
        band = self.aim.band
        if band is None:
            return Entered(BandChoice(), self.aim)
        choice = BandChoice(BandMethod.MANUAL, band.lower_bpm, band.upper_bpm)
        return Entered(choice, replace(self.aim, band=None))


@dataclass(frozen=True, eq=False)
class KeptParts:
    """Outings read back together, in order of time; ``at`` is the number of the one to look at."""

    outings: tuple[KeptOuting, ...]
    at: int = 0

    @property
    def shown(self) -> KeptOuting:
        return self.outings[self.at]

    @property
    def recordings(self) -> tuple[Recording, ...]:
        return tuple(each.recording for each in self.outings)

    @property
    def held(self) -> tuple[KeptNotebook, ...]:
        return tuple(each.held for each in self.outings)


def read_parts(library: Library, identities: Sequence[str], shown: str, progress: Progress) -> KeptParts:
    """Read outings back from the files kept of them.

    Raises
    ------
    UserError
        With a sentence, when a file is damaged.
    """
    read = []
    for number, identity in enumerate(identities):

        def told(share: float, number: int = number) -> None:
            progress((number + share) / len(identities))

        read.append(read_kept(library, identity, told))
    read.sort(key=lambda each: each.recording.start_utc)
    return KeptParts(tuple(read), [each.identity for each in read].index(shown))


def read_kept(library: Library, identity: str, progress: Progress) -> KeptOuting:
    """Read an outing back from the file kept of it.

    Raises
    ------
    UserError
        With a sentence, when that file is damaged.
    """
    from slopebeat.library.notebooks import Notebooks
    from slopebeat.review.notes.keeping import LibraryStore, move_to_outing, read_outing

    outing = library.outings.get(identity)
    try:
        _, problem = move_to_outing(
            library, outing, Notebooks(), ContentKey(outing.content_hash, outing.activity)
        )
    except UserError as error:
        problem = str(error)
    kept = read_outing(library, identity, progress)
    held = KeptNotebook(LibraryStore(library, kept.outing, kept.book), kept.book, problem)
    return KeptOuting(identity, kept.recording, kept.aim, held)


def _shared(library: Library, earlier: tuple[Review, str], later: tuple[Review, str]) -> SharedGround:
    import numpy as np

    from slopebeat.review.ground.repeated import shared_ground

    athlete = library.outings.get(later[1]).athlete
    one_m, other_m = (float(np.nanmax(one.track.distance_m, initial=0.0)) for one, _ in (earlier, later))
    passes = library.places.passes(athlete)
    return shared_ground(library.places.of(athlete), passes, (earlier[1], later[1]), (one_m, other_m))


class KeptOutings(QObject):
    """Reads in the background; asking for something else drops what is under way."""

    read = Signal(object)
    """:class:`KeptParts`."""

    compared = Signal(object, object, object)
    """Two reviews, the earlier outing first, and the ground both went over."""

    failed = Signal(str)

    def __init__(self, background: Background, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._latest = Latest(background, self._tell)

    def open(self, library: Library, identities: Sequence[str]) -> None:
        """Read outings to look at the first of them; one alone comes with the other parts of its day."""

        def work(progress: Progress) -> KeptParts:
            wanted = identities if len(identities) > 1 else library.days.parts(identities[0])
            return read_parts(library, wanted or identities, identities[0], progress)

        self._latest.start(work, self.read.emit)

    def compare(self, library: Library, identities: tuple[str, str]) -> None:
        """Read and review two outings, each with the band of its day."""

        def work(progress: Progress) -> tuple[Review, Review, SharedGround]:
            from slopebeat.review.outing import review_recording

            reviews = []
            for number, identity in enumerate(identities):
                kept = read_kept(library, identity, lambda share, n=number: progress((n + share) / 2))  # type: ignore[misc]
                book = kept.held.book
                review = review_recording(kept.recording, kept.aim, book.marks, book.notes)
                reviews.append((review, identity))
            earlier, later = sorted(reviews, key=lambda pair: pair[0].recording.start_utc)
            return earlier[0], later[0], _shared(library, earlier, later)

        self._latest.start(work, lambda pair: self.compared.emit(*pair))

    def _tell(self, error: Exception) -> None:
        if isinstance(error, KeyError):
            self.failed.emit(tr("This outing is no longer in the library."))
        elif isinstance(error, UserError):
            self.failed.emit(str(error))
        else:
            raise error
