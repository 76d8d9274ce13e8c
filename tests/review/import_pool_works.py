"""Works for worker processes, found there by name."""

from __future__ import annotations

import os
import time
from pathlib import Path

from slopebeat.files.progress import Progress


def double(order: int, progress: Progress) -> int:
    return 2 * order


def fail_on_three(order: int, progress: Progress) -> int:
    if order == 3:
        raise ZeroDivisionError("three")
    return order


def die_on_three(order: int, progress: Progress) -> int:
    if order == 3:
        os._exit(9)
    return order


def work_until_stopped(folder: str, progress: Progress) -> None:
    Path(folder, str(os.getpid())).touch()
    while True:
        progress(0.5)
        time.sleep(0.01)
