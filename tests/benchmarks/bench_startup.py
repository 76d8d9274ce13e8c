"""Cold start to the window shown: ``python tests/benchmarks/bench_startup.py``.

Each start is a process of its own that ends as soon as the window has been shown and its events are
handled once. Told are the wall time of all of it, the part spent importing, and the packages whose imports
take longest (own and what they load, from ``python -X importtime``). Goal: under 1.5 s.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from pathlib import Path

APP = Path(__file__).parents[2] / "app"
RUNS = 7
SHOWN = """
import sys, time
began = time.perf_counter()
from PySide6.QtWidgets import QApplication
from slopebeat.window.shell.app import open_window
imported = time.perf_counter()
app = QApplication(["slopebeat"])
window = open_window([])
app.processEvents()
print(imported - began, time.perf_counter() - imported, flush=True)
import os
os._exit(0)
"""


def start(*options: str) -> tuple[float, subprocess.CompletedProcess[str]]:
    """Seconds of wall time of one start, and what it printed."""
    environment = os.environ | {"PYTHONPATH": str(APP), "QT_QPA_PLATFORM": "offscreen"}
    command = [sys.executable, *options, "-c", SHOWN]
    began = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    return time.perf_counter() - began, done


def own_times(importtime: str) -> dict[str, float]:
    """Seconds each package's modules took themselves, by the first part of their names."""
    seconds: dict[str, float] = defaultdict(float)
    for line in importtime.splitlines():
        parts = line.removeprefix("import time:").split("|")
        if len(parts) == 3 and parts[0].strip().isdigit():
            seconds[parts[2].strip().split(".")[0]] += int(parts[0]) / 1e6
    return seconds


def main() -> None:
    start()  # the first fills the disk's cache
    walls, imports, windows = [], [], []
    for _ in range(RUNS):
        wall, done = start()
        imported, shown = (float(word) for word in done.stdout.split())
        walls.append(wall)
        imports.append(imported)
        windows.append(shown)
    print(f"process to window shown {statistics.median(walls):.2f} s (best {min(walls):.2f} s), of which")
    print(f"  imports {statistics.median(imports):.2f} s, window {statistics.median(windows):.2f} s")
    _wall, done = start("-X", "importtime")
    print("own time of the modules of each package (told slower than it is, for the shares):")
    for name, seconds in sorted(own_times(done.stderr).items(), key=lambda row: -row[1])[:12]:
        print(f"  {seconds:6.3f} s  {name}")


if __name__ == "__main__":
    main()
