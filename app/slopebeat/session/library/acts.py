"""Acts on the library that is open: corrections of many outings, what has dates, and whole athletes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from slopebeat.model.language import tr, trn
from slopebeat.model.people import BandPeriod, first_day_of
from slopebeat.model.recording import Sport, typed_title
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.undo import Change, History

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.model.notes import Author
    from slopebeat.model.people import Athlete
    from slopebeat.review.bands import DatedEntry
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting


T = TypeVar("T")


class Corrections:
    """Reads what stands, keeps what is put right, and calls ``after`` once it is kept."""

    def __init__(self, opened: OpenLibrary, history: History, after: Callable[[], None]) -> None:
        self._opened, self._history, self._after = opened, history, after

    def set_titles(self, outings: Sequence[str], typed: str) -> None:
        """Give outings one title; nothing typed changes nothing."""
        from slopebeat.review.notes.corrections import put_titles, titles_of

        title = typed_title(typed)
        if not title or not outings:
            return
        words = trn("title of {n} outing", "title of {n} outings", len(outings)).format(n=len(outings))
        self._correct(
            words, lambda library: titles_of(library, outings), dict.fromkeys(outings, title), put_titles
        )

    def set_sport(self, outings: Sequence[str], sport: Sport | None, author: Author) -> None:
        """Put the sport of outings right, or take the file's word again."""
        from slopebeat.review.notes.corrections import put_sports, sports_entered

        words = trn("sport of {n} outing", "sport of {n} outings", len(outings)).format(n=len(outings))
        after, put = dict.fromkeys(outings, sport), partial(put_sports, author=author)
        self._correct(words, lambda library: sports_entered(library, outings), after, put)

    def _correct(
        self,
        words: str,
        read: Callable[[Library], Mapping[str, T]],
        after: Mapping[str, T],
        put: Callable[[Library, Mapping[str, T]], None],
    ) -> None:
        def keep(values: Mapping[str, T]) -> None:
            self._opened.ask(lambda library: put(library, values), lambda _: self._after())

        def act(before: Mapping[str, T]) -> None:
            if dict(before) != dict(after):
                self._history.do(Change(words, before, after, keep), lasts=True)

        self._opened.ask(read, act)


Told = Callable[[str], None]


class PeopleActs:
    """Acts on the athletes of the library that is open; none of them can be undone, so each has its words.

    ``after`` is called once something was done, ``tell`` with what became of it.
    """

    def __init__(self, opened: OpenLibrary, history: History, after: Callable[[], None], tell: Told) -> None:
        self._opened, self._history, self._after, self._tell = opened, history, after, tell

    def ask_merge(self, gone: Athlete, into: Athlete, on_words: Told) -> None:
        """What would go where, and what would fall away."""
        from slopebeat.review.people import merge_question

        self._opened.ask(lambda library: merge_question(library, gone, into), on_words, self._tell)

    def merge(self, gone: Athlete, into: Athlete) -> None:
        """Make two athletes one."""
        from slopebeat.review.people import transferred_words

        def act(library: Library) -> str:
            return transferred_words(library.transfers.merge(gone.identity, into.identity), into)

        self._do(act)

    def ask_removal(self, gone: Athlete, on_words: Told) -> None:
        """What would go with an athlete."""
        from slopebeat.review.people import removal_question

        self._opened.ask(lambda library: removal_question(library, gone), on_words, self._tell)

    def remove(self, gone: Athlete) -> None:
        """Remove an athlete with everything."""
        from slopebeat.library.notebooks import Notebooks
        from slopebeat.review.people import remove_athlete, removed_words

        self._do(lambda library: removed_words(gone, remove_athlete(library, gone.identity, Notebooks())))

    def ask_move(self, outings: Sequence[str], gone: Athlete, into: Athlete, on_words: Told) -> None:
        """What would go with outings."""
        from slopebeat.review.people import move_question

        self._opened.ask(lambda library: move_question(library, outings, gone, into), on_words, self._tell)

    def move(self, outings: Sequence[str], into: Athlete) -> None:
        """Give outings another athlete, with all that was written on them."""
        from slopebeat.review.people import transferred_words

        self._do(lambda library: transferred_words(library.transfers.move(outings, into.identity), into))

    def _do(self, act: Callable[[Library], str]) -> None:
        def done(words: str) -> None:
            # What could be taken back may rest on what is no more.
            self._history.clear_lasting()
            self._tell(words)
            self._after()

        self._opened.ask(act, done, self._tell)


def _exchange_words(gone: Sequence[DatedEntry], come: Sequence[DatedEntry]) -> str:
    one = (*come, *gone)[0]
    if isinstance(one, BandPeriod):
        words = tr("change of the band from {day}") if gone else tr("new band from {day}")
        words = words if come else tr("removal of the band from {day}")
    else:
        words = tr("change of the entry of {day}") if gone else tr("new entry of {day}")
        words = words if come else tr("removal of the entry of {day}")
    return words.format(day=first_day_of(one))


class Entries:
    """What has dates, changed through the history; ``tell`` says what nobody waits for."""

    def __init__(self, opened: OpenLibrary, tell: Callable[[str], None], history: History) -> None:
        self._opened, self._tell, self._history = opened, tell, history

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

        # Somebody waits for the first time it is done only.
        waiting = [(on_kept, refused)]

        def put(entries: tuple[Sequence[DatedEntry], Sequence[DatedEntry]]) -> None:
            from slopebeat.review.bands import exchange

            callbacks = waiting.pop() if waiting else (None, self._tell)
            self._opened.change(athlete, lambda library: exchange(library, *entries), *callbacks)

        act = Change(_exchange_words(gone, come), (come, gone), (gone, come), put)
        self._history.do(act, lasts=True)


class Reviewed(QObject):
    """Whether the outing on screen was ticked off; ``changed`` when that or the outing differs.

    Attributes
    ----------
    moment : when it was, None while it was not. outing : identity, empty for what no library keeps.
    """

    changed = Signal()
    kept = Signal()
    """A tick is on the disk."""

    def __init__(self, opened: OpenLibrary, shown: OpenOuting, keeping: AutoSave, history: History) -> None:
        super().__init__(opened)
        self._opened, self._keeping, self._history = opened, keeping, history
        self.outing = ""
        self.moment: datetime | None = None
        for signal in (shown.chosen, opened.opened, keeping.library_changed):
            signal.connect(self._look)

    def _look(self, *_: object) -> None:
        """Another outing is on screen, or it is kept elsewhere now: read its tick."""
        outing, athlete = self._keeping.kept_as, self._keeping.kept_for
        if outing != self.outing:
            self.outing, self.moment = outing, None
            self.changed.emit()
        if not outing or self._opened.library is None:
            return

        def take(ticked: dict[str, datetime]) -> None:
            if self.outing == outing:
                self.moment = ticked.get(outing)
                self.changed.emit()

        self._opened.ask(lambda library: library.ticks.of(athlete), take)

    def tick(self, reviewed: bool) -> None:
        """Tick the outing on screen off, or take the tick back."""
        if self.outing and reviewed is not (self.moment is not None):
            moment = datetime.now(UTC) if reviewed else None
            act = Change(tr("tick of the outing"), self.moment, moment, partial(self.keep, self.outing))
            self._history.do(act)

    def keep(self, outing: str, moment: datetime | None) -> None:
        """Keep a tick of an outing, on screen or not."""
        if outing == self.outing:
            self.moment = moment
            self.changed.emit()
        if self._opened.library is not None:
            self._opened.ask(lambda library: library.ticks.put(outing, moment), lambda _: self.kept.emit())
