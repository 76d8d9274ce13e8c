"""Planning a route in the window, as a person does: open, edit, mark a loop, hand on."""

from __future__ import annotations

import math
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import gpxpy
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.earlier_outings import keep_teachers
from helpers.own_home import use_home
from helpers.patience import WAIT_MS
from helpers.window_acts import drop, heard
from helpers.window_state import state_of
from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.library.store import Library
from slopebeat.model.people import Athlete
from slopebeat.plots.colours import DARK, LIGHT
from slopebeat.session.route.route import RoutePlanning, Wanted
from slopebeat.window.route.actions import is_planned_way
from slopebeat.window.route.page import RoutePage
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog
from window.conftest import new_window, put_away

WARDEN = "0" * 32
LENGTH_M, RING_FROM_M, RING_M = 3000.0, 500.0, 2000.0


@pytest.fixture(scope="module")
def way_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented way: 500 m to a ring of 2 km over two humps of 80 m, and back."""
    rows = []
    for i in range(151):
        s = 20.0 * i
        angle = 2.0 * math.pi * (s - RING_FROM_M) / RING_M
        radius = RING_M / (2.0 * math.pi)
        on_ring = RING_FROM_M <= s <= RING_FROM_M + RING_M
        east = RING_FROM_M + radius * math.sin(angle) if on_ring else min(s, LENGTH_M - s)
        north = radius * (1.0 - math.cos(angle)) if on_ring else 0.0
        height = 1200.0 + (40.0 * (1.0 - math.cos(2.0 * angle)) if on_ring else 0.0)
        lat = 46.9 + north / 111_195.0
        lon = 11.6 + east / 111_195.0 / math.cos(math.radians(46.9))
        rows.append(f'<rtept lat="{lat:.7f}" lon="{lon:.7f}"><ele>{height:.1f}</ele></rtept>')
    path = tmp_path_factory.mktemp("way") / "hut_round.gpx"
    path.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<rte><name>Round of the hut</name>{''.join(rows)}</rte></gpx>"
    )
    return path


@pytest.fixture(scope="module")
def library_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library of eight walks and six rides of one athlete; every test opens a copy."""
    place = tmp_path_factory.mktemp("made") / "walks.sqlite3"
    with Library.create(place) as opened:
        opened.athletes.add(Athlete(WARDEN, "Hut warden"))
        keep_teachers(opened, WARDEN)
        keep_teachers(opened, WARDEN, 6, on_bike=True)
    return place


@dataclass
class Planned:
    """The window of the module on a planned way, once a test wanted it, and how it was then."""

    home: Path
    window: MainWindow | None = None
    plan: RoutePlan | None = None
    wanted: Wanted = field(default_factory=Wanted)
    fresh: Sequence[object] = ()


@pytest.fixture(scope="module")
def once_planned(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Planned]:
    made = Planned(tmp_path_factory.mktemp("home"))
    yield made
    if made.window is not None:
        put_away(made.window)


@pytest.fixture
def planned(
    once_planned: Planned,
    qtbot: QtBot,
    way_file: Path,
    library_file: Path,
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> MainWindow:
    """The window on a planned way, band 112-131 typed on the page, opened by the menu.

    After a test what was wanted and planned is put back; where that leaves anything on screen or in the
    session other than it was, the next test gets a new window.
    """
    use_home(once_planned.home, monkeypatch)
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: way_file)
    window = once_planned.window
    if window is not None:
        put_back(window, once_planned)
        if state_of(window) != once_planned.fresh:
            put_away(window)
            window = None
    if window is None:
        window = once_planned.window = new_window()
        plan_way(window, qtbot, Path(shutil.copy(library_file, tmp_path_factory.mktemp("library"))))
        once_planned.plan, once_planned.wanted = window.session.route.plan, window.session.route.wanted
        once_planned.fresh = state_of(window)
    return window


