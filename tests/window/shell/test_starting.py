"""What the window must not wait for when the program starts."""

from __future__ import annotations

import subprocess
import sys

LOADED = """
import sys
import slopebeat.window.shell.app
print(*sorted({name.partition(".")[0] for name in sys.modules} & {"pandas", "scipy"}))
"""


def test_the_window_is_there_before_pandas_and_scipy_are_loaded() -> None:
    """Both together take as long to load as all the rest of the start; an outing brings them in."""
    done = subprocess.run([sys.executable, "-c", LOADED], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []
