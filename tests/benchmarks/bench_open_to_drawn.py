"""From a file of 36,000 records to the drawn window.

    python tests/benchmarks/bench_open_to_drawn.py [FILE]

Prints the time to read, to clean and analyse, and to draw; the frame times of panning, zooming and moving
the cursor; how long the window was ever blocked while a file was read; and the memory at the end.
Runs without a display; without FILE a long outing is made first.
"""

from __future__ import annotations

import gc
import os
import resource
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np  # noqa: E402
from PySide6.QtCore import QEventLoop, QTimer  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from slopebeat.files.reading import read_recordings  # noqa: E402
from slopebeat.review.outing import review_recording  # noqa: E402
from slopebeat.session.demo import DEMO_AIM  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.window.app import SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.main_window import MainWindow  # noqa: E402

FRAMES = 60
BEAT_MS = 5


def timed(name: str, act: Callable[[], object]) -> None:
    """Median and worst time of an act with its repaint."""
    times = []
    for _ in range(FRAMES):
        start = perf_counter()
        act()
        QApplication.processEvents()
        times.append((perf_counter() - start) * 1000)
    print(f"{name:34s} median {np.median(times):6.1f} ms   worst {max(times):6.1f} ms")


class Heartbeat:
    """Watches how late the window's thread gets to its timer."""

    def __init__(self) -> None:
        self.late_ms: list[float] = []
        self._last = perf_counter()
        self.timer = QTimer()
        self.timer.timeout.connect(self._beat)
        self.timer.start(BEAT_MS)

    def _beat(self) -> None:
        now = perf_counter()
        self.late_ms.append((now - self._last) * 1000 - BEAT_MS)
        self._last = now


def main() -> None:
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    if len(sys.argv) > 1:
        path = Path(sys.argv[1])
    else:
        from make_long_outing import make_long_outing

        path = make_long_outing(Path(tempfile.mkdtemp()))[0]
    start = perf_counter()
    recording = read_recordings(path)[0]
    print(f"read {len(recording.samples)} records: {perf_counter() - start:.2f} s")
    session = Session(Settings(Path(tempfile.mkdtemp()) / "settings.json"))
    app = QApplication(sys.argv[:1])
    session.aim.lend(DEMO_AIM)
    start = perf_counter()
    review_recording(recording, session.aim.aim)
    print(f"clean and analyse: {perf_counter() - start:.2f} s")
    window = MainWindow(session)
    window.resize(1400, 900)
    window.show()
    QTest.qWait(100)
    gc.freeze()
    beat = Heartbeat()
    start = perf_counter()
    session.open_demo([path], DEMO_AIM)
    loop = QEventLoop()
    session.outing.reviewed.connect(lambda: QTimer.singleShot(0, loop.quit))
    loop.exec()
    QApplication.processEvents()
    print(f"open to drawn in the window: {perf_counter() - start:.2f} s")
    beat.timer.stop()
    late = np.array(beat.late_ms)
    print(f"window late until drawn: median {np.median(late):.1f} ms, worst {np.sort(late)[-3:].round()} ms")
    _frames(session)
    print(f"peak memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    window.close()
    app.quit()


def _frames(session: Session) -> None:
    review = session.outing.review
    assert review is not None
    t = review.track.t_s
    visible = session.visible
    steps = iter(np.linspace(0, float(t[-1]), FRAMES))
    timed("cursor over the whole outing", lambda: session.cursor.move(float(next(steps))))
    timed("redraw of the whole outing", lambda: (visible.zoom(0.999), None))
    visible.show(0, t[-1] / 2)
    timed("pan over half the outing", lambda: visible.pan(0.01))
    timed("zoom", lambda: visible.zoom(0.95))


if __name__ == "__main__":
    main()
