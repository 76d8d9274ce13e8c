"""The terminal as commands meet it: pipes that close, full disks, few characters, and Ctrl-C."""

from __future__ import annotations

import errno
import io
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import TextIO

from slopebeat.model.language import tr
from slopebeat.model.units import percent

EXIT_WRONG = 2
EXIT_STOPPED, EXIT_UNHEARD = 130, 141
"""128 and the number of the signal, as shells have it (POSIX, 2.8.2): SIGINT is 2, SIGPIPE 13."""


class OutputLost(Exception):
    """Standard output takes no more; the cause is the system's error."""


class _Told(io.TextIOBase):
    """Standard output or standard error, whatever becomes of it.

    Characters it lacks are replaced. What standard output does not take raises OutputLost, so that no
    command mistakes it for an error of its own files; what standard error does not take nobody will read.
    """

    def __init__(self, stream: TextIO | None, must_arrive: bool) -> None:
        super().__init__()
        self._stream = stream
        self._must_arrive = must_arrive
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")

    def write(self, text: str) -> int:
        self._try(lambda stream: stream.write(text))
        return len(text)

    def flush(self) -> None:
        self._try(lambda stream: stream.flush())

    def isatty(self) -> bool:
        return self._stream is not None and self._stream.isatty()

    def fileno(self) -> int:
        if self._stream is None:
            raise io.UnsupportedOperation("fileno")
        return self._stream.fileno()

    @property
    def encoding(self) -> str:  # type: ignore[override]
        return getattr(self._stream, "encoding", None) or "utf-8"

    def _try(self, act: Callable[[TextIO], object]) -> None:
        try:
            if self._stream is None:  # closed by whoever started the command
                raise OSError(errno.EBADF, os.strerror(errno.EBADF))
            act(self._stream)
        except (OSError, ValueError) as problem:
            if self._must_arrive:
                raise OutputLost from problem


def at_terminal(work: Callable[[], int]) -> int:
    """Do a command's work and give its exit status: the one place that deals with its output's troubles."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = _Told(before[0], must_arrive=True), _Told(before[1], must_arrive=False)
    try:
        try:
            status = work()
        finally:
            sys.stdout.flush()
        return status
    except KeyboardInterrupt:
        return EXIT_STOPPED
    except BrokenPipeError:
        return EXIT_UNHEARD
    except OutputLost as lost:
        return _lost(lost.__cause__)
    finally:
        _let_go(before[0])
        sys.stdout, sys.stderr = before


def _lost(cause: BaseException | None) -> int:
    if isinstance(cause, BrokenPipeError) or getattr(cause, "errno", None) == errno.EINVAL:
        # Windows says "invalid argument" of a pipe that nobody reads any more.
        return EXIT_UNHEARD
    reason = getattr(cause, "strerror", None) or str(cause)
    print(tr("The answer could not be written: {reason}.").format(reason=reason), file=sys.stderr)
    return EXIT_WRONG


def _let_go(stream: TextIO | None) -> None:
    """What could not be written is not tried again when the interpreter ends, which would tell of it."""
    if stream is None:
        return
    try:
        stream.flush()
    except (OSError, ValueError):
        with suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)


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

    def importing(self, done: int, total: int, name: str) -> None:
        """How many files are done, and the one under way; empty after the last."""
        count = tr("{done} of {total}").format(done=done, total=total)
        self._write(f"{count}  {name[-LONGEST_NAME:]}" if done < total else "")

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
