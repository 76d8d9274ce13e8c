"""Open Slopebeat: set up on the first call, then show the demo outings, or the files given."""

from __future__ import annotations

import os
import signal

EXIT_STOPPED = 130
"""128 and the number of SIGINT, as shells have it (POSIX, 2.8.2)."""

if __name__ == "__main__":
    # Until the program runs Ctrl-C ends this at once; what is half set up is set up anew the next time.
    signal.signal(signal.SIGINT, lambda _number, _frame: os._exit(EXIT_STOPPED))

import subprocess  # noqa: E402
import sys  # noqa: E402

import bootstrap  # noqa: E402

COMMANDS = {
    *("review", "import", "athletes", "months", "weeks", "price", "ground", "plan"),
    *("archive", "bands", "outings", "library", "files", "desktop"),
}
"""First words of a call that opens no window; options alone open none either, but for ``--demo``."""


def main() -> int:
    """Prepare the environment and start the program in it; exit with its status."""
    arguments = sys.argv[1:] or ["--demo"]
    offscreen = os.environ.get("QT_QPA_PLATFORM", "").startswith(("offscreen", "minimal"))
    python = bootstrap.prepare(offscreen=offscreen)
    seen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or offscreen
    window = arguments[0] == "--demo" or not (arguments[0] in COMMANDS or arguments[0].startswith("-"))
    if sys.platform.startswith("linux") and window and not seen:
        sys.exit("There is no screen to open a window on; start this from a desktop session.")
    # Ctrl-C reaches the program, too, which ends as it sees fit; here its status is waited for.
    signal.signal(signal.SIGINT, lambda _number, _frame: None)
    status = _start([python, "-m", "slopebeat", *arguments]).wait()
    return status if status >= 0 else 128 - status


def _start(command: list[str | os.PathLike[str]]) -> subprocess.Popen[bytes]:
    """Start the program deaf to Ctrl-C, which waits until it can answer: Python's own start cannot."""
    if not hasattr(signal, "pthread_sigmask"):
        return subprocess.Popen(command)
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})  # inherited (POSIX, 2.4.1)
    try:
        return subprocess.Popen(command)
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


if __name__ == "__main__":
    sys.exit(main())
