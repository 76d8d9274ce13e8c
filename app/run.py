"""Open Slopebeat: set up on the first call, then show the demo outings, or the files given."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import bootstrap

COMMANDS = {"review", "import", "months", "plan", "desktop"}
"""First words of a call that opens no window; options alone open none either, but for ``--demo``."""

EXIT_STOPPED = 130
"""128 and the number of SIGINT, as shells have it (POSIX, 2.8.2)."""


def main() -> int:
    """Prepare the environment and start the program in it; exit with its status."""
    arguments = sys.argv[1:] or ["--demo"]
    offscreen = os.environ.get("QT_QPA_PLATFORM", "").startswith(("offscreen", "minimal"))
    try:
        python = bootstrap.prepare(offscreen=offscreen)
    except KeyboardInterrupt:
        return EXIT_STOPPED
    seen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or offscreen
    window = arguments[0] == "--demo" or not (arguments[0] in COMMANDS or arguments[0].startswith("-"))
    if sys.platform.startswith("linux") and window and not seen:
        sys.exit("There is no screen to open a window on; start this from a desktop session.")
    # Ctrl-C reaches the program, too, which ends as it sees fit; here its status is waited for.
    signal.signal(signal.SIGINT, lambda _number, _frame: None)
    status = subprocess.call([python, "-m", "slopebeat", *arguments])
    return status if status >= 0 else 128 - status


if __name__ == "__main__":
    sys.exit(main())
