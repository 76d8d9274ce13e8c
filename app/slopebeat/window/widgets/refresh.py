"""Redraw what lies in a tab only when it is looked at."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QTimer, SignalInstance
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from slopebeat.session.steps import Steps

UNDER_HAND_MS = 150
"""A table is read, not watched: while a hand moves what it shows it is drawn no more often
[project choice]."""


class RefreshWhenSeen(QObject):
    """Calls ``refresh`` at each of the signals while the widget is visible, else once when it is shown.

    It takes its turn among the steps; only what is shown while nothing else is drawn is drawn at once. What
    is drawn ``seldom`` lets others go before it while a hand moves what all of them show.
    """

    def __init__(
        self,
        steps: Steps,
        widget: QWidget,
        signal: SignalInstance,
        refresh: Callable[[], None],
        *more: SignalInstance,
        seldom: bool = False,
    ) -> None:
        super().__init__(widget)
        self._since: QElapsedTimer | None = QElapsedTimer() if seldom else None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.redraw)
        self._steps, self._widget = steps, widget
        self._refresh = refresh
        self.stale = False
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
        if not self._widget.isVisible():
            return
        if (wait_ms := self._wait_ms()) > 0:
            if not self._pause.isActive():
                self._pause.start(wait_ms)
        else:
            self._steps.later(self._draw)

    def _wait_ms(self) -> int:
        """How long the last drawing still does."""
        if self._since is None or not self._since.isValid() or not self._steps.together:
            return 0
        return UNDER_HAND_MS - self._since.elapsed()

    def _draw(self) -> None:
        if self.stale and self._widget.isVisible():
            self.stale = False
            if self._since is not None:
                self._since.start()
            self._refresh()
