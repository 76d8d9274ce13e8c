"""The way to the outing's page: it is made in small pieces, or at once when an outing is to be shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QStackedWidget

from slopebeat.window.widgets.page_in_pieces import PageInPieces

if TYPE_CHECKING:
    from slopebeat.session.session import Session
    from slopebeat.session.settings import Layout
    from slopebeat.window.notes.acts import NoteActions
    from slopebeat.window.shell.outing_page import OutingPage

PLACE = 1
"""Of the page in the stack."""


class OutingPageLoader(QObject):
    """Owned by the main window; most starts show another page first, and no start waits for this one.

    The page is there before any recording is at hand: it misses nothing of what the session tells.
    """

    whole = Signal()
    """All of the page is made."""

    def __init__(self, session: Session, note_actions: NoteActions, stack: QStackedWidget) -> None:
        super().__init__(stack)
        self._session, self._note_actions, self._stack = session, note_actions, stack
        self._layout = session.settings.content.layout
        self.parts = PageInPieces(session.steps, self._begin, self._rest, self.whole.emit)
        session.opening.when_shown = self.parts.when_whole
        session.outing.recordings_changed.connect(self._sure)

    @property
    def made(self) -> OutingPage | None:
        """The page, once all of it is made."""
        return self.parts.begun if self.parts.whole else None

    @property
    def page(self) -> OutingPage:
        """The whole page; what is missing of it is made now."""
        return self.parts.page

    def put_away(self) -> None:
        """Keep the note that is being written; UserError where it cannot be kept as it is."""
        if self.made is not None:
            self.made.notes.card.put_away()

    def layout_now(self) -> Layout:
        """The layout remembered, with what the user has changed on the page."""
        page = self.made
        if page is None:
            return self._layout
        across, shares = page.shared_px()
        return replace(self._layout, across_px=across, shares_px=shares, tab=page.tabs.currentIndex())

    def _sure(self) -> None:
        _whole = self.page

    def _begin(self) -> OutingPage:
        from slopebeat.window.shell.outing_page import OutingPage

        return OutingPage(self._session, self._note_actions)

    def _rest(self, page: OutingPage) -> Iterator[None]:
        # In the stack while it is empty: whatever is put into another place takes the look again.
        self._stack.insertWidget(PLACE, page)
        yield from page.fill()
        page.share_as(self._layout.across_px, self._layout.shares_px)
        if self._layout.tab < page.tabs.count():
            page.tabs.setCurrentIndex(self._layout.tab)