def plan_way(window: MainWindow, qtbot: QtBot, library: Path) -> None:
    window.session.library.opened.open(library)
    qtbot.waitUntil(lambda: len(window.session.library.opened.rows) == 14, timeout=WAIT_MS)
    window.actions_by_slot["plan_route"].trigger()
    qtbot.waitUntil(
        lambda: window.session.route.route is not None and window.session.route.idle, timeout=WAIT_MS
    )
    page(window).entry.from_bpm.setValue(112)
    page(window).entry.to_bpm.setValue(131)
    settle(window, qtbot)


def put_back(window: MainWindow, once: Planned) -> None:
    """Show the first plan again, as if it had just been made."""
    planning = window.session.route
    window.notice.hide()
    window.apply(LIGHT)
    for _ in range(2):  # Another sport brings its own band first.
        planning.set_wanted(once.wanted)
    planning.cancel()
    planning.plan, planning._of = once.plan, once.wanted
    planning.planned.emit()


def page(window: MainWindow) -> RoutePage:
    return window.routes.controller.page


def settle(window: MainWindow, qtbot: QtBot) -> RoutePlanning:
    planning = window.session.route
    qtbot.waitUntil(lambda: planning.idle and planning.plan is not None, timeout=WAIT_MS)
    return planning


def test_the_page_is_made_only_when_a_route_is_wanted(window: MainWindow) -> None:
    assert window.routes._parts.begun is None
    assert window.stack.currentWidget() is window.welcome


def test_a_route_is_asked_for_its_band_and_then_planned(planned: MainWindow, qtbot: QtBot) -> None:
    shown, plan = page(planned), planned.session.route.plan
    assert planned.stack.currentWidget() is shown
    assert plan is not None
    assert (plan.band.lower_bpm, plan.band.upper_bpm) == (112, 131)
    # Two humps of 80 m: 40 (1 - cos) has an amplitude of 40 m.
    assert shown.climbs.rows.rowCount() == len(plan.climbs) == 2
    assert plan.ascent_m == pytest.approx(160.0, abs=6.0)
    assert "Learnt from 8 outings of Hut warden" in shown.outings_panel.words.text()
    names = [name.text() for name in shown.strategies.names]
    assert names == ["as usual", "held at 122 bpm"]
    # DIN 33466: 3 km are 45 min; 160 m up at 300 m/h and down at 500 m/h are 51 min; 51 + 45 / 2 = 74 min.
    assert "DIN 33466: 1 h 14 min" in shown.strategies.times.text()
    assert "no forecast" in shown.strategies.caution.text()


def test_cautions_stand_on_the_page(planned: MainWindow) -> None:
    said = " ".join(label.text() for label in page(planned).findChildren(QLabel) if label.isVisible())
    for words in ("estimate", "Weather", "daylight", "local people", "turn back", "seek care"):
        assert words in said


def test_an_edit_of_the_target_plans_again_and_only_once(planned: MainWindow, qtbot: QtBot) -> None:
    planning, made = planned.session.route, []
    with heard(planning.planned, lambda: made.append(planning.plan)):
        for minutes in (30, 60, 90):
            page(planned).entry.target.setValue(minutes)
        settle(planned, qtbot)
    assert len(made) == 1
    assert not_none(made[0]).target_s == 5400.0
    assert "1 h 30 min" in page(planned).answer.text()


def test_a_ride_has_no_walking_times_and_its_own_teachers(planned: MainWindow, qtbot: QtBot) -> None:
    entry, before = page(planned).entry, planned.session.route.plan
    entry.ground.setCurrentIndex(2)
    entry.ground.activated.emit(2)
    plan = settle(planned, qtbot).plan
    assert plan is not None
    assert before is not None
    assert plan.on_bike
    assert plan.usual.total_s.middle < before.usual.total_s.middle
    assert "not applicable to a ride" in page(planned).strategies.times.text()
    assert entry.bike.isEnabled()


