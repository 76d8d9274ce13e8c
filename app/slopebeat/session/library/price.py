"""What ground costs the athlete looked at, told in the background while somebody looks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.session.background import Background, Latest
from slopebeat.session.library.filter import ShownOutings, today_of

if TYPE_CHECKING:
    from slopebeat.library.results import Inputs
    from slopebeat.review.price.athlete import AthletePrice
    from slopebeat.session.library.opened import OpenLibrary
    from slopebeat.session.library.rows import OutingRow


class PriceState(QObject):
    """Tells it of the outings shown; ``changed`` says that it was told anew.

    Nothing is computed before :meth:`update` is called: who shows it asks for it.
    """

    changed = Signal()

    def __init__(
        self,
        background: Background,
        opened: OpenLibrary,
        outings: ShownOutings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._latest, self._opened, self._outings = Latest(background), opened, outings
        self.latest: AthletePrice | None = None
        self.missing_s: float | None = None
        opened.athlete_changed.connect(self._other_athlete)

    @property
    def up_to_date(self) -> bool:
        return not self._latest.busy

    def set_missing(self, missing_s: float | None) -> None:
        """State what is missing; None takes what is missing this week."""
        if missing_s != self.missing_s:
            self.missing_s = missing_s
            self.update()

    def update(self) -> None:
        """Tell it anew; only the latest result counts."""
        self._latest.drop()
        if self._opened.inputs is None:
            self._take(None)
            return
        rows = self._outings.shown.rows
        work = _telling(self._opened.inputs, rows, self.missing_s, today_of(self._opened))
        self._latest.start(work, self._take)

    def _other_athlete(self) -> None:
        told = self.latest
        if told is not None and told.athlete != self._opened.athlete:
            self.missing_s = None

    def _take(self, price: AthletePrice | None) -> None:
        self.latest = price
        self.changed.emit()


def _telling(
    inputs: Inputs, rows: Sequence[OutingRow], missing_s: float | None, day: date
) -> Callable[[Callable[[float], None]], AthletePrice]:
    def tell(progress: Callable[[float], None]) -> AthletePrice:
        from slopebeat.review.price.athlete import price_of_athlete

        taught = [row.teaching.evidence for row in rows if row.teaching is not None and row.teaching.chosen]
        summaries = [row.summary for row in rows if row.summary is not None]
        return price_of_athlete(inputs, taught, summaries, day, missing_s=missing_s)

    return tell
