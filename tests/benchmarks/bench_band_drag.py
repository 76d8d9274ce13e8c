"""How often everything follows while an edge of the band is dragged over a long outing.

    python tests/benchmarks/bench_band_drag.py [FILE]

The upper edge in the chart is moved every 12 ms for five seconds, as a fast hand does. Told are how many
bands were reviewed and drawn to the end each second, what one took of the processor (in all threads), and the
longest block of the window. Goal: 20 a second on 36,000 records. Runs without a display; without FILE a long
outing is made first.
"""

from __future__ import annotations

import os
import sys
import tempfile
from importlib import import_module
from pathlib import Path
from time import perf_counter, process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np  # noqa: E402
from bench_open_to_drawn import SETTLE_MS, Heartbeat, watched  # noqa: E402
from PySide6.QtCore import QEventLoop, QTimer  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from slopebeat.session.outing.opening import DEMO_AIM  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.window.shell.app import LOADED_BEHIND, SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

SECONDS = 5.0
UPPER_BPM, REACH_BPM = 131, 25
EVERY_MS = 12


def main() -> None:
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    if len(sys.argv) > 1:
        path = Path(sys.argv[1])
    else:
        from make_long_outing import make_long_outing

        path = make_long_outing(Path(tempfile.mkdtemp()))[0]
    app = QApplication(sys.argv[:1])
    session = Session(Settings(Path(tempfile.mkdtemp()) / "settings.json"))
    for name in LOADED_BEHIND:
        import_module(name)
    window = MainWindow(session)
    window.resize(1400, 900)
    window.show()
    window.page_loader.make_soon()
    QTest.qWait(SETTLE_MS)
    watched("open", session, lambda: session.open_demo([path], DEMO_AIM))
    window.page.tabs.setCurrentIndex(1)
    QTest.qWait(SETTLE_MS)
    shown: list[tuple[int, int]] = []

    def note() -> None:
        review = session.outing.review
        assert review is not None
        assert review.aim.band is not None
        shown.append((review.aim.band.lower_bpm, review.aim.band.upper_bpm))

    session.outing.reviewed.connect(note)
    moves = iter(range(10**9))
    hand = QTimer()
    edge = window.page.charts.heart.edges.upper

    def move() -> None:
        edge.setValue(UPPER_BPM + next(moves) % REACH_BPM)
        edge.sigDragged.emit(edge)

    hand.timeout.connect(move)
    beat, began, worked = Heartbeat(), perf_counter(), process_time()
    hand.start(EVERY_MS)
    # A loop that asks for events again and again would take the processor from the review.
    loop = QEventLoop()
    QTimer.singleShot(round(1000 * SECONDS), loop.quit)
    loop.exec()
    hand.stop()
    took, worked = perf_counter() - began, process_time() - worked
    beat.timer.stop()
    each_ms = 1000 * worked / max(len(shown), 1)
    print(f"{len(shown) / took:.1f} bands a second; {each_ms:.0f} ms of the processor each")
    late, own = (np.sort(values)[-3:].round() for values in (beat.late_ms, beat.worked_ms))
    print(f"longest blocks {late} ms, longest work {own} ms")
    edge.sigPositionChangeFinished.emit(edge)
    window.close()
    app.quit()


if __name__ == "__main__":
    main()
