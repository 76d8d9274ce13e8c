"""How often everything follows while an edge of the band is dragged over a long outing.

    python tests/benchmarks/bench_band_drag.py [FILE]

The upper edge in the chart is moved every 12 ms for five seconds, as a fast hand does, once with the
episodes and causes in sight and once with the speed to hold. Told are how many bands were reviewed and shown
each second, how often each part of the window was painted for one, what one took of the processor (in all
threads, the window's and the review's), and the longest block of the window. Both threads share Python's
lock, so it is the sum that counts: 50 ms make 20 bands a second, the goal on 36,000 records; no block is to
be over 50 ms. Bands a second and blocks are only true on a machine that does nothing else. Runs without a
display; without FILE a long outing is made first.
"""

from __future__ import annotations

import os
import sys
import tempfile
from importlib import import_module
from pathlib import Path
from time import perf_counter, process_time, thread_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(ROOT / "tests"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np  # noqa: E402
from bench_open_to_drawn import SETTLE_MS, Heartbeat, watched  # noqa: E402
from PySide6.QtCore import QEventLoop, QTimer  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from helpers.paints import Paints  # noqa: E402
from slopebeat.review.outing import Review  # noqa: E402
from slopebeat.session.outing.opening import DEMO_AIM  # noqa: E402
from slopebeat.session.outing.outing import in_stages  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.window.shell.app import LOADED_BEHIND, SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

SECONDS = 5.0
UPPER_BPM, REACH_BPM = 131, 25
EVERY_MS = 12


TABS = (1, 3)
"""Out of band, and speed to hold."""


class TimedReviewer:
    """Reviews in stages and sums up what that takes of the processor."""

    def __init__(self) -> None:
        self._review, self.worked_s = in_stages(), 0.0

    def __call__(self, *of: Any) -> Review:
        began = thread_time()
        try:
            return self._review(*of)
        finally:
            self.worked_s += thread_time() - began


def main() -> None:
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    if len(sys.argv) > 1:
        path = Path(sys.argv[1])
    else:
        from make_long_outing import make_long_outing

        path = make_long_outing(Path(tempfile.mkdtemp()))[0]
    app = QApplication(sys.argv[:1])
    session = Session(Settings(Path(tempfile.mkdtemp()) / "settings.json"))
    reviewer = TimedReviewer()
    session.outing._reviewer = reviewer
    for name in LOADED_BEHIND:
        import_module(name)
    window = MainWindow(session)
    window.resize(1400, 900)
    window.show()
    window.page_loader.parts.make_soon()
    QTest.qWait(SETTLE_MS)
    watched("open", session, lambda: session.open_demo([path], DEMO_AIM))
    for tab in TABS:
        window.page.tabs.setCurrentIndex(tab)
        QTest.qWait(SETTLE_MS)
        drag(window, reviewer)
    window.close()
    app.quit()


def drag(window: MainWindow, reviewer: TimedReviewer) -> None:
    """Drag the upper edge with what is in sight, and tell what it took."""
    session, page = window.session, window.page
    shown: list[tuple[int, int]] = []

    def note() -> None:
        review = session.outing.review
        assert review is not None
        assert review.aim.band is not None
        shown.append((review.aim.band.lower_bpm, review.aim.band.upper_bpm))

    session.outing.reviewed.connect(note)
    moves = iter(range(10**9))
    hand = QTimer()
    edge = page.charts.heart.edges.upper

    def move() -> None:
        edge.setValue(UPPER_BPM + next(moves) % REACH_BPM)
        edge.sigDragged.emit(edge)

    hand.timeout.connect(move)
    painted = Paints(
        account=page.answer.picture.bar,
        answer=page.answer.headline,
        charts=page.charts.viewport(),
        plan=page.plan.viewport(),
        episodes=page.episodes.viewport(),
        causes=page.causes.viewport(),
        hold=page.ceiling.chart.viewport(),
    )
    reviewer.worked_s = 0.0
    beat, began, worked, own = Heartbeat(), perf_counter(), process_time(), thread_time()
    hand.start(EVERY_MS)
    # A loop that asks for events again and again would take the processor from the review.
    loop = QEventLoop()
    QTimer.singleShot(round(1000 * SECONDS), loop.quit)
    loop.exec()
    hand.stop()
    took, worked, own = perf_counter() - began, process_time() - worked, thread_time() - own
    beat.timer.stop()
    painted.close()
    bands = max(len(shown), 1)
    each, window_ms, review_ms = (1000 * value / bands for value in (worked, own, reviewer.worked_s))
    tab = page.tabs.tabText(page.tabs.currentIndex())
    print(f"{tab}: {len(shown) / took:.1f} bands a second, each {each:.0f} ms of the processor:")
    print(f"  {window_ms:.0f} ms in the window's thread, {review_ms:.0f} ms in the review's")
    counts = ", ".join(f"{name} {times / bands:.1f}" for name, times in painted.times.items() if times)
    print(f"  painted for each band: {counts}")
    late, own_ms = (np.sort(values)[-3:].round() for values in (beat.late_ms, beat.worked_ms))
    print(f"  longest blocks {late} ms, longest work {own_ms} ms")
    session.outing.reviewed.disconnect(note)
    edge.sigPositionChangeFinished.emit(edge)


if __name__ == "__main__":
    main()
