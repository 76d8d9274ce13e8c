"""Progress of long reads: reported often enough to cancel promptly, seldom enough to cost nothing."""

from __future__ import annotations

import time
from collections.abc import Callable

Progress = Callable[[float], None]
"""Called now and then with the share done, 0 to 1; raises ``Cancelled`` to stop the reading."""

TELL_EVERY_S = 0.02
"""Shortest time between two calls of a progress function [project choice]."""


class Ticker:
    """Calls a progress function at most every :data:`TELL_EVERY_S`, within a part of the whole."""

    def __init__(self, progress: Progress | None, start: float = 0.0, end: float = 1.0) -> None:
        self._progress = progress
        self._start = start
        self._end = end
        self._last_told = 0.0

    def tick(self, share: float) -> None:
        """Say that ``share`` (0 to 1) of this ticker's part is done."""
        if self._progress is None:
            return
        now = time.monotonic()
        if now - self._last_told >= TELL_EVERY_S:
            self._last_told = now
            self._progress(self._start + (self._end - self._start) * min(max(share, 0.0), 1.0))

    def within(self, start: float, end: float) -> Ticker:
        """A ticker for the part from ``start`` to ``end`` of this one's part."""
        width = self._end - self._start
        return Ticker(self._progress, self._start + width * start, self._start + width * end)
