"""What of the open outing was gone before, where it is kept in a library."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.review.ground.repeated import NOTHING_REPEATED, RepeatedGround, repeated_ground

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.session.background import Job
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting

Progress = Callable[[float], None]


class OutingGround(QObject):
    """Reads in the background at each other outing, and when a search found something; ``changed`` tells."""

    changed = Signal()

    def __init__(
        self, outing: OpenOuting, keeping: AutoSave, library: LibrarySession, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._background, self._outing, self._keeping = library.background, outing, keeping
        self._job: Job | None = None
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
        if self._job is not None:
            self._job.cancel()
            self._job = None
        self._read_of = kept = self._keeping.kept_in
        if kept is None:
            self._take(NOTHING_REPEATED)
            return
        library, identity = kept

        def read(progress: Progress) -> RepeatedGround:
            return repeated_ground(identity, library.places.beside(identity))

        self._job = self._background.run_in_background(read, self._take, self._tell)

    def _take(self, gone: RepeatedGround) -> None:
        self._job = None
        if gone != self.gone:
            self.gone = gone
            self.changed.emit()

    def _tell(self, error: Exception) -> None:
        self._job = None
        raise error
