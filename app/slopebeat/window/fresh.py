"""Redraw what lies in a tab only when it is looked at."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, SignalInstance
from PySide6.QtWidgets import QWidget


class FreshWhenSeen(QObject):
    """Calls ``refresh`` at each of the signals while the widget is visible, else once when it is shown."""

    def __init__(
        self,
        widget: QWidget,
        signal: SignalInstance,
        refresh: Callable[[], None],
        *more: SignalInstance,
    ) -> None:
        super().__init__(widget)
        self._widget = widget
        self._refresh = refresh
        self.stale = False
        for each in (signal, *more):
            each.connect(self._changed)
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.stale and event.type() is QEvent.Type.Show:
            self.stale = False
            self._refresh()
        return False

    def _changed(self) -> None:
        if self._widget.isVisible():
            self.stale = False
            self._refresh()
        else:
            self.stale = True
