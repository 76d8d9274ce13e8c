"""Open Slopebeat: set up on the first call, then show the demo outings, or the files given."""

from __future__ import annotations

import os
import subprocess
import sys

import bootstrap

WITHOUT_WINDOW = {"review", "import", "months", "plan", "desktop", "--help", "-h", "--version"}
"""First words of a call that opens no window."""


def main() -> int:
    """Prepare the environment and start the program in it; exit with its status."""
    arguments = sys.argv[1:] or ["--demo"]
    offscreen = os.environ.get("QT_QPA_PLATFORM", "").startswith(("offscreen", "minimal"))
    python = bootstrap.prepare(offscreen=offscreen)
    seen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or offscreen
    window = arguments[0] not in WITHOUT_WINDOW
    if sys.platform.startswith("linux") and window and not seen:
        sys.exit("There is no screen to open a window on; start this from a desktop session.")
    return subprocess.call([python, "-m", "slopebeat", *arguments])


if __name__ == "__main__":
    sys.exit(main())
