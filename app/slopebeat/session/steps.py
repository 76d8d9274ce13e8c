"""Drawing in small steps, so that the window takes clicks and keys between them."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer, SignalInstance

Act = Callable[[], None]

TOGETHER_S = 0.025
"""Acts of one frame are begun for so long: with the painting, under the 50 ms that a hand notices
[project choice]."""

NESTED = 6
"""Layouts of a page that lie in one another: a word that grows is told outwards from one to the next."""


def _never() -> bool:
    return False


class Steps(QObject):
    """Runs acts in order, one in each turn of the event loop.

    An act reads what it draws when its turn comes. One that is wanted again before that waits anew: the
    drawing of the newest review takes the place of what is left of the older one.

    While ``together`` says so, those that wait are run in one turn: a window that follows a hand is painted
    once a review, not once an act.
    """

    def __init__(self, parent: QObject | None = None, together: Callable[[], bool] = _never) -> None:
        super().__init__(parent)
        self._together = together
        self._waiting: dict[Act, None] = {}
        self._closed = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._run_next)

    @property
    def together(self) -> bool:
        """Whether those that wait are run in one turn."""
        return self._together()

    @property
    def idle(self) -> bool:
        """Whether nothing waits."""
        return not self._waiting

    def later(self, *acts: Act) -> None:
        """Run these after all that wait already."""
        if self._closed:
            return
        for act in acts:
            self._waiting.pop(act, None)
            self._waiting[act] = None
        self._timer.start(0)

    def follow(self, act: Act, *signals: SignalInstance) -> None:
        """Run an act after each of these signals, in its turn."""
        for signal in signals:
            signal.connect(lambda *_values: self.later(act))

    def close(self) -> None:
        """Drop what waits, and all that is wanted from now on."""
        self._closed = True
        self._waiting.clear()
        self._timer.stop()

    def _run_next(self) -> None:
        """Run the next act; while together, also those that waited beside it."""
        begun, beside = perf_counter(), len(self._waiting)
        for _ in range(beside if self.together else min(beside, 1)):
            act = next(iter(self._waiting), None)
            if act is None:
                return
            del self._waiting[act]
            if self._waiting:
                self._timer.start(0)
            act()
            if perf_counter() - begun > TOGETHER_S:
                break
        if self.together:
            _lay_out()


def _lay_out() -> None:
    """Let all layouts settle before anything is painted.

    Each tells the one around it by an event of its own; painted between them, the same table and bar would
    be painted three times for one review.
    """
    for _ in range(NESTED):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
