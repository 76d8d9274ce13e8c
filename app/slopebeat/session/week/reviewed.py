"""The tick that says somebody looked at an outing: kept in the library, an act that can be undone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.model.language import tr

if TYPE_CHECKING:
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting
    from slopebeat.session.undo import History


class Reviewed(QObject):
    """Whether the outing on screen was ticked off; ``changed`` when that or the outing differs.

    Attributes
    ----------
    moment : when it was, None while it was not. outing : identity, empty for what no library keeps.
    """

    changed = Signal()
    kept = Signal()
    """A tick is on the disk."""

    def __init__(
        self,
        library: LibrarySession,
        shown: OpenOuting,
        keeping: AutoSave,
        history: History,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._library, self._keeping, self._history = library, keeping, history
        self.outing = ""
        self.moment: datetime | None = None
        for signal in (shown.chosen, library.opened.opened, keeping.library_changed):
            signal.connect(self._look)

    def _look(self, *_: object) -> None:
        """Another outing is on screen, or it is kept elsewhere now: read its tick."""
        outing, athlete = self._keeping.kept_as, self._keeping.kept_for
        if outing != self.outing:
            self.outing, self.moment = outing, None
            self.changed.emit()
        if not outing or self._library.opened.library is None:
            return

        def take(ticked: dict[str, datetime]) -> None:
            if self.outing == outing:
                self.moment = ticked.get(outing)
                self.changed.emit()

        self._library.opened.ask(lambda library: library.ticks.of(athlete), take)

    def tick(self, reviewed: bool) -> None:
        """Tick the outing on screen off, or take the tick back."""
        if self.outing and reviewed is not (self.moment is not None):
            moment = datetime.now(UTC) if reviewed else None
            self._history.do(ReviewedAct(self, self.outing, self.moment, moment))

    def keep(self, outing: str, moment: datetime | None) -> None:
        """Keep a tick of an outing, on screen or not."""
        if outing == self.outing:
            self.moment = moment
            self.changed.emit()
        if self._library.opened.library is not None:
            self._library.opened.ask(
                lambda library: library.ticks.put(outing, moment), lambda _: self.kept.emit()
            )


@dataclass(frozen=True)
class ReviewedAct:
    """A tick set or taken back."""

    reviewed: Reviewed
    outing: str
    before: datetime | None
    after: datetime | None

    @property
    def words(self) -> str:
        return tr("tick of the outing")

    def do(self) -> None:
        self.reviewed.keep(self.outing, self.after)

    def undo(self) -> None:
        self.reviewed.keep(self.outing, self.before)
