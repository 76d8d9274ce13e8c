"""Render the window with the demo outings to ``resources/screenshots``.

    python tests/make_screenshots.py [FOLDER]

The pictures of the guide are made in every language it is written in, to ``resources/guide/pictures``.

Runs without a display.
"""

from __future__ import annotations

import os
import re
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "app"))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# The demo library is built afresh, apart from the one of the person who runs this.
os.environ["XDG_DATA_HOME"] = tempfile.mkdtemp()

from PySide6.QtCore import QEventLoop, QSize, Qt, QTimer  # noqa: E402
from PySide6.QtWidgets import QApplication, QFrame, QWidget  # noqa: E402

from helpers.checks import not_none  # noqa: E402
from slopebeat.files.reading import read_recordings  # noqa: E402
from slopebeat.model import language, measures  # noqa: E402
from slopebeat.plots.colours import DARK, LIGHT  # noqa: E402
from slopebeat.session.outing.opening import DEMO_AIM, demo_files  # noqa: E402
from slopebeat.session.outing.view_state import Rate  # noqa: E402
from slopebeat.session.session import Session  # noqa: E402
from slopebeat.session.settings import Settings  # noqa: E402
from slopebeat.window.ground.page import GroundPage  # noqa: E402
from slopebeat.window.shell.main_window import MainWindow  # noqa: E402
from slopebeat.window.week.page import PLAN_AFTER_MS  # noqa: E402
from slopebeat.window.widgets.style import paint_app_sign  # noqa: E402

LONGEST_WAIT_MS = 180_000

GUIDE_SIZE = QSize(1200, 760)
"""Of the window in the pictures of the guide."""

CLOSE_SIZE, WIDER_SIZE = QSize(1020, 700), QSize(1120, 740)
"""... where the words of a whole page are to be read."""

LEFT_OUT_POINTS = 80
"""Of the walk that is cut in two: four minutes, as one who forgets to start the device again."""

GUIDE_PX = 780
"""Widest picture of the guide; the page it stands on is a little wider."""


