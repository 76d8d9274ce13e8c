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


def work_until_let_go(folder: str, progress: Progress) -> None:
    """As long as nobody lets it go, at most some seconds; it hears of nothing else."""
    Path(folder, "begun").touch()
    for _ in range(500):
        if Path(folder, "let go").exists():
            return
        time.sleep(0.01)
    Path(folder, "ended by itself").touch()


def tell_how_it_runs(order: int, progress: Progress) -> tuple[int, int]:
    """Threads there are after linear algebra was done, and the niceness, where the system tells."""
    import numpy as np

    before = len(os.listdir("/proc/self/task"))
    square = np.ones((400, 400))
    assert (square @ square)[0, 0] == 400.0
    return len(os.listdir("/proc/self/task")) - before + _blas_threads(), os.nice(0)


def _blas_threads() -> int:
    """Threads linear algebra may take, by what it was told in the environment; 0 when told nothing."""
    return int(os.environ.get("OPENBLAS_NUM_THREADS", "0"))
