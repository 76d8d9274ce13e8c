"""The way to the page of the week, and from outing to outing with a tick on each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cached_property, partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.model.language import tr
from slopebeat.session.library.acts import Reviewed
from slopebeat.window.widgets.page_file import save_letter, save_page
from slopebeat.window.widgets.page_in_pieces import PageInPieces

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.report.formats import Formats
    from slopebeat.report.story import Story
    from slopebeat.review.week.athlete import AthleteWeeks
    from slopebeat.review.week.board import Board
    from slopebeat.session.session import Session
    from slopebeat.session.week import WeekBoard
    from slopebeat.window.week.page import WeekPage
    from slopebeat.window.widgets.notices import Notice


class WeekActions(QObject):
    """Owned by the main window; its acts are those of the menu. The page is made when first wanted.

    ``show_library`` is where the page's way to the library leads.
    """

    def __init__(
        self,
        window: QWidget,
        session: Session,
        stack: QStackedWidget,
        notice: Notice,
        show_library: Callable[[], None],
    ) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        self._show_library = show_library
        self.reviewed = Reviewed(session.library.opened, session.outing, session.keeping, session.history)
        self._parts = PageInPieces(session.steps, self._begin, self._rest)
        self._go_there = False
        session.library.opened.opened.connect(self._opened)

    @cached_property
    def board(self) -> WeekBoard:
        """The week looked at, from the first call on."""
        from slopebeat.session.week import WeekBoard

        return WeekBoard(self._session.background, self._session.library)

    @property
    def page(self) -> WeekPage:
        """The whole page; what is missing of it is made now."""
        return self._parts.page

    def _begin(self) -> WeekPage:
        from slopebeat.window.week.page import WeekPage

        return WeekPage(self._session, self.board, self.reviewed)

    def _rest(self, page: WeekPage) -> Iterator[None]:
        # In the stack while it is empty: whatever is put into another place takes the look again.
        self._stack.addWidget(page)
        yield
        yield from page.fill()
        page.library_requested.connect(self._show_library)
        page.prescription_wanted.connect(self._show_dated)
        page.message.connect(self._notice.say)
        page.letter_wanted.connect(self.save_letter)
        page.report_wanted.connect(self.save_week)

    def _show_page(self, before: QWidget | None) -> None:
        """To the page; who went elsewhere while it was made stays there."""
        if self._stack.currentWidget() is before:
            self._stack.setCurrentWidget(self.page)

    def show_week(self) -> None:
        """Go to the week of every athlete; opens the user's own library when none is open."""
        if self._session.library.opened.library is None:
            self._go_there = True
            self._session.library.open()
        else:
            self._parts.when_whole(partial(self._show_page, self._stack.currentWidget()))

    def tick_reviewed(self) -> None:
        """Tick the outing on screen off, or take its tick back."""
        if self._kept():
            self.reviewed.tick(self.reviewed.moment is None)

    def tick_and_go_on(self) -> None:
        """Tick the outing on screen off and open the next that is to be reviewed, else go to the week."""
        if not self._kept():
            return
        here = self.reviewed.outing
        self.reviewed.tick(True)
        if not self.board.open_after(here):
            self.show_week()

    def save_letter(self, athlete: str, text: str) -> None:
        """Write what is said of the week to come as one page, where the user says."""
        from slopebeat.report.words import file_name
        from slopebeat.review.price.athlete import letter_of

        row, plan = self.board.row_of(athlete), self.board.planned_for(athlete)
        if row is None or plan is None:
            return
        name = file_name(row.athlete.name, ".pdf", "letter")
        letter = letter_of(row.athlete, plan.price.day, text, plan.price)
        save_letter(self._window, self._session.background, name, letter, self._notice.say)

    def save_week(self) -> None:
        """Write the week of every athlete, with the sentence for each, where the user says."""
        from slopebeat.report.words import file_name
        from slopebeat.review.week.words import board_words

        library, board = self._session.library.opened.library, self.board.board
        if library is not None:
            name = file_name(board_words(board), ".pdf", "week")
            said = {row.athlete.identity: self.board.draft(row.athlete.identity) for row in board.rows}
            page = partial(_page_of, library, board, said)
            save_page(self._window, self._session.background, name, page, self._notice.say)

    def _kept(self) -> bool:
        """Whether the outing on screen is kept in a library; reported where it is not."""
        if self.reviewed.outing:
            return True
        self._notice.say(tr("Only outings kept in a library can be ticked off; Ctrl+K keeps this one."))
        return False

    def _show_dated(self, athlete: str) -> None:
        from slopebeat.window.week.dated import DatedDialog

        DatedDialog.ask(self._window, self._session.library, athlete, self.board.board.monday)

    def _opened(self) -> None:
        if self._go_there:
            self._go_there = False
            self.show_week()


def _page_of(library: Library, board: Board, said: Mapping[str, str | None]) -> Formats:
    """The week as a file; what nobody typed is worked out. Called in the background."""
    from slopebeat.report.formats import json_text
    from slopebeat.report.months.figures import weeks_csv, weeks_values
    from slopebeat.report.months.stories import board_story
    from slopebeat.report.story import story_formats
    from slopebeat.review.week.athlete import plan_coming, weeks_of

    def story() -> Story:
        texts = {
            row.athlete.identity: said[row.athlete.identity]
            or "\n".join(plan_coming(library, row, board).sentences)
            for row in board.rows
        }
        return board_story(board, texts)

    def weeks() -> tuple[AthleteWeeks, ...]:
        return tuple(weeks_of(library, row.athlete, board.today) for row in board.rows)

    return {
        **story_formats(story),
        ".csv": lambda: weeks_csv(weeks()),
        ".json": lambda: json_text(weeks_values(weeks())),
    }
