"""Render the window with the demo outings to ``resources/screenshots``.

    python tests/make_screenshots.py [FOLDER]

Runs without a display.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# The demo library is built afresh, apart from the one of the person who runs this.
os.environ["XDG_DATA_HOME"] = tempfile.mkdtemp()

from PySide6.QtCore import QSize  # noqa: E402
from PySide6.QtTest import QTest  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from slopebeat.plots.colours import DARK, LIGHT  # noqa: E402
from slopebeat.session.demo import demo_files  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.session.view_state import Rate  # noqa: E402
from slopebeat.window.icon import paint_sign  # noqa: E402
from slopebeat.window.main_window import MainWindow  # noqa: E402

LONGEST_WAIT_MS = 60_000


def wait_until(done: object) -> None:
    waited = 0
    while not done() and waited < LONGEST_WAIT_MS:  # type: ignore[operator]
        QTest.qWait(50)
        waited += 50
    QTest.qWait(150)


def settle(window: MainWindow) -> None:
    wait_until(lambda: not window.session.opening.reading and window.session.background.idle)


def shoot_library(window: MainWindow, shoot: Callable[[str], None]) -> None:
    """The library of the demo: list, months, two outings side by side."""
    library = window.session.library

    def rest() -> None:
        wait_until(lambda: library.idle and library.outings.up_to_date and window.session.background.idle)

    window.desk.demo_library()
    rest()
    shoot("library")
    window.desk.show_months()
    shoot("months")
    window.resize(QSize(1280, 720))
    shoot("months_1280x720")
    window.resize(QSize(1400, 900))
    window.desk.page.tabs.setCurrentWidget(window.desk.page.list)
    rows = library.outings.shown.rows
    library.compare(rows[1].outing.identity, rows[-2].outing.identity)
    rest()
    shoot("compare")


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "resources" / "screenshots"
    folder.mkdir(parents=True, exist_ok=True)
    app = QApplication(sys.argv[:1])
    window = MainWindow(Session(Settings(Path(tempfile.mkdtemp()) / "settings.json")), LIGHT)
    window.resize(QSize(1400, 900))
    window.show()

    def shoot(name: str) -> None:
        QTest.qWait(200)
        window.grab().save(str(folder / f"{name}.png"))

    shoot("start")
    window.session.open([demo_files()[0]])
    settle(window)
    shoot("no_band")
    window.open_demo()
    settle(window)
    shoot("demo_notice")
    window.notice.hide()
    window.session.cursor.move(3200.0)
    shoot("hike")
    window.page.climbs.pick(1)
    window.session.cursor.move(6200.0)
    shoot("hike_climb")
    window.session.selection.clear()
    window.session.visible.reset()
    window.commands.switch_along()
    window.commands.switch_rate()
    window.page.tabs.setCurrentWidget(window.page.decoupling)
    shoot("hike_distance")
    window.page.tabs.setCurrentWidget(window.page.ceiling)
    window.commands.switch_fitted()
    window.session.charts.set_rate(Rate.RESIDUAL)
    shoot("hike_fit")
    window.commands.switch_fitted()
    window.session.charts.set_rate(Rate.VERTICAL)
    window.commands.switch_along()
    window.session.charts.set_rate(Rate.SPEED)
    window.session.outing.choose(1)
    settle(window)
    window.page.tabs.setCurrentIndex(1)
    window.session.cursor.move(2400.0)
    shoot("bike")
    window.page.tabs.setCurrentWidget(window.page.recording)
    window.resize(QSize(1280, 720))
    shoot("bike_1280x720")
    window.resize(QSize(1400, 900))
    window.page.tabs.setCurrentIndex(0)
    window.apply(DARK)
    shoot("bike_dark")
    window.apply(LIGHT)
    shoot_library(window, shoot)
    icons = ROOT / "resources" / "icons"
    icons.mkdir(parents=True, exist_ok=True)
    for side in (64, 256):
        paint_sign(side).save(str(icons / f"slopebeat_{side}.png"))
    window.close()
    app.quit()


if __name__ == "__main__":
    main()
