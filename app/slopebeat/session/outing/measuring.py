"""Stretches of the outing that are measured: the latest, and the one before it to compare with."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

SHORTEST_S = 1.0
"""A shorter drag is a click [project choice]."""

Ends = tuple[float, float]


class Measuring(QObject):
    """At most two stretches, as seconds of the outing; ``changed`` while one grows, too."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.latest: Ends | None = None
        self.before: Ends | None = None
        self._growing = False

    def grow(self, start_s: float, end_s: float) -> None:
        """A stretch is being drawn: the one measured last goes beside it."""
        if not self._growing and self.latest is not None:
            self.before = self.latest
        self._growing = True
        self.latest = (min(start_s, end_s), max(start_s, end_s))
        self.changed.emit()

    def finish(self, start_s: float, end_s: float) -> None:
        """The stretch is drawn; one shorter than a click clears both."""
        if abs(end_s - start_s) < SHORTEST_S:
            self.clear()
            return
        self.grow(start_s, end_s)
        self._growing = False

    def clear(self) -> None:
        self._growing = False
        if self.latest is not None:
            self.latest = self.before = None
            self.changed.emit()
