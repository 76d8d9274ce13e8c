"""Drawing in small steps, so that the window takes clicks and keys between them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import perf_counter

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer, SignalInstance

Act = Callable[[], None]

TOGETHER_S = 0.025
"""Acts of one frame are started within so long: with the painting, under the 50 ms that a hand notices
[project choice]."""

SELDOM_MS = 200
"""What is read, not watched, is drawn no more often while a hand moves what it shows: the rest follows the
hand at a higher rate [project choice]."""

NESTED = 6
"""Layouts of a page that lie in one another: a word that grows is reported outwards from one to the next."""


class Steps(QObject):
    """Runs acts in order, one in each turn of the event loop; layouts have settled before it is painted.

    An act reads what it draws when its turn comes. One that is wanted again before that waits anew: the
    drawing of the newest review takes the place of what is left of the older one.

    While ``together`` says so, those that wait are run in one turn: a window that follows a hand is painted
    once a review, not once an act.
    """

    def __init__(self, parent: QObject | None = None, together: Callable[[], bool] = lambda: False) -> None:
        super().__init__(parent)
        self._together = together
        self._waiting: dict[Act, None] = {}
        self._resting: dict[Act, None] = {}
        self._last_s: dict[Act, float] = {}
        self._closed = False
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self._run_next)
        self._rest = QTimer(self, singleShot=True)
        self._rest.timeout.connect(self._wake)

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

    def through(self, pieces: Iterator[None]) -> None:
        """Go through these, a piece in each turn; what somebody else takes meanwhile is left out."""

        def go_on() -> None:
            if next(pieces, pieces) is not pieces:
                self.later(go_on)

        self.later(go_on)

    def seldom(self, act: Act) -> None:
        """The same, but while a hand moves what is drawn no more often than each :data:`SELDOM_MS`."""
        if not self.together:
            self._last_s.clear()
            self.later(act)
            return
        rest_ms = SELDOM_MS - 1e3 * (perf_counter() - self._last_s.get(act, -SELDOM_MS))
        if rest_ms <= 0.0:
            self._last_s[act] = perf_counter()
            self.later(act)
            return
        self._resting[act] = None
        if not self._rest.isActive():
            self._rest.start(round(rest_ms) + 1)

    def _wake(self) -> None:
        resting, self._resting = self._resting, {}
        for act in resting:
            self.seldom(act)

    def follow(self, act: Act, *signals: SignalInstance, seldom: bool = False) -> None:
        """Run an act after each of these signals, in its turn."""
        run = self.seldom if seldom else self.later
        for signal in signals:
            signal.connect(lambda *_values: run(act))

    def close(self) -> None:
        """Drop what waits, and all that is wanted from now on."""
        self._closed = True
        self._waiting.clear()
        self._resting.clear()
        self._timer.stop()
        self._rest.stop()

    def _run_next(self) -> None:
        """Run the next act; while together, also those that waited beside it."""
        started, beside = perf_counter(), len(self._waiting)
        for _ in range(beside if self.together else min(beside, 1)):
            act = next(iter(self._waiting), None)
            if act is None:
                return
            del self._waiting[act]
            if self._waiting:
                self._timer.start(0)
            act()
            if perf_counter() - started > TOGETHER_S:
                break
        _lay_out()


def _lay_out() -> None:
    """Let all layouts settle before anything is painted.

    Each tells the one around it by an event of its own; painted between them, the same charts, table and bar
    would be painted three times for one act.
    """
    for _ in range(NESTED):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
