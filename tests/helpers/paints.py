"""How often widgets are painted, which no picture of them shows."""

from __future__ import annotations

from collections import Counter

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget


class Paints(QObject):
    """Counts how often widgets are painted, by the names they are given here."""

    def __init__(self, **widgets: QWidget) -> None:
        super().__init__()
        self._names = {widget: name for name, widget in widgets.items()}
        self.times = Counter[str]()
        for widget in widgets.values():
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.Paint and isinstance(watched, QWidget):
            self.times[self._names[watched]] += 1
        return False

    def close(self) -> None:
        for widget in self._names:
            widget.removeEventFilter(self)
