"""The longest blocks of the window's thread in what a person does for the first time.

    python tests/benchmarks/bench_blocks.py [FILE]

Each act is done once, in the order of an evening: the demo library, its pages, a long outing with every tab,
a drag of the band, a route, preferences and help, and the start after it with the library remembered. Told
is the longest work of the window's own thread between two beats of a timer, which other work on the machine
lengthens less than the clock; no block is to be over 50 ms. Runs without a display, in a home of its own;
without FILE a long outing is made first.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "app"), str(ROOT / "tests"), str(Path(__file__).parent)]
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
HOME = Path(tempfile.mkdtemp())
os.environ["HOME"] = str(HOME)
for kind in ("CONFIG", "DATA", "CACHE", "STATE"):
    os.environ[f"XDG_{kind}_HOME"] = str(HOME / kind.lower())

from bench_open_to_drawn import Heartbeat  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from slopebeat.session.outing.opening import DEMO_AIM, demo_files  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Appearance, Preferences, Settings, Units  # noqa: E402
from slopebeat.window.shell.app import LOADED_BEHIND, SWITCH_INTERVAL_S  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402

LONGEST_MS, SETTLED_MS = 50.0, 400
"""A block is over this; an act has settled when nothing was at work for so long."""

PATIENCE_S = 60.0
SETTINGS = HOME / "settings.json"


def still(window: MainWindow) -> bool:
    session = window.session
    opened = session.library.opened.library is None or session.library.idle
    return session.background.idle and session.steps.idle and session.keeping.idle and opened


def settle(window: MainWindow) -> None:
    """Wait until nothing has been at work for a while."""
    began = quiet = perf_counter()
    while perf_counter() - quiet < SETTLED_MS / 1000 and perf_counter() - began < PATIENCE_S:
        QTest.qWait(20)
        if not still(window):
            quiet = perf_counter()


def watched(window: MainWindow, name: str, act: Callable[[], object]) -> None:
    beat = Heartbeat()
    act()
    settle(window)
    beat.timer.stop()
    worked = sorted(beat.worked_ms)[::-1][:3]
    sign = "  <- over" if worked[0] > LONGEST_MS else ""
    print(f"{name:44s} {worked[0]:5.0f} ms, then {worked[1]:.0f} and {worked[2]:.0f}{sign}", flush=True)


def shown() -> MainWindow:
    window = MainWindow(Session(Settings(SETTINGS)))
    window.resize(1400, 900)
    window.show()
    QTest.qWait(100)
    for name in LOADED_BEHIND:
        import_module(name)
    return window


def main() -> None:
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    if len(sys.argv) > 1:
        long_one = Path(sys.argv[1])
    else:
        from make_long_outing import make_long_outing

        long_one = make_long_outing(HOME)[0]
    app = QApplication(sys.argv[:1])
    window = shown()
    evening(window, long_one)
    window.close()
    window.session.close()
    again = shown()
    watched(again, "start with the library remembered", again.library.start)
    again.close()
    app.quit()


def evening(window: MainWindow, long_one: Path) -> None:
    session, acts = window.session, window.actions_by_slot
    parts = window.page_loader.parts
    watched(window, "page of the outing made behind", parts.make_soon)
    watched(window, "demo outing opened", lambda: session.open_demo(demo_files()[:1], DEMO_AIM))
    watched(window, "10 h outing opened", lambda: window.open([long_one]))
    tabs = window.page.tabs
    for at in range(tabs.count()):
        watched(window, f"tab {tabs.tabText(at)}", lambda at=at: tabs.setCurrentIndex(at))
    for tab in (1, 3):
        tabs.setCurrentIndex(tab)
        settle(window)
        watched(window, f"edge dragged, tab {tabs.tabText(tab)}", lambda: drag(window))
    watched(window, "undo", acts["undo"].trigger)
    watched(window, "demo library opened", acts["demo_library"].trigger)
    watched(window, "library shown", acts["show_library"].trigger)
    pages = window.library.page.tabs
    for at in range(pages.count()):
        watched(window, f"page {pages.tabText(at)}", lambda at=at: pages.setCurrentIndex(at))
    pages.setCurrentIndex(0)
    watched(window, "week", acts["show_week"].trigger)
    watched(window, "own library made", acts["my_library"].trigger)
    watched(
        window,
        "route planned",
        lambda: window.routes.open_paths([next(each for each in demo_files() if each.suffix == ".gpx")]),
    )
    for slot in ("show_preferences", "show_guide", "explain_figures"):
        watched(window, slot.replace("_", " "), acts[slot].trigger)
    choose = session.display.choose
    watched(window, "miles and feet", lambda: choose(Preferences(units=Units.IMPERIAL)))
    watched(window, "dark", lambda: choose(Preferences(look=Appearance.DARK)))
    watched(window, "large texts", lambda: choose(Preferences(text_percent=130)))
    choose(Preferences())
    settle(window)


def drag(window: MainWindow) -> None:
    edge = window.page.charts.heart.edges.upper
    for step in range(60):
        edge.setValue(131 + step % 25)
        edge.sigDragged.emit(edge)
        QTest.qWait(12)
    edge.sigPositionChangeFinished.emit(edge)


if __name__ == "__main__":
    main()