def test_load_and_time_already_out_reach_the_plan(planned: MainWindow, qtbot: QtBot) -> None:
    entry, before = page(planned).entry, planned.session.route.plan
    entry.load.setValue(20.0)
    entry.out.setValue(120)
    plan = settle(planned, qtbot).plan
    assert plan is not None
    assert before is not None
    assert (plan.conditions.load_kg, plan.conditions.hours_out) == (20.0, 2.0)
    # The walker's heart drifts by 2 bpm/h; of so few outings the drift is known to a few beats.
    risen = plan.usual.mean_bpm.middle - before.usual.mean_bpm.middle
    assert 0.0 < risen < 10.0
    assert plan.usual.total_s.middle > before.usual.total_s.middle


def test_the_heart_rate_to_hold_is_entered_and_empty_is_the_middle_of_the_band(
    planned: MainWindow, qtbot: QtBot
) -> None:
    entry, before = page(planned).entry, planned.session.route.plan
    assert before is not None
    assert before.hold.hold_bpm == 121.5
    entry.hold.setValue(115)
    plan = settle(planned, qtbot).plan
    assert plan is not None
    assert plan.hold.hold_bpm == 115.0
    assert plan.hold.total_s.middle > before.hold.total_s.middle
    assert [name.text() for name in page(planned).strategies.names] == ["as usual", "held at 115 bpm"]
    entry.hold.setValue(entry.hold.minimum())
    assert planned.session.route.wanted.hold_bpm is None
    settle(planned, qtbot)


def test_runs_are_asked_for_apart_and_too_few_are_said(planned: MainWindow, qtbot: QtBot) -> None:
    entry = page(planned).entry
    entry.ground.setCurrentIndex(1)
    entry.ground.activated.emit(1)
    qtbot.waitUntil(lambda: page(planned).problem.isVisible(), timeout=WAIT_MS)
    assert "needs 5 outings of the sport" in page(planned).problem.text()
    assert "DIN 33466 1 h 14 min" in page(planned).problem.text()


def test_the_pace_changes_what_is_shown_without_planning_again(planned: MainWindow, qtbot: QtBot) -> None:
    entry, plan = page(planned).entry, planned.session.route.plan
    assert plan is not None
    entry.pace.setCurrentIndex(1)
    entry.pace.activated.emit(1)
    assert planned.session.route.wanted.pace is StrategyName.USUAL
    assert planned.session.route.plan is plan
    assert page(planned).profile.middle.yData == pytest.approx(plan.usual.course.hr_bpm)
    assert "as usual" in page(planned).profile.heart.caption.text


def test_a_stretch_drawn_on_the_profile_snaps_to_where_the_ring_closes(
    planned: MainWindow, qtbot: QtBot
) -> None:
    page(planned).entry.target.setValue(180)
    profile = page(planned).profile
    start, end = (screen_place(planned, at) for at in (RING_FROM_M - 30.0, RING_FROM_M + RING_M + 25.0))
    qtbot.mousePress(profile.viewport(), Qt.MouseButton.LeftButton, pos=start)
    for step in range(1, 6):
        qtbot.mouseMove(profile.viewport(), start + (end - start) * step / 5.0, delay=20)
    qtbot.mouseRelease(profile.viewport(), Qt.MouseButton.LeftButton, pos=end)
    planning = settle(planned, qtbot)
    loop = planning.loop
    assert loop is not None
    assert loop.apart_m is not None
    # The way in and out of the ring is the same, so any pair as far from the ring on both sides closes.
    assert loop.apart_m < 15.0
    assert loop.end_m - loop.start_m == pytest.approx(RING_M, abs=130.0)
    assert planning.plan is not None
    usual, hold = planning.plan.laps
    assert usual.laps is None or usual.laps >= 1
    assert "Loop" in page(planned).strategies.laps.text()
    assert page(planned).loop.start.metres() == pytest.approx(loop.start_m, abs=6.0)
    assert hold.strategy is StrategyName.HOLD


def screen_place(window: MainWindow, at_m: float) -> QPoint:
    profile = page(window).profile
    scene = profile.ground.box.mapViewToScene(QPointF(at_m, 1230.0))
    return QPoint(profile.mapFromScene(scene))


