"""The entry of the program: a command without a window, or the window.

At the top only what Python has loaded by then, or as good as that, is imported: until :func:`main` has its
say, Ctrl-C ends in Python's own words.
"""

from __future__ import annotations

import gc
import os
import signal
import sys

TYPE_CHECKING = False  # typing takes a while to load
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from types import FrameType

EXIT_STOPPED = 130
"""128 and the number of SIGINT, as shells have it (POSIX, 2.8.2)."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run ``slopebeat COMMAND ...`` without a window, or ``slopebeat [--demo | FILE...]`` with one.

    The window is imported only when it is wanted: commands run where no display is.
    """
    before = _leave_at_once()
    # Nothing that is loaded becomes garbage: looking for some again and again takes a fifth of a start.
    collecting = gc.isenabled()
    gc.disable()
    try:
        work = _chosen(list(sys.argv[1:] if argv is None else argv))
    finally:
        gc.freeze()
        if collecting:
            gc.enable()
        if before is not None:
            signal.signal(signal.SIGINT, before)
    status = work()
    # An interrupt that met source text while it was carried out (a dataclass is made that way) counts as not
    # handled for CPython, even when it was: started by -m it dies of the signal, status or not.
    # Carrying out another text makes it forget.
    exec("")
    return status


def _chosen(arguments: list[str]) -> Callable[[], int]:
    from functools import partial
    from pathlib import Path

    from slopebeat.command.main import NAMES
    from slopebeat.command.main import main as run_command
    from slopebeat.disk.leftovers import remove_leftovers

    remove_leftovers()
    demo = arguments == ["--demo"]
    if not demo and arguments and (arguments[0] in NAMES or arguments[0].startswith("-")):
        return partial(run_command, arguments)
    from slopebeat.window.shell.app import run

    return partial(run, [] if demo else [Path(name) for name in arguments], demo=demo)


def _leave_at_once() -> Callable[[int, FrameType | None], object] | None:
    """From now on Ctrl-C ends the process without a word: nothing has started, and half a module is no use.

    Returns what it did before; None, and nothing is changed, where who started this wants something else.
    """

    def leave(_number: int, _frame: FrameType | None) -> None:
        os._exit(EXIT_STOPPED)

    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler:
        return None
    try:
        signal.signal(signal.SIGINT, leave)
    except ValueError:  # only the main thread of a process may
        return None
    if hasattr(signal, "pthread_sigmask"):
        # Who starts this holds Ctrl-C back until there is somebody to answer it.
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    return signal.default_int_handler


if __name__ == "__main__":
    sys.exit(main())
