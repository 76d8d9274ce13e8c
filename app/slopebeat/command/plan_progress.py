"""How far a plan is, on one line of the terminal that is gone when the answer comes."""

from __future__ import annotations

import sys
from typing import TextIO

from slopebeat.model.language import tr
from slopebeat.model.units import percent

LONGEST_NAME = 60
"""Longest name of an outing shown on the line [project choice]."""


class ProgressLine:
    """Written to a terminal only: nothing of it ends in a file or a pipe."""

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = sys.stderr if stream is None else stream
        self._shown = self._stream.isatty()
        self._last = ""

    def learning(self, done: int, total: int, name: str) -> None:
        """Which outing is being learnt from."""
        words = tr("Learning from outing {number} of {total}: {name}")
        self._write(words.format(number=done + 1, total=total, name=name[-LONGEST_NAME:]))

    def planning(self, share: float) -> None:
        """How much of the plan is done."""
        self._write(tr("Planning, {share}").format(share=percent(share)))

    def clear(self) -> None:
        """Leave an empty line to whatever is said next."""
        if self._last:
            self._write("")

    def _write(self, line: str) -> None:
        if self._shown and line != self._last:
            self._last = line
            self._stream.write(f"\r\x1b[K{line}")
            self._stream.flush()
