"""The week of every athlete as it is looked at: read in the background, gone through outing by outing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.analysis.months.weeks import monday_of
from slopebeat.review.week.athlete import coming_week, plan_coming
from slopebeat.review.week.board import AthleteWeek, Board, read_board
from slopebeat.session.background import Background, Latest, raise_error
from slopebeat.session.library.filter import today_of

if TYPE_CHECKING:
    from slopebeat.review.price.athlete import NextWeek
    from slopebeat.session.library.library import LibrarySession


class WeekBoard(QObject):
    """``changed`` says that another week, or the same one anew, was read; ``planned`` whose next week was.

    Attributes
    ----------
    board : all athletes in the week looked at; empty until it is read.
    queue : identities of the outings that were to be reviewed when one of them was opened from here.
    """

    changed = Signal()
    planned = Signal(str)

    def __init__(self, background: Background, library: LibrarySession) -> None:
        super().__init__(library)
        self._background, self._library = background, library
        self._today: Callable[[], date] = partial(today_of, library.opened)
        self._latest = Latest(background)
        self._plans: dict[tuple[str, date], NextWeek] = {}
        self._drafts: dict[tuple[str, date], str] = {}
        self.board = Board(monday_of(self._today()), self._today())
        self.queue: tuple[str, ...] = ()
        library.opened.opened.connect(self._start_over)

    def show(self, day: date) -> None:
        """Look at the week that holds a day."""
        self.board = Board(monday_of(day), self._today())
        self.load()

    def step(self, weeks: int) -> None:
        """Look at an earlier or a later week; none lies after the one that holds today."""
        monday = self.board.monday + timedelta(weeks=weeks)
        if monday <= monday_of(self._today()):
            self.show(monday)

    def this_week(self) -> None:
        self.show(self._today())

    def load(self) -> None:
        """Read the week again; a reading under way is dropped."""
        library, monday, today = self._library.opened.library, self.board.monday, self._today()
        self._latest.drop()
        if library is None:
            return

        def take(board: Board) -> None:
            self.board = board
            self._plans.clear()
            self.changed.emit()

        self._latest.start(lambda progress: read_board(library, monday, today), take)

    @property
    def up_to_date(self) -> bool:
        return not self._latest.busy

    def row_of(self, athlete: str) -> AthleteWeek | None:
        """An athlete's row, None where there is none."""
        return next((row for row in self.board.rows if row.athlete.identity == athlete), None)

    def open(self, athlete: str) -> bool:
        """Open the first outing of an athlete's week that is to be reviewed, else its last one.

        False where the week holds none.
        """
        row = self.row_of(athlete)
        if row is None or not row.outings:
            return False
        self.queue = tuple(each.outing.identity for each in row.to_review)
        self._open(athlete, self.queue[0] if self.queue else row.outings[-1].outing.identity)
        return True

    def open_after(self, outing: str) -> bool:
        """Open the outing to be reviewed after this one; False where none is left."""
        later = self.queue[self.queue.index(outing) + 1 :] if outing in self.queue else ()
        if not later:
            return False
        opened = self._library.opened.athlete
        self._open("" if opened is None else opened.identity, later[0])
        return True

    def _open(self, athlete: str, outing: str) -> None:
        opened = self._library.opened
        if opened.athlete is None or opened.athlete.identity != athlete:
            # What earlier outings predict is that of the athlete looked at.
            opened.choose_athlete(athlete)
        self._library.open_outing(outing)

    def planned_for(self, athlete: str) -> NextWeek | None:
        """What an athlete may do in the week to come; None until it is worked out."""
        return self._plans.get((athlete, self.board.monday))

    def plan(self, athlete: str) -> None:
        """Work that out in the background, where it is not known yet; it is reported when it is."""
        row, library, monday = self.row_of(athlete), self._library.opened.library, self.board.monday
        if self.planned_for(athlete) is not None or row is None or library is None:
            return

        def take(found: NextWeek) -> None:
            self._plans[athlete, monday] = found
            self.planned.emit(athlete)

        board = self.board
        self._background.run_in_background(lambda _: plan_coming(library, row, board), take, raise_error)

    def draft(self, athlete: str) -> str | None:
        """What was typed for an athlete's week to come; None where nothing was."""
        return self._drafts.get((athlete, coming_week(self.board)))

    def keep_draft(self, athlete: str, text: str | None) -> None:
        """Keep what was typed while the program runs; None goes back to what is worked out."""
        key = (athlete, coming_week(self.board))
        if text is None:
            self._drafts.pop(key, None)
        else:
            self._drafts[key] = text

    def _start_over(self) -> None:
        # What is still being read is of the library before.
        self._latest.drop()
        self.queue, self.board = (), Board(monday_of(self._today()), self._today())
        self._plans.clear()
        self._drafts.clear()
        self.changed.emit()
