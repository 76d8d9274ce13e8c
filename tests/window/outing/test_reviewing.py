"""Reviewing an outing as a person does: band, charts, tables, plan, cursor."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS, WAIT_S
from helpers.window_acts import heard, next_review, review_of, wait_drawn
from slopebeat.model.marks import Channel, Mark
from slopebeat.model.notes import Note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.outing import Review, review_recording
from slopebeat.review.present.cursor import CURSOR_FIGURES
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.window.shell.main_window import MainWindow


def chart_point(window: MainWindow, x: float) -> QPoint:
    """Where on the charts widget a moment lies, halfway up the uppermost panel."""
    charts = window.page.charts
    box = charts.heart.box
    y = sum(box.viewRange()[1]) / 2
    return QPoint(charts.mapFromScene(box.mapViewToScene(QPointF(x, y))))


def test_without_a_band_the_charts_show_and_the_band_is_asked_for(
    window: MainWindow, qtbot: QtBot, ride_file: Path
) -> None:
    with next_review(window.session, qtbot):
        window.open([ride_file])
    assert review_of(window).aim.band is None
    assert window.page.charts.heart.band.edges_bpm is None
    assert window.page.answer.choose.isVisible()
    assert "not medical advice" in window.page.answer.detail.text()
    qtbot.mouseClick(window.page.answer.choose, Qt.MouseButton.LeftButton)
    assert window.page.aim.band.lower_edge.hasFocus()


def test_entering_a_band_by_its_edges_counts_the_minutes_at_once(
    window: MainWindow, qtbot: QtBot, ride_file: Path
) -> None:
    with next_review(window.session, qtbot):
        window.open([ride_file])
    window.page.aim.band.lower_edge.setValue(112)
    with next_review(window.session, qtbot):
        window.page.aim.band.upper_edge.setValue(131)
    review = review_of(window)
    assert review.account is not None
    assert not window.page.answer.choose.isVisible()
    assert window.page.answer.headline.text().startswith(f"{round(review.account.in_band_s / 60)} min of")
    assert window.page.charts.heart.band.edges_bpm == (112, 131)


def test_a_wider_band_counts_more(ride: MainWindow, qtbot: QtBot) -> None:
    before = review_of(ride).account
    with next_review(ride.session, qtbot):
        ride.page.aim.band.upper_edge.setValue(150)
    after = review_of(ride).account
    assert before is not None
    assert after is not None
    assert after.in_band_s > before.in_band_s


def test_band_from_maximal_heart_rate_is_rounded_outward(ride: MainWindow, qtbot: QtBot) -> None:
    entry = ride.page.aim.band
    qtbot.keyClick(entry.method, Qt.Key.Key_Down)
    assert entry.method.currentText() == "From maximal heart rate"
    with next_review(ride.session, qtbot):
        entry.hr_max.setValue(187)
    # 60-70 % of 187 is 112.2-130.9.
    assert str(review_of(ride).aim.band) == "112-131 bpm"


def test_edges_the_wrong_way_round_are_explained_not_used(ride: MainWindow, qtbot: QtBot) -> None:
    with next_review(ride.session, qtbot):
        ride.page.aim.band.lower_edge.setValue(140)
    assert "lower edge under its upper edge" in ride.page.aim.problem.text()
    assert review_of(ride).aim.band is None


def test_a_longer_target_needs_a_longer_outing(ride: MainWindow, qtbot: QtBot) -> None:
    before = review_of(ride).extension
    with next_review(ride.session, qtbot):
        ride.page.aim.target.setValue(90)
    after = review_of(ride).extension
    assert before is not None
    assert after is not None
    assert before.needed_s is not None
    assert after.needed_s == pytest.approx(2 * before.needed_s)


def test_the_review_runs_beside_the_window_and_only_the_last_one_counts(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    import threading

    threads: list[threading.Thread] = []
    first_may_end = threading.Event()

    def reviewer(
        recording: Recording,
        aim: Aim,
        marks: tuple[Mark, ...] | None = None,
        notes: Sequence[Note] = (),
    ) -> Review:
        assert aim.band is not None
        threads.append(threading.current_thread())
        if aim.band.upper_bpm == 140:
            first_may_end.wait(WAIT_S)
        return review_recording(recording, aim, marks, notes)

    monkeypatch.setattr(ride.session.outing, "_reviewer", reviewer)
    shown: list[int] = []

    def show() -> None:
        shown.append(not_none(review_of(ride).aim.band).upper_bpm)

    with heard(ride.session.outing.reviewed, show):
        ride.page.aim.band.upper_edge.setValue(140)
        qtbot.waitUntil(lambda: len(threads) == 1, timeout=WAIT_MS)
        ride.page.aim.band.upper_edge.setValue(145)
        qtbot.waitUntil(lambda: shown == [145], timeout=WAIT_MS)
        first_may_end.set()
        qtbot.waitUntil(lambda: ride.session.background.idle, timeout=WAIT_MS)
    assert shown == [145]
    assert threading.main_thread() not in threads


def test_the_aim_is_remembered_for_the_next_start(own_ride: MainWindow, qtbot: QtBot) -> None:
    from slopebeat.session.session import Session

    again = Session()
    assert str(again.aim.aim.band) == "112-131 bpm"
    again.close()


def test_selecting_a_climb_zooms_to_it_and_highlights_it(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.climbs.pick(1)
    climb, visible = review_of(ride).climbs[1], ride.session.visible
    length = climb.end_s - climb.start_s
    assert visible.start_s == pytest.approx(climb.start_s - 0.15 * length)
    assert visible.end_s == pytest.approx(climb.end_s + 0.15 * length)
    for panel in ride.page.charts.panels:
        shown = panel.box.viewRange()[0]
        assert shown == pytest.approx([visible.start_s, visible.end_s])
        (span,) = panel.highlight.spans
        assert (span.start_x, span.end_x) == (climb.start_s, climb.end_s)


def test_selecting_an_episode_unselects_the_climb(ride: MainWindow) -> None:
    ride.page.climbs.pick(0)
    ride.page.tabs.setCurrentIndex(1)
    ride.page.episodes.pick(2)
    assert ride.page.climbs.picked_row() is None
    assert ride.session.selection.start_s == review_of(ride).episodes[2].start_s


def test_sorting_by_gain_keeps_rows_and_their_climbs_together(ride: MainWindow, qtbot: QtBot) -> None:
    table = ride.page.climbs
    gain = [c.header for c in table.rows._columns].index("Gain\nm")
    table.sortByColumn(gain, Qt.SortOrder.DescendingOrder)
    table.selectRow(0)
    highest = max(review_of(ride).climbs, key=lambda climb: climb.gain_m)
    assert ride.session.selection.start_s == highest.start_s


def test_a_selected_climb_stays_selected_when_the_band_changes(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.climbs.pick(1)
    before = ride.session.visible.start_s, ride.session.visible.end_s
    with next_review(ride.session, qtbot):
        ride.page.aim.band.upper_edge.setValue(135)
    assert ride.page.climbs.picked_row() == 1
    assert (ride.session.visible.start_s, ride.session.visible.end_s) == before


def test_whole_outing_resets_the_zoom(ride: MainWindow) -> None:
    ride.page.climbs.pick(1)
    ride.commands.whole_outing()
    assert ride.session.visible.start_s == 0
    assert ride.session.visible.end_s == review_of(ride).recording.span_s


def test_moving_the_mouse_over_a_chart_moves_cursor_and_readout(ride: MainWindow, qtbot: QtBot) -> None:
    place = chart_point(ride, 2000.0)
    qtbot.mouseMove(ride.page.charts.viewport(), place)
    qtbot.waitUntil(lambda: ride.session.cursor.t_s is not None, timeout=WAIT_MS)
    t_s = ride.session.cursor.t_s
    assert t_s == pytest.approx(2000.0, abs=20)
    for panel in ride.page.charts.panels:
        assert panel.cursor.isVisible()
        assert panel.cursor.value() == t_s
    track = review_of(ride).track
    at = int(np.searchsorted(track.t_s, not_none(t_s), side="right")) - 1
    values = readout(ride)
    assert values["Heart rate bpm"] == f"{track.hr_bpm[at]:.0f}"
    assert values["Elevation m"] == f"{track.elevation_m[at]:.0f}"


def readout(window: MainWindow) -> dict[str, str]:
    labels = {label.accessibleName(): label.text() for label in window.page.findChildren(QLabel)}
    texts = {figure.caption: labels[f"{figure.caption} at the cursor"] for figure in CURSOR_FIGURES}
    # On a low page the unit stands behind the figure instead of in its caption.
    return {
        name: text.split(" ")[0] if text[:1].isdigit() and name != "Band" else text
        for name, text in texts.items()
    }


def test_readout_says_the_band_state_in_words(ride: MainWindow) -> None:
    track = review_of(ride).track
    for bpm, word in ((None, "not known"), (90, "below"), (120, "in band"), (145, "above")):
        where = np.isnan(track.hr_bpm) if bpm is None else track.hr_bpm == bpm
        ride.session.cursor.move(float(track.t_s[np.flatnonzero(where)[0]]))
        assert readout(ride)["Band"] == word


def test_wheel_zooms_about_the_mouse_and_tells_the_session(ride: MainWindow, qtbot: QtBot) -> None:
    from PySide6.QtGui import QWheelEvent
    from PySide6.QtWidgets import QApplication

    charts = ride.page.charts
    place = chart_point(ride, 3000.0)
    full = ride.session.visible.end_s - ride.session.visible.start_s
    event = QWheelEvent(
        QPointF(place),
        QPointF(charts.viewport().mapToGlobal(place)),
        QPoint(0, 0),
        QPoint(0, 240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(charts.viewport(), event)
    visible = ride.session.visible
    assert visible.end_s - visible.start_s < full
    assert visible.start_s < 3000.0 < visible.end_s
    assert charts.rate.box.viewRange()[0] == pytest.approx([visible.start_s, visible.end_s], abs=1)


def test_keys_pan_zoom_and_reset_while_the_charts_have_the_focus(ride: MainWindow, qtbot: QtBot) -> None:
    charts, visible = ride.page.charts, ride.session.visible
    qtbot.keyClick(charts, Qt.Key.Key_Plus)
    zoomed = visible.start_s, visible.end_s
    assert zoomed[1] - zoomed[0] == pytest.approx(0.7 * visible.full_s)
    qtbot.keyClick(charts, Qt.Key.Key_Left)
    assert visible.start_s < zoomed[0]
    qtbot.keyClick(charts, Qt.Key.Key_Home)
    assert (visible.start_s, visible.end_s) == (0.0, visible.full_s)


def test_clicking_the_plan_moves_the_cursor_to_that_place(ride: MainWindow, qtbot: QtBot) -> None:
    plan, track = ride.page.plan, review_of(ride).track
    at = len(track) // 3
    box = plan.getViewBox()
    scene = box.mapViewToScene(QPointF(plan._places.east_m[at], plan._places.north_m[at]))
    place = plan.mapFromScene(scene)
    qtbot.mouseClick(plan.viewport(), Qt.MouseButton.LeftButton, pos=place)
    found = ride.session.cursor.t_s
    assert found is not None
    near = int(np.searchsorted(track.t_s, found, side="right")) - 1
    away = np.hypot(
        plan._places.east_m[near] - plan._places.east_m[at],
        plan._places.north_m[near] - plan._places.north_m[at],
    )
    pixel_m = box.viewPixelSize()[0]
    assert away < 3 * pixel_m


def test_the_cursor_shows_on_the_plan(ride: MainWindow) -> None:
    ride.session.cursor.move(1500.0)
    (east,), (north,) = ride.page.plan.dot.getData()
    at = int(np.searchsorted(review_of(ride).track.t_s, 1500.0, side="right")) - 1
    assert (east, north) == (ride.page.plan._places.east_m[at], ride.page.plan._places.north_m[at])


def test_along_distance_the_axis_ends_at_the_distance(ride: MainWindow, qtbot: QtBot) -> None:
    ride.commands.switch_along()
    wait_drawn(ride.session, qtbot)
    assert ride.session.charts.along is Along.DISTANCE
    shown = ride.page.charts.heart.box.viewRange()[0]
    assert shown == pytest.approx([0.0, float(review_of(ride).track.distance_m[-1])], rel=1e-6, abs=1)
    ride.commands.switch_along()
    wait_drawn(ride.session, qtbot)
    assert ride.page.charts.heart.box.viewRange()[0][1] == pytest.approx(review_of(ride).recording.span_s)


def test_lowest_chart_switches_to_vertical_speed(ride: MainWindow, qtbot: QtBot) -> None:
    ride.commands.switch_rate()
    wait_drawn(ride.session, qtbot)
    assert ride.session.charts.rate is Rate.VERTICAL
    assert ride.page.charts.rate.caption.text == "Vertical speed, m/h"


def test_pauses_and_gaps_break_the_line_and_are_named(ride: MainWindow) -> None:
    track = review_of(ride).track
    pauses, gaps = int(np.sum(track.pause_s > 0)), int(np.sum((track.gap_s > 0) & (track.pause_s == 0)))
    texts = [span.text for span in ride.page.charts.heart.idle.spans]
    assert sum(text.startswith("pause ") for text in texts) == pauses > 0
    assert sum(text.startswith("gap ") for text in texts) == gaps > 0


def test_doubted_heart_rate_is_hatched_where_it_is_marked(ride: MainWindow) -> None:
    marked = {(m.start_s, m.end_s) for m in review_of(ride).marks if m.channel is Channel.HEART_RATE}
    shown = {(span.start_x, span.end_x) for span in ride.page.charts.heart.doubt.spans}
    assert shown == marked
    assert marked


def test_cursor_keys_step_from_record_to_record(ride: MainWindow, qtbot: QtBot) -> None:
    track = review_of(ride).track
    ride.session.cursor.move(float(track.t_s[100]))
    ride.commands.cursor_on()
    assert ride.session.cursor.t_s == track.t_s[101]
    ride.commands.cursor_back()
    ride.commands.cursor_back()
    assert ride.session.cursor.t_s == track.t_s[99]
