"""The places an athlete went more than once, read and set side by side in the background."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.review.ground.ground import NO_GROUND, GroundReview, PlaceRow, review_ground

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.ground.search import SearchReport
    from slopebeat.session.background import Job
    from slopebeat.session.library.library import LibrarySession

Progress = Callable[[float], None]


class GroundPlaces(QObject):
    """What is known of ground gone before; nothing is read until somebody wants to see it.

    ``changed`` says the places differ, ``picked_changed`` that another one is looked at.
    """

    changed = Signal()
    picked_changed = Signal()

    def __init__(self, session: LibrarySession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background, self._opened = session.background, session.opened
        self._work, self._memory = session.work, session.memory
        self._job: Job | None = None
        self._wanted = False
        self.ground: GroundReview = NO_GROUND
        self.picked: PlaceRow | None = None
        self._opened.athlete_changed.connect(self.update)
        self._opened.rows_changed.connect(self.update)
        self._work.ground_found.connect(self._searched)

    @property
    def without_ends(self) -> bool:
        """Whether places near where outings begin or end are left out."""
        return self._memory.without_ends

    def leave_ends_out(self, wanted: bool) -> None:
        """Leave places near where outings begin or end out from now on, or take them in again."""
        self._memory.leave_ends_out(wanted)
        self.update()

    def want(self) -> None:
        """Somebody looks at the places: read them, and again whenever they change."""
        if not self._wanted:
            self._wanted = True
            self.update()

    def find_again(self) -> None:
        """Forget all places of the athlete and find them again, with progress."""
        library, athlete = self._opened.library, self._opened.athlete
        if library is not None and athlete is not None:
            self._work.find_ground(library, athlete.identity)

    def pick(self, row: PlaceRow | None) -> None:
        """Look at another place."""
        if row is not self.picked:
            self.picked = row
            self.picked_changed.emit()

    def update(self) -> None:
        """Read everything anew; only the latest result counts."""
        if self._job is not None:
            self._job.cancel()
            self._job = None
        library, athlete = self._opened.library, self._opened.athlete
        if not self._wanted:
            return
        if library is None or athlete is None:
            self._take(NO_GROUND)
            return
        work = _reading(library, athlete.identity, self.without_ends)
        self._job = self._background.run_in_background(work, self._take, self._tell)

    def _searched(self, report: SearchReport) -> None:
        if report.ways:
            self.update()

    def _take(self, ground: GroundReview) -> None:
        self._job = None
        self.ground = ground
        number = None if self.picked is None else self.picked.number
        self.picked = next((row for row in ground.places if row.number == number), None)
        if self.picked is None and ground.places:
            self.picked = ground.places[0]
        self.changed.emit()

    def _tell(self, error: Exception) -> None:
        self._job = None
        raise error


def _reading(library: Library, athlete: str, without_ends: bool) -> Callable[[Progress], GroundReview]:
    def read(progress: Progress) -> GroundReview:
        places = library.places.of(athlete)
        passes = library.places.passes(athlete)
        progress(0.6)
        return review_ground(places, passes, without_ends)

    return read
