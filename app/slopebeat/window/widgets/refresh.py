"""Redraw what lies in a tab only when it is looked at."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, SignalInstance
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from slopebeat.review.outing import Review
    from slopebeat.session.session import Session
    from slopebeat.session.steps import Steps


class RefreshWhenSeen(QObject):
    """Calls ``refresh`` at each of the signals while the widget is visible, else once when it is shown.

    It takes its turn among the steps. While a hand moves what all of them show, what is ``watched`` follows
    with each review; any other page is read, and follows seldom. Only what is shown while nothing else is
    drawn is drawn at once.
    """

    def __init__(
        self,
        steps: Steps,
        widget: QWidget,
        signal: SignalInstance,
        refresh: Callable[[], None],
        *more: SignalInstance,
        stale: bool = False,
        watched: bool = False,
    ) -> None:
        """``stale``: it is to be drawn when it is first seen, though no signal said so."""
        super().__init__(widget)
        self._steps, self._widget = steps, widget
        self._refresh, self._watched = refresh, watched
        self.stale = stale
        for each in (signal, *more):
            each.connect(self.redraw)
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.stale and event.type() is QEvent.Type.Show:
            if self._steps.idle:
                self._draw()
            else:
                self._steps.later(self._draw)
        return False

    def redraw(self) -> None:
        """What is drawn is out of date."""
        self.stale = True
        if self._widget.isVisible():
            (self._steps.later if self._watched else self._steps.seldom)(self._draw)

    def _draw(self) -> None:
        if self.stale and self._widget.isVisible():
            self.stale = False
            self._refresh()


def show_review_when_seen(
    session: Session,
    widget: QWidget,
    show: Callable[[Review], None],
    *more: SignalInstance,
    watched: bool = False,
) -> RefreshWhenSeen:
    """Shows each review of the outing on screen, and the same again at ``more`` signals."""

    def refresh() -> None:
        if session.outing.review is not None:
            show(session.outing.review)

    steps, reviewed = session.steps, session.outing.reviewed
    return RefreshWhenSeen(steps, widget, reviewed, refresh, *more, watched=watched)