def test_ends_of_a_loop_are_typed_and_told_when_far_apart(planned: MainWindow, qtbot: QtBot) -> None:
    loop = page(planned).loop
    loop.end.setValue(1.5)
    loop.start.setValue(0.5)
    settle(planned, qtbot)
    # Half of a ring of 2 km: its diameter, 2000 / pi = 637 m.
    found = planned.session.route.loop
    assert found is not None
    assert found.apart_m == pytest.approx(2000.0 / math.pi, rel=0.01)
    assert "No loop" in loop.words.text()
    assert any("going it again needs a way between" in text for text in planned.session.route.plan.warnings)  # type: ignore[union-attr]
    loop.clear.click()
    assert planned.session.route.wanted.loop_m is None
    settle(planned, qtbot)


def test_card_map_file_and_text_are_handed_on(
    planned: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    controller = planned.routes.controller
    for name, act in (("card.pdf", controller.save_card), ("way.gpx", controller.save_map)):
        monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, name=name: tmp_path / name)
        planned.notice.hide()
        act()
        qtbot.waitUntil(planned.notice.isVisible, timeout=WAIT_MS)
        assert name in planned.notice.text.text()
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF")
    read = gpxpy.parse((tmp_path / "way.gpx").read_text(encoding="utf-8"))
    assert len(read.waypoints) == 2
    controller.copy_plan()
    text = QGuiApplication.clipboard().text()
    assert "Climb 2 at" in text
    assert "turn back" in text
    assert planned.notice.text.text().endswith("was copied.")
    # While another plan is being made, what is handed on is said to be the one of before.
    planning = planned.session.route
    planning.set_wanted(replace(planning.wanted, hold_bpm=118.0))
    controller.copy_plan()
    assert "before the last change" in planned.notice.text.text()
    planning.cancel()


def test_a_wrong_suffix_saves_nothing_and_says_so(
    planned: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: tmp_path / "card.doc")
    planned.routes.controller.save_card()
    qtbot.waitUntil(lambda: "nothing was saved" in planned.notice.text.text(), timeout=WAIT_MS)
    assert not list(tmp_path.iterdir())


def test_planning_can_be_stopped_and_asked_for_again(planned: MainWindow, qtbot: QtBot) -> None:
    planning, before = planned.session.route, planned.session.route.plan
    page(planned).entry.target.setValue(77)
    planning.plan_now()
    assert planning.busy
    planning.cancel()
    assert planning.plan is before
    assert page(planned).again.isVisible()
    page(planned).again.click()
    settle(planned, qtbot)
    assert not page(planned).again.isVisible()
    assert planning.plan is not None
    assert planning.plan.target_s == 77 * 60.0


def test_a_way_without_times_dropped_anywhere_is_planned(
    window: MainWindow, qtbot: QtBot, way_file: Path, walk_file: Path
) -> None:
    assert is_planned_way(way_file)
    assert not is_planned_way(walk_file)
    drop(window, [way_file])
    qtbot.waitUntil(
        lambda: window.session.route.route is not None and window.session.route.idle, timeout=WAIT_MS
    )
    assert window.stack.currentWidget() is page(window)
    assert "needs a heart-rate band" in page(window).problem.text()


def test_a_file_that_is_no_route_is_told_and_the_window_stays(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "no.gpx").write_text("<gpx/>")
    monkeypatch.setattr(FileDialog, "ask_to_open", lambda *_: tmp_path / "no.gpx")
    window.actions_by_slot["plan_route"].trigger()
    qtbot.waitUntil(window.notice.isVisible, timeout=WAIT_MS)
    assert "no.gpx" in window.notice.text.text()
    assert window.stack.currentWidget() is window.welcome


def test_dark_colours_reach_the_profile(planned: MainWindow) -> None:
    planned.apply(DARK)
    assert page(planned).profile.backgroundBrush().color().name() == DARK.panel
