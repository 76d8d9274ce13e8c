"""Ground an athlete went more than once: all places side by side, and what of the open outing was before."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.review.ground.ground import NO_GROUND, GroundReview, PlaceRow, review_ground
from slopebeat.review.ground.repeated import NOTHING_REPEATED, RepeatedGround, repeated_ground
from slopebeat.session.background import Latest, Progress

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.ground.search import SearchReport
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting


class GroundPlaces(QObject):
    """What is known of ground gone before; nothing is read until somebody wants to see it.

    ``changed`` says the places differ, ``picked_changed`` that another one is looked at.
    """

    changed = Signal()
    picked_changed = Signal()

    def __init__(self, session: LibrarySession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._latest, self._opened = Latest(session.background), session.opened
        self._work, self._memory = session.work, session.memory
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
        self._latest.drop()
        library, athlete = self._opened.library, self._opened.athlete
        if not self._wanted:
            return
        if library is None or athlete is None:
            self._take(NO_GROUND)
            return
        self._latest.start(partial(_read, library, athlete.identity, self.without_ends), self._take)

    def _searched(self, report: SearchReport) -> None:
        if report.ways:
            self.update()

    def _take(self, ground: GroundReview) -> None:
        self.ground = ground
        number = None if self.picked is None else self.picked.number
        self.picked = next((row for row in ground.places if row.number == number), None)
        if self.picked is None and ground.places:
            self.picked = ground.places[0]
        self.changed.emit()


def _read(library: Library, athlete: str, without_ends: bool, progress: Progress) -> GroundReview:
    places, passes = library.places.of(athlete), library.places.passes(athlete)
    progress(0.6)
    return review_ground(places, passes, without_ends)


class OutingGround(QObject):
    """Reads in the background at each other outing, and when a search found something; ``changed`` tells."""

    changed = Signal()

    def __init__(
        self, outing: OpenOuting, keeping: AutoSave, library: LibrarySession, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._latest, self._outing, self._keeping = Latest(library.background), outing, keeping
        self._read_of: tuple[Library, str] | None = None
        self.gone: RepeatedGround = NOTHING_REPEATED
        outing.reviewed.connect(self._reviewed)
        library.work.ground_found.connect(self.update)
        self._reviewed()

    def _reviewed(self) -> None:
        if self._keeping.kept_in != self._read_of:
            self.update()

    def update(self) -> None:
        """Read anew; an outing outside a library has no earlier ones to go by."""
        self._latest.drop()
        self._read_of = kept = self._keeping.kept_in
        if kept is None:
            self._take(NOTHING_REPEATED)
            return
        library, identity = kept
        self._latest.start(
            lambda progress: repeated_ground(identity, library.places.beside(identity)), self._take
        )

    def _take(self, gone: RepeatedGround) -> None:
        if gone != self.gone:
            self.gone = gone
            self.changed.emit()
