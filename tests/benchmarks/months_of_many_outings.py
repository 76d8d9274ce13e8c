"""Time of the months of 10,000 outings; run with ``PYTHONPATH=app:tests``.

First what they add up to, which happens in the background; then the work of the window's own thread while it
draws them, the longest between two chances to take a click. Goal: under 50 ms.
"""

from __future__ import annotations

import gc
import os
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np
from PySide6.QtCore import QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from helpers.summaries import asked, outing
from slopebeat.review.months.months import Months, review_months
from slopebeat.session.library.filter import Shown
from slopebeat.session.session import Session
from slopebeat.session.settings import Settings
from slopebeat.window.shell.main_window import MainWindow

LIMIT_S = 0.3
LONGEST_MS = 50.0
RUNS = 4
BEAT_MS, SETTLE_MS = 2, 300


def made() -> Months:
    """Months of 10,000 outings, with the time it took told."""
    rng = np.random.default_rng(0)
    start = datetime(2006, 1, 2, 8, tzinfo=UTC)
    rows = [
        outing(
            start_utc=start + timedelta(days=0.73 * i),
            on_bike=i % 3 == 0,
            steep_share=float(rng.uniform()),
            terrain_fair_percent=float(rng.normal(4, 3)),
            mid_band_speed_mps=float(rng.normal(1.4, 0.1)),
            yield_share=float(rng.uniform()),
        )
        for i in range(10_000)
    ]
    times = []
    for _ in range(5):
        before = time.perf_counter()
        months = review_months(rows, asked(120, 3))
        times.append(time.perf_counter() - before)
    print(f"10,000 outings: {min(times):.3f} s, {min(times) / LIMIT_S:.2f} of the limit of {LIMIT_S} s")
    return months


def draw(window: MainWindow, months: Months) -> list[float]:
    """Milliseconds of work between two beats while these months are drawn, longest first."""
    worked: list[float] = []
    last = time.thread_time()

    def beat() -> None:
        nonlocal last
        now = time.thread_time()
        worked.append(1000 * (now - last))
        last = now

    timer = QTimer()
    timer.timeout.connect(beat)
    timer.start(BEAT_MS)
    outings = window.session.library.outings
    outings.shown = Shown((), months)
    outings.changed.emit()
    while not window.session.steps.idle:
        QApplication.processEvents()
    QTest.qWait(SETTLE_MS)
    timer.stop()
    return sorted(worked, reverse=True)


def main() -> None:
    months = made()
    app = QApplication([])
    window = MainWindow(Session(Settings(Path(tempfile.mkdtemp()) / "settings.json")))
    window.resize(1400, 900)
    window.show()
    page = window.library.page
    page.tabs.setCurrentWidget(page.months)
    window.stack.setCurrentWidget(page)
    QTest.qWait(SETTLE_MS)
    gc.freeze()  # as the program does once its window is there
    for run in range(RUNS):
        longest = draw(window, months)[:4]
        share = longest[0] / LONGEST_MS
        told = ", ".join(f"{ms:.0f}" for ms in longest)
        print(f"drawn, run {run + 1}: longest work {told} ms, {share:.2f} of {LONGEST_MS:.0f} ms")
    if "SLOPEBEAT_PICTURE" in os.environ:
        window.grab().save(os.environ["SLOPEBEAT_PICTURE"])
    window.close()
    app.quit()


if __name__ == "__main__":
    main()
