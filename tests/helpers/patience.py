"""How long a test waits before it fails, and the one way to wait for what sends no signal.

Nothing is measured here: on a machine that does ten other things a wait lasts as long as it must. A test that
waits in vain fails late, one that does not wait costs nothing.
"""

from __future__ import annotations

import time
from collections.abc import Callable

WAIT_S = 300
"""A wait fails after this [project choice]: a hundred times what any of them takes on an idle machine."""

WAIT_MS = 1000 * WAIT_S


def wait_until(come_true: Callable[[], bool]) -> None:
    """Go on once this is true, for what another process does; in a window use ``qtbot.waitUntil``."""
    deadline = time.monotonic() + WAIT_S
    while not come_true():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(0.02)
