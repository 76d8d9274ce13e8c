"""Which outings of the library are looked at, what they add up to, and what ground costs by them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.analysis.months.choice import Choice
from slopebeat.analysis.months.weeks import outing_count
from slopebeat.disk.places import LAST_DAY
from slopebeat.review.months.months import EVERYTHING, Months, review_months
from slopebeat.review.present.listed import name_of
from slopebeat.session.background import Background, Latest, Progress

if TYPE_CHECKING:
    from slopebeat.analysis.months.weeks import Prescribed
    from slopebeat.library.results import Inputs
    from slopebeat.review.price.athlete import AthletePrice
    from slopebeat.session.library.opened import OpenLibrary
    from slopebeat.session.library.rows import OutingRow


NOTHING = Months((), None, (), ())


FRAGMENT_S = 120.0
"""What spans less is a fragment, a button pressed by mistake, and no outing [project choice]."""


@dataclass(frozen=True)
class Filter:
    """What an outing must be; every word of ``text`` must be in its title, sport or file name.

    ``fragments`` lets fragments pass, too.
    """

    choice: Choice = EVERYTHING
    text: str = ""
    fragments: bool = False

    def keeps(self, row: OutingRow) -> bool:
        """Whether an outing is one of those looked at; one not reviewed yet only passes by its facts."""
        if self.text:
            words = f"{name_of(row.outing)} {row.outing.sport} {row.outing.file_name}".casefold()
            if not all(word in words for word in self.text.casefold().split()):
                return False
        if row.summary is not None:
            return self.choice.keeps(row.summary)
        first, last = self.choice.first_day, self.choice.last_day
        of_facts = Choice(self.choice.ground, self.choice.sports, first_day=first, last_day=last)
        return (
            self.choice == of_facts
            and (first or date.min) <= row.outing.local_day() <= (last or date.max)
            and self.choice.ground in (None, row.outing.ground)
            and (not self.choice.sports or row.outing.sport in self.choice.sports)
        )


def is_fragment(row: OutingRow) -> bool:
    """Whether a reviewed recording is too short to be an outing, pauses and gaps among it."""
    span = span_s(row)
    return span is not None and span < FRAGMENT_S


def span_s(row: OutingRow) -> float | None:
    """From the first record to the last, as far as it is known; None while it was not reviewed."""
    if row.summary is None:
        return None
    evidence = None if row.teaching is None else row.teaching.evidence
    span = None if evidence is None else evidence.span_s
    return row.summary.recorded_s if span is None else span


@dataclass(frozen=True, eq=False)
class Shown:
    """The recordings that passed, and the months they make; how many fragments would have passed else.

    ``outings`` counts the parts of a day as one, as ``of`` does of all that is there.
    """

    rows: tuple[OutingRow, ...] = ()
    months: Months = NOTHING
    folded: int = 0
    outings: int = 0
    of: int = 0


class ShownOutings(QObject):
    """Filters and adds up in the background, at each change of the outings, the filter or the athlete."""

    changed = Signal()

    def __init__(self, background: Background, opened: OpenLibrary, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._latest = Latest(background)
        self._opened = opened
        self._identity: dict[int, str] = {}
        self.filter = Filter()
        self.shown = Shown()
        opened.rows_changed.connect(self.update)
        opened.athlete_changed.connect(self.update)

    @property
    def up_to_date(self) -> bool:
        return not self._latest.busy

    def set_filter(self, wanted: Filter) -> None:
        if wanted != self.filter:
            self.filter = wanted
            self.update()

    def outing_of(self, index: int) -> str:
        """Identity of an outing of the months by its index there."""
        return self._identity[id(self.shown.months.outings[index])]

    def neighbour(self, identity: str, by: int) -> str | None:
        """The outing so many later in time among those looked at; None where there is none."""
        shown = [row.outing.identity for row in self.shown.rows]
        at = shown.index(identity) + by if identity in shown else -1
        return shown[at] if 0 <= at < len(shown) else None

    def update(self) -> None:
        """Start over; only the latest result counts."""
        prescribed = None if self._opened.inputs is None else self._opened.inputs.prescribed
        rows, wanted, today = self._opened.rows, self.filter, today_of(self._opened)
        self._latest.start(partial(_add_up, rows, wanted, prescribed, today), self._take)

    def _take(self, shown: Shown) -> None:
        self.shown = shown
        self._identity = {id(row.summary): row.outing.identity for row in shown.rows if row.summary}
        self.changed.emit()


def today_of(opened: OpenLibrary) -> date:
    """The day weeks run to: today, or the last one of the demo."""
    return LAST_DAY if opened.is_demo else date.today()


def _add_up(
    rows: Sequence[OutingRow], wanted: Filter, prescribed: Prescribed | None, today: date, progress: Progress
) -> Shown:
    passed = tuple(row for row in rows if wanted.keeps(row))
    kept = tuple(row for row in passed if wanted.fragments or not is_fragment(row))
    progress(0.5)
    summaries = [row.summary for row in kept if row.summary]
    teaching = {id(row.summary): row.teaching for row in kept if row.summary and row.teaching}
    until = min(wanted.choice.last_day or today, today)
    months = review_months(summaries, prescribed, teaching=teaching, until=until)
    counts = (outing_count(row.summary for row in each) for each in (kept, rows))
    return Shown(kept, months, len(passed) - len(kept), *counts)


class PriceState(QObject):
    """Computes it from the outings shown; ``changed`` says that there is a new result.

    Nothing is computed before :meth:`update` is called: who shows it asks for it.
    """

    changed = Signal()

    def __init__(self, background: Background, opened: OpenLibrary, outings: ShownOutings) -> None:
        super().__init__(outings)
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
        work = partial(
            _price, self._opened.inputs, self._outings.shown.rows, self.missing_s, today_of(self._opened)
        )
        self._latest.start(work, self._take)

    def _other_athlete(self) -> None:
        if self.latest is not None and self.latest.athlete != self._opened.athlete:
            self.missing_s = None

    def _take(self, price: AthletePrice | None) -> None:
        self.latest = price
        self.changed.emit()


def _price(
    inputs: Inputs, rows: Sequence[OutingRow], missing_s: float | None, day: date, progress: Progress
) -> AthletePrice:
    from slopebeat.review.price.athlete import price_of_athlete

    taught = [row.teaching.evidence for row in rows if row.teaching is not None and row.teaching.chosen]
    summaries = [row.summary for row in rows if row.summary is not None]
    return price_of_athlete(inputs, taught, summaries, day, missing_s=missing_s)
