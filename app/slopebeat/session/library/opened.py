"""The library that is open: its athletes, the one looked at, and the outings kept of that one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal

from slopebeat.session.background import Background, Latest, Newest, Writer, say_problem

if TYPE_CHECKING:
    from slopebeat.library.results import Inputs
    from slopebeat.library.store import Library
    from slopebeat.model.people import Athlete, BandPeriod
    from slopebeat.session.library.memory import LibraryMemory
    from slopebeat.session.library.rows import OutingRow

T = TypeVar("T")

Refused = Callable[[str], None]
"""Takes the sentence that refuses an edit."""


@dataclass(frozen=True)
class _People:
    """The athletes of a library, and what holds for the one to look at, None where there is none."""

    athletes: tuple[Athlete, ...]
    inputs: Inputs | None


class OpenLibrary(QObject):
    """Reads in the background, keeps what it read, and passes edits on to the library.

    ``opened`` says another library is there, ``athlete_changed`` that another athlete is looked at or this
    one was edited, ``rows_changed`` that the outings differ; ``edited`` that what results rest on was: masses
    change work rates, bands what counts.
    """

    opened = Signal()
    athlete_changed = Signal()
    rows_changed = Signal()
    edited = Signal()
    failed = Signal(str)

    def __init__(self, background: Background, memory: LibraryMemory, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self._memory = memory
        self._writer = Writer(self)
        self._tell = say_problem(self.failed.emit)
        self._used: list[Library] = []
        self._openings = Newest()
        self.when_shown: Callable[[Callable[[], None]], None] = lambda act: act()
        """Acts once what shows a library is there: who shows it may need a while for that."""
        self._reading = Latest(background, self._tell)
        self.library: Library | None = None
        self.is_demo = False
        self.athletes: tuple[Athlete, ...] = ()
        self.inputs: Inputs | None = None
        self.rows: tuple[OutingRow, ...] = ()

    def open(self, path: Path | None = None, demo: bool = False) -> None:
        """Open the library at a place, made where there is none; None is the default place."""
        remembered, in_time = self._memory.athlete, self._openings.ask()

        def take(found: tuple[Library, _People]) -> None:
            if in_time():
                self._used.append(found[0])
                self.when_shown(partial(self._take, *found, demo))
            else:
                found[0].close()

        self._background.run_in_background(lambda _: _opened(path, remembered), take, self._tell)

    def choose_athlete(self, identity: str) -> None:
        """Look at another athlete, once the bands of that one are read."""
        self.ask(lambda library: library.inputs(identity), self._look_at)

    def put_athlete(
        self,
        athlete: Athlete,
        on_kept: Callable[[], None] | None = None,
        on_refused: Refused | None = None,
    ) -> None:
        """Keep a new or an edited athlete, and look at it."""
        library = self._sure()

        def put() -> _People:
            table = library.athletes
            known = any(a.identity == athlete.identity for a in table)
            kept = table.change(athlete) if known else table.add(athlete)
            return _People(tuple(table), library.inputs(kept.identity))

        def take(found: _People) -> None:
            if library is self.library:
                self.athletes = found.athletes
                self._look_at(found.inputs)
            self._edited(on_kept)

        self._writer.put(put, take, self._refuse(on_refused))

    @property
    def athlete(self) -> Athlete | None:
        """The one looked at."""
        return None if self.inputs is None else self.inputs.athlete

    @property
    def periods(self) -> tuple[BandPeriod, ...]:
        return () if self.inputs is None else self.inputs.periods

    def change(
        self,
        athlete: str,
        act: Callable[[Library], object],
        on_kept: Callable[[], None] | None = None,
        on_refused: Refused | None = None,
    ) -> None:
        """Change what holds for an athlete: bands, prescriptions, masses, phases; then read it again."""
        library = self._sure()

        def write() -> Inputs:
            act(library)
            return library.inputs(athlete)

        def take(inputs: Inputs) -> None:
            if library is self.library and self.athlete and self.athlete.identity == athlete:
                self.inputs = inputs
                self.athlete_changed.emit()
            self._edited(on_kept)

        self._writer.put(write, take, self._refuse(on_refused))

    def _edited(self, on_kept: Callable[[], None] | None) -> None:
        self.edited.emit()
        if on_kept is not None:
            on_kept()

    def ask(
        self,
        question: Callable[[Library], T],
        on_answer: Callable[[T], None],
        on_refused: Refused | None = None,
    ) -> None:
        """Read something from the library, after every edit before; another library's answer is dropped."""
        library = self._sure()

        def take(answer: T) -> None:
            if library is self.library:
                on_answer(answer)

        self._writer.put(lambda: question(library), take, self._refuse(on_refused))

    def remove_outings(self, identities: tuple[str, ...]) -> None:
        """Remove outings with their files and all that was written on them, then read the list again."""
        self._write(lambda library: _remove_for_good(library, identities))

    def set_teaches(self, identities: tuple[str, ...], teaches: bool) -> None:
        """Let outings teach, or leave them out of what is learnt; then read the list again."""
        self._write(lambda library: library.outings.set_teaches(identities, teaches))

    def set_title(self, identity: str, title: str) -> None:
        """Give an outing another title, then read the list again."""
        self._write(lambda library: library.outings.set_title(identity, title))

    def _write(self, act: Callable[[Library], None]) -> None:
        library = self._sure()
        self._background.run_in_background(lambda _: act(library), lambda _: self.load_rows(), self._tell)

    def show_title(self, identity: str, title: str) -> None:
        """List an outing under a title that is being kept."""
        from slopebeat.session.library.rows import renamed

        self._take_rows(
            tuple(renamed(row, title) if row.outing.identity == identity else row for row in self.rows)
        )

    def load_rows(self) -> None:
        """Read the athlete's outings again; a read under way is dropped."""
        library, athlete = self.library, self.athlete
        self._reading.drop()
        if library is None or athlete is None:
            self._take_rows(())
            return
        from slopebeat.session.library.rows import read_rows

        self._reading.start(partial(read_rows, library, athlete.identity), self._take_rows)

    def reload_people(self) -> None:
        """Read athletes and bands again, after work that may have added some."""
        library = self._sure()
        looked_at = None if self.athlete is None else self.athlete.identity

        def take(found: _People) -> None:
            now = None if self.athlete is None else self.athlete.identity
            if library is not self.library or now != looked_at:
                return
            self.athletes = found.athletes
            if found.inputs is None or found.inputs.athlete.identity != looked_at:
                self._look_at(found.inputs)
            else:
                self.inputs = found.inputs
                self.athlete_changed.emit()

        self._writer.put(lambda: _people(library, looked_at or ""), take, self._tell)

    @property
    def damage(self) -> tuple[str, ...]:
        """Sentences on what could not be read of the library so far."""
        if self.library is None:
            return ()
        from slopebeat.review.words.messages import say

        return tuple(map(say, self.library.damage.found))

    @property
    def idle(self) -> bool:
        """Whether every edit is on the disk, and no library waits for what shows it."""
        return self._writer.idle and self._used[-1:] in ([], [self.library])

    def finish(self) -> None:
        """Wait until every edit is on the disk."""
        self._writer.close()

    def close(self) -> None:
        """Close every library that was opened; no background work may be using one."""
        for library in self._used:
            library.close()
        self._used.clear()
        self.library = None

    def _take(self, library: Library, people: _People, demo: bool) -> None:
        self.library, self.is_demo, self.athletes = library, demo, people.athletes
        self.inputs, self.rows = None, ()
        if people.inputs is not None:
            self._look_at(people.inputs)
        else:
            self._remember()
            self.athlete_changed.emit()
            self.rows_changed.emit()
        self.opened.emit()

    def _look_at(self, inputs: Inputs | None) -> None:
        before, self.inputs = self.athlete, inputs
        other = before is None or inputs is None or before.identity != inputs.athlete.identity
        self._remember()
        if other:
            self.rows = ()
            self.rows_changed.emit()
        self.athlete_changed.emit()
        self.load_rows()

    def _remember(self) -> None:
        """The demo is never what the next start opens."""
        if not self.is_demo and self.library is not None:
            self._memory.remember(self.library.path, self.athlete.identity if self.athlete else "")

    def _take_rows(self, rows: tuple[OutingRow, ...]) -> None:
        self.rows = rows
        self.rows_changed.emit()

    def _sure(self) -> Library:
        assert self.library is not None
        return self.library

    def _refuse(self, on_refused: Refused | None) -> Callable[[Exception], None]:
        """Hands the sentence of a refusal on; without anyone to take it, all are reported."""
        return self._tell if on_refused is None else say_problem(on_refused)


def _opened(path: Path | None, remembered: str) -> tuple[Library, _People]:
    """A library with its people; what reads it is loaded by the thread that opens the first."""
    from slopebeat.library.store import Library

    library = Library.open_or_create(path)
    try:
        return library, _people(library, remembered)
    except BaseException:
        library.close()
        raise


def _remove_for_good(library: Library, identities: tuple[str, ...]) -> None:
    from slopebeat.library.notebooks import Notebooks
    from slopebeat.review.notes.keeping import remove_for_good

    remove_for_good(library, identities, Notebooks())


def _people(library: Library, identity: str) -> _People:
    """Read the people; looked at is the athlete of this identity, else the first."""
    athletes = tuple(library.athletes)
    if not athletes:
        return _People((), None)
    athlete = next((a for a in athletes if a.identity == identity), athletes[0])
    return _People(athletes, library.inputs(athlete.identity))
