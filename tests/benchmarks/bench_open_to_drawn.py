"""From a file of 36,000 records to the drawn window.

    python tests/benchmarks/bench_open_to_drawn.py [FILE]

Prints the time to read, to clean and analyse, and to draw; how long the window was ever blocked while the
file was opened, while the band was edited and while the units were changed; the frame times of panning,
zooming and moving the cursor; and the memory at the end. A block is told twice: as a person waits for it, and
as work of the window's own thread, which other work on the machine lengthens less. Goals: drawn under 0.7 s
from opening, no block over 50 ms. Runs without a display; without FILE a long outing is made first.
"""

from __future__ import annotations

import gc
import os
import resource
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from time import perf_counter, thread_time

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import numpy as np  # noqa: E402
from PySide6.QtCore import QEventLoop, QTimer  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from slopebeat.files.reading import read_recordings  # noqa: E402
from slopebeat.model.bands import BandMethod  # noqa: E402
from slopebeat.review.outing import review_recording  # noqa: E402
from slopebeat.session.outing.aim import Entered  # noqa: E402
from slopebeat.session.outing.opening import DEMO_AIM  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings, Units  # noqa: E402
from slopebeat.window.shell.app import LOADED_BEHIND, SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

FRAMES = 60
BEAT_MS = 5
EDITS = 4
SETTLE_MS = 200


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
    """Watches how late the window's thread gets to its timer, and how much it worked between two beats."""

    def __init__(self) -> None:
        self.late_ms: list[float] = []
        self.worked_ms: list[float] = []
        self._last, self._worked = perf_counter(), thread_time()
        self.timer = QTimer()
        self.timer.timeout.connect(self._beat)
        self.timer.start(BEAT_MS)

    def _beat(self) -> None:
        now, worked = perf_counter(), thread_time()
        self.late_ms.append((now - self._last) * 1000 - BEAT_MS)
        self.worked_ms.append((worked - self._worked) * 1000)
        self._last, self._worked = now, worked


def watched(name: str, session: Session, act: Callable[[], object]) -> None:
    """Time from an act that leads to a review until it is drawn, and the longest blocks meanwhile."""
    beat, start = Heartbeat(), perf_counter()
    loop = QEventLoop()
    session.outing.reviewed.connect(loop.quit)
    act()
    loop.exec()
    session.outing.reviewed.disconnect(loop.quit)
    wait_drawn(session)
    seconds = perf_counter() - start
    QTest.qWait(SETTLE_MS)
    beat.timer.stop()
    report(name, seconds, beat)


def report(name: str, seconds: float, beat: Heartbeat) -> None:
    late, worked = (np.sort(values)[-3:].round() for values in (beat.late_ms, beat.worked_ms))
    print(f"{name:22s} drawn after {seconds:.2f} s; longest blocks {late} ms, longest work {worked} ms")


def wait_drawn(session: Session) -> None:
    while not session.steps.idle:
        QApplication.processEvents()
    QApplication.processEvents()


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
    session.aim.use_for_now(DEMO_AIM)
    start = perf_counter()
    review_recording(recording, session.aim.aim)
    print(f"clean and analyse: {perf_counter() - start:.2f} s")
    for name in LOADED_BEHIND:
        import_module(name)
    window = MainWindow(session)
    window.resize(1400, 900)
    window.show()
    window.page_loader.parts.make_soon()
    QTest.qWait(SETTLE_MS)
    gc.freeze()
    watched("open", session, lambda: session.open_demo([path], DEMO_AIM))
    gc.freeze()
    for lower_bpm in range(112, 112 + EDITS):
        entered = with_band(session.aim.entered, lower_bpm)
        watched(f"band {lower_bpm}-131", session, lambda entered=entered: session.edit_aim(entered))
    _change_units(session)
    _frames(session)
    print(f"peak memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    window.close()
    app.quit()


def with_band(entered: Entered, lower_bpm: int) -> Entered:
    """The same entries with a band given by its edges; the demo's is found from a maximal heart rate."""
    edges = {"method": BandMethod.MANUAL, "lower_bpm": lower_bpm, "upper_bpm": 131}
    return replace(entered, choice=replace(entered.choice, **edges))


def _change_units(session: Session) -> None:
    beat, start = Heartbeat(), perf_counter()
    session.display.choose(replace(session.display.preferences, units=Units.IMPERIAL))
    wait_drawn(session)
    seconds = perf_counter() - start
    QTest.qWait(SETTLE_MS)
    beat.timer.stop()
    report("units", seconds, beat)


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