def pause(milliseconds: int) -> None:
    """Let the window and what is behind it work; the waiting of the test tools holds Python back."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def wait_until(done: object) -> None:
    waited = 0
    while not done() and waited < LONGEST_WAIT_MS:  # type: ignore[operator]
        pause(50)
        waited += 50
    pause(150)


def settle(window: MainWindow) -> None:
    session = window.session
    wait_until(lambda: not session.opening.reading and session.background.idle and session.steps.idle)


def drawn(window: MainWindow) -> None:
    """Wait until everything that was asked for is on screen."""
    pause(300)
    wait_until(lambda: window.session.steps.idle)


def shoot_library(window: MainWindow, shoot: Callable[[str], None]) -> None:
    """The library of the demo: list, months, two outings side by side."""
    library = window.session.library

    def rest() -> None:
        wait_until(lambda: library.idle and library.outings.up_to_date and window.session.background.idle)

    window.library.demo_library()
    rest()
    shoot("library")
    window.library.show_months()
    settle(window)
    shoot("months")
    window.resize(QSize(1280, 720))
    shoot("months_1280x720")
    window.resize(QSize(1400, 900))
    window.library.page.tabs.setCurrentWidget(window.library.page.list)
    rows = library.outings.shown.rows
    library.compare(rows[1].outing.identity, rows[-2].outing.identity)
    rest()
    settle(window)
    shoot("compare")


def save_for_guide(part: QWidget, path: Path) -> None:
    """Scaled here, smoothly, because the help shows pictures as they are."""
    picture = part.grab()
    if picture.width() > GUIDE_PX:
        picture = picture.scaledToWidth(GUIDE_PX, Qt.TransformationMode.SmoothTransformation)
    picture.save(str(path))


def page_card(page: QWidget) -> QWidget:
    """The card in the middle of the first screen."""
    return page.findChild(QFrame, "card") or page


def maker(window: MainWindow, folder: Path) -> Callable[..., None]:
    """Makes a picture by its name, of a part of the window in some size."""

    def guide(name: str, part: QWidget, size: QSize = GUIDE_SIZE) -> None:
        window.resize(size)
        settle(window)
        drawn(window)
        save_for_guide(part, folder / f"{name}.png")

    return guide


def shoot_guide(window: MainWindow, folder: Path) -> None:
    """The pictures of the user guide: parts of the window, small enough to be read in a page."""
    folder.mkdir(parents=True, exist_ok=True)
    page = window.page

    guide = maker(window, folder)
    window.stack.setCurrentWidget(window.welcome)
    guide("start", page_card(window.welcome))
    window.stack.setCurrentWidget(page)
    window.session.outing.choose(0)
    settle(window)
    guide("answer", page.answer)
    whole = page.answer.show_all()
    guide("longer", whole)
    whole.close()
    page.tabs.setCurrentIndex(1)
    page.episodes.pick(2)
    guide("why", page.shares, QSize(1400, 900))
    window.session.selection.clear()
    window.session.visible.reset()
    page.tabs.setCurrentWidget(page.ceiling)
    guide("hold", page.tabs, QSize(1400, 1000))
    window.resize(QSize(1400, 900))


def shoot_guide_library(window: MainWindow, folder: Path) -> None:
    """Months, the week, ground gone again and a plan, after the demo library is there."""
    session, page = window.session, window.library.page

    guide = maker(window, folder)
    window.library.show_months()
    guide("months", page, GUIDE_SIZE)
    page.tabs.setCurrentWidget(not_none(page.findChild(GroundPage)))
    wait_until(lambda: session.library.idle and bool(session.ground.ground.places))
    guide("ground", page, WIDER_SIZE)
    board = window.weeks.board
    window.weeks.show_week()
    wait_until(lambda: bool(board.board.rows))
    board.step(-1)
    settle(window)
    # The one whose week lacks something: there is more to say to him.
    window.weeks.page.table.pick(1)
    pause(PLAN_AFTER_MS * 2)
    guide("week", window.weeks.page, CLOSE_SIZE)
    window.routes.open_paths([way_of_the_hike(Path(tempfile.mkdtemp()))])
    wait_until(lambda: session.route.plan is not None and session.route.idle)
    guide("plan", window.routes.controller.page, GUIDE_SIZE)
    window.resize(QSize(1400, 900))


def way_of_the_hike(folder: Path) -> Path:
    """The way up to the hut as a file without times, as a map program would draw it."""
    (read,) = read_recordings(demo_files()[0])
    records = read.samples.frame().dropna(subset=["lat_deg", "lon_deg", "elevation_m"])
    points = "".join(
        f'<rtept lat="{each.lat_deg:.6f}" lon="{each.lon_deg:.6f}"><ele>{each.elevation_m:.1f}</ele></rtept>'
        for each in records.iloc[: len(records) // 2 : 15].itertuples()
    )
    path = folder / "hut_path.gpx"
    head = '<gpx version="1.1" creator="pictures" xmlns="http://www.topografix.com/GPX/1/1"><rte>'
    path.write_text(f"{head}<name>Hut path</name>{points}</rte></gpx>", encoding="utf-8")
    return path


def shoot_guide_day(window: MainWindow, folder: Path) -> None:
    """The card of a day in parts: the demo walk, cut in two."""
    walk = demo_files()[2].read_text(encoding="utf-8")
    points = re.findall(r"<trkpt.*?</trkpt>", walk, re.DOTALL)
    half, made = len(points) // 2, Path(tempfile.mkdtemp())
    head, foot = walk[: walk.index("<trkpt")], walk[walk.rindex("</trkpt>") + len("</trkpt>") :]
    for name, part in (("there", points[:half]), ("back", points[half + LEFT_OUT_POINTS :])):
        (made / f"{name}.gpx").write_text(head + "\n".join(part) + foot, encoding="utf-8")
    window.session.open_demo([made / "there.gpx", made / "back.gpx"], DEMO_AIM)
    settle(window)
    window.notice.hide()
    card = window.page.column.day
    wait_until(lambda: not card.isHidden())
    guide = maker(window, folder)
    guide("day", card)
    window.resize(QSize(1400, 900))


def shoot_german_guide(folder: Path) -> None:
    """The same pictures for the German guide, in a window that speaks it."""
    language.use_language("de")
    measures.use_decimal_sign(",")
    window = made_window()
    library = window.session.library
    window.open_demo()
    settle(window)
    window.notice.hide()
    shoot_guide(window, folder)
    window.library.demo_library()
    wait_until(lambda: library.idle and library.outings.up_to_date and window.session.background.idle)
    shoot_guide_library(window, folder)
    shoot_guide_day(window, folder)
    window.close()


def made_window() -> MainWindow:
    """A window as it is at the first start."""
    window = MainWindow(Session(Settings(Path(tempfile.mkdtemp()) / "settings.json")), LIGHT)
    window.resize(QSize(1400, 900))
    window.show()
    return window


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "resources" / "screenshots"
    folder.mkdir(parents=True, exist_ok=True)
    app = QApplication(sys.argv[:1])
    window = made_window()

    def shoot(name: str) -> None:
        drawn(window)
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
    guide_pictures = (folder.parent if len(sys.argv) == 1 else folder) / "guide" / "pictures"
    shoot_guide(window, guide_pictures)
    shoot_library(window, shoot)
    shoot_guide_library(window, guide_pictures)
    shoot_guide_day(window, guide_pictures)
    icons = ROOT / "resources" / "icons"
    icons.mkdir(parents=True, exist_ok=True)
    for side in (64, 256):
        paint_app_sign(side).save(str(icons / f"slopebeat_{side}.png"))
    window.close()
    shoot_german_guide(guide_pictures / "de")
    app.quit()


if __name__ == "__main__":
    main()
