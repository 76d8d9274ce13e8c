"""What holds for an athlete changed as one act: entries that come, and those that go for them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slopebeat.model.language import tr
from slopebeat.model.people import BandPeriod, first_day_of
from slopebeat.session.undo import History

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.bands import DatedEntry

Change = Callable[[str, Callable[["Library"], object], Callable[[], None], Callable[[str], None]], None]
"""Takes an athlete, what to do with the library, what follows, and what to do with a refusal."""


@dataclass(eq=False)
class ExchangeAct:
    """Bands, prescriptions, masses and phases of one athlete; taken back, those that went are there again.

    ``on_kept`` and ``on_refused`` are called for the first time it is done only: later nobody waits for it.
    """

    change: Change
    athlete: str
    gone: tuple[DatedEntry, ...]
    come: tuple[DatedEntry, ...]
    on_kept: Callable[[], None]
    on_refused: Callable[[str], None]
    tell: Callable[[str], None]

    @property
    def words(self) -> str:
        one = (self.come or self.gone)[0]
        if isinstance(one, BandPeriod):
            told = tr("change of the band from {day}") if self.gone else tr("new band from {day}")
            told = told if self.come else tr("removal of the band from {day}")
        else:
            told = tr("change of the entry of {day}") if self.gone else tr("new entry of {day}")
            told = told if self.come else tr("removal of the entry of {day}")
        return told.format(day=first_day_of(one))

    def do(self) -> None:
        kept, refused = self.on_kept, self.on_refused
        self.on_kept, self.on_refused = _nothing, self.tell
        self.change(self.athlete, self._exchanging(self.gone, self.come), kept, refused)

    def undo(self) -> None:
        self.change(self.athlete, self._exchanging(self.come, self.gone), _nothing, self.tell)

    def _exchanging(
        self, gone: tuple[DatedEntry, ...], come: tuple[DatedEntry, ...]
    ) -> Callable[[Library], object]:
        from slopebeat.review.bands import exchange

        return lambda library: exchange(library, gone, come)


class Entries:
    """What has dates, changed through the history; ``change`` writes, ``tell`` says what nobody waits for."""

    def __init__(self, change: Change, tell: Callable[[str], None], history: History) -> None:
        self._change, self._tell, self._history = change, tell, history

    def put_band(
        self,
        period: BandPeriod,
        on_kept: Callable[[], None] | None = None,
        on_refused: Callable[[str], None] | None = None,
        gone: Sequence[BandPeriod] = (),
    ) -> None:
        """Keep a band, for those that go, and review again the outings it covers."""
        self.exchange(period.athlete, gone, (period,), on_kept, on_refused)

    def exchange(
        self,
        athlete: str,
        gone: Sequence[DatedEntry],
        come: Sequence[DatedEntry],
        on_kept: Callable[[], None] | None = None,
        on_refused: Callable[[str], None] | None = None,
    ) -> None:
        """Take out bands, prescriptions, masses and phases of an athlete and put others in, as one act.

        A band is refused on a day that another has, which does not go for it.
        """

        def refused(sentence: str) -> None:
            self._history.forget(act)
            (on_refused or self._tell)(sentence)

        rest = (on_kept or _nothing, refused, self._tell)
        act = ExchangeAct(self._change, athlete, tuple(gone), tuple(come), *rest)
        self._history.do(act, lasts=True)


def _nothing() -> None:
    """Follows."""
