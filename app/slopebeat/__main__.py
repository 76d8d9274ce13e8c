"""The entry of the program: a command without a window, or the window."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from types import FrameType

EXIT_STOPPED = 130
"""128 and the number of SIGINT, as shells have it (POSIX, 2.8.2)."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run ``slopebeat COMMAND ...`` without a window, or ``slopebeat [--demo | FILE...]`` with one.

    The window is imported only when it is wanted: commands run where no display is.
    """
    arguments = list(sys.argv[1:] if argv is None else argv)
    with _leaving_at_once():
        work = _chosen(arguments)
    return work()


def _chosen(arguments: list[str]) -> Callable[[], int]:
    """What was asked for, with its modules loaded."""
    from slopebeat.command.main import NAMES
    from slopebeat.command.main import main as run_command
    from slopebeat.disk.leftovers import remove_leftovers

    remove_leftovers()
    demo = arguments == ["--demo"]
    if not demo and arguments and (arguments[0] in NAMES or arguments[0].startswith("-")):
        return partial(run_command, arguments)
    from slopebeat.window.shell.app import run

    return partial(run, [] if demo else [Path(name) for name in arguments], demo=demo)


@contextmanager
def _leaving_at_once() -> Iterator[None]:
    """Inside, Ctrl-C ends the process without a word: nothing is begun yet, and half a module is no use."""

    def leave(_number: int, _frame: FrameType | None) -> None:
        os._exit(EXIT_STOPPED)

    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler or threading.current_thread() is not threading.main_thread():
        yield  # who started this process wants something else
        return
    signal.signal(signal.SIGINT, leave)
    if hasattr(signal, "pthread_sigmask"):
        # Who starts this holds Ctrl-C back until there is somebody to answer it.
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


if __name__ == "__main__":
    sys.exit(main())
