"""A coach's quarter of an hour: six athletes over two years, gone through by keys alone.

    python tests/benchmarks/bench_coach_quarter.py LIBRARY [PICTURES [WEEKS]]

LIBRARY is made by ``samples/make_coach_library.py`` and is copied first: nothing in it changes. Printed is
what each step took until the window rested, how long the window was ever blocked meanwhile as a person waits
for it, and the longest work of its own thread without a break, which other work lengthens less.
Goal: no block over 50 ms. Into the folder PICTURES goes a picture of the window after each step. WEEKS: how
many the library holds.
"""

from __future__ import annotations

import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from importlib import import_module
from pathlib import Path
from time import perf_counter, process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(ROOT / "tests"), str(ROOT / "samples"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from bench_open_to_drawn import SETTLE_MS, Heartbeat  # noqa: E402
from generator.coach import FIRST_MONDAY, WEEKS  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from helpers.coach_at_keys import Coach, quarter_of_an_hour, until  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.window.shell.app import LOADED_BEHIND, SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

MOST_MS = 50.0


def main() -> None:
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    place = Path(tempfile.mkdtemp())
    library = Path(shutil.copy(sys.argv[1], place / "coach.sqlite3"))
    pictures = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    weeks = int(sys.argv[3]) if len(sys.argv) > 3 else WEEKS
    app = QApplication(sys.argv[:1])
    session = Session(Settings(place / "settings.json"))
    for name in LOADED_BEHIND:
        import_module(name)
    window = MainWindow(session)
    window.resize(1440, 900)
    window.show()
    window.activateWindow()
    window.page_loader.parts.make_soon()
    window.library.parts.make_soon()
    window.weeks.board._today = lambda: FIRST_MONDAY + timedelta(weeks=weeks, days=1)
    until(lambda: session.steps.idle)
    QTest.qWait(SETTLE_MS)
    gc.freeze()
    coach, began = Coach(window), perf_counter()
    steps = _steps(coach, library, place)
    late = _watched(coach, steps, pictures)
    spent = perf_counter() - began
    print(f"{spent:.0f} s for all, {coach.presses} presses; {late} steps blocked over {MOST_MS:.0f} ms")
    window.close()
    app.quit()


def _steps(coach: Coach, library: Path, letters: Path) -> Iterator[str]:
    coach.window.session.library.open(library)
    until(lambda: coach.window.session.library.opened.library is not None)
    coach.rest()
    yield "library opened"
    yield from quarter_of_an_hour(coach, letters)


def _watched(coach: Coach, steps: Iterator[str], pictures: Path | None) -> int:
    """Tell of each step; how many worked longer without a break than the goal."""
    late, number = 0, 0
    while True:
        beat, start, worked = Heartbeat(), perf_counter(), process_time()
        name = next(steps, None)
        seconds, worked = perf_counter() - start, process_time() - worked
        beat.timer.stop()
        if name is None:
            return late
        number += 1
        block, own = max(beat.late_ms, default=0.0), max(beat.worked_ms, default=0.0)
        late += own > MOST_MS
        took = f"{seconds:6.2f} s, {worked:5.2f} s of the processor"
        print(f"{name:32s} {took}, blocked {block:5.0f} ms, work {own:5.0f} ms", flush=True)
        if pictures is not None:
            pictures.mkdir(exist_ok=True)
            coach.window.grab().save(str(pictures / f"{number:02d}.png"))


if __name__ == "__main__":
    main()
