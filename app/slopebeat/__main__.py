"""The entry of the program: a command without a window, or the window."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path


def main(argv: Sequence[str] | None = None) -> int:
    """Run ``slopebeat COMMAND ...`` without a window, or ``slopebeat [--demo | FILE...]`` with one.

    The window is imported only when it is wanted: commands run where no display is.
    """
    from slopebeat.command.main import NAMES
    from slopebeat.command.main import main as run_command

    arguments = list(sys.argv[1:] if argv is None else argv)
    if arguments == ["--demo"]:
        from slopebeat.window.shell.app import run as run_window

        return run_window([], demo=True)
    if arguments and (arguments[0] in NAMES or arguments[0].startswith("-")):
        return run_command(arguments)
    from slopebeat.window.shell.app import run

    return run([Path(name) for name in arguments])


if __name__ == "__main__":
    sys.exit(main())
