"""Cycles of objects are collected on the window's thread alone.

Python collects them in whichever thread happens to make an object. Where a cycle holds items of a graphics
scene, a thread at work would then take the scene apart while the window's thread draws it, which ends the
program with a segmentation fault.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

INTERVAL_MS = 1000
"""How often it is looked whether there is enough to collect [project choice]."""


def collect_what_is_due() -> None:
    """Collect the oldest generation that Python's own thresholds name, and the younger ones with it."""
    counts_and_limits = zip(gc.get_count(), gc.get_threshold(), strict=True)
    due = [generation for generation, (count, limit) in enumerate(counts_and_limits) if count > limit]
    if due:
        gc.collect(max(due))


class WindowThreadGarbage(QObject):
    """Collects in the thread it lives in, about as often as Python would, and keeps all others from it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timer = QTimer(self, interval=INTERVAL_MS)
        self._timer.timeout.connect(collect_what_is_due)

    def keep_here(self) -> None:
        """From now on nothing is collected but by this object; a start makes no garbage worth it."""
        gc.disable()

    def collect_now_and_then(self) -> None:
        """Look from now on whether there is enough to collect."""
        self._timer.start()
