"""The edges of the band under the hand: everything follows while they move, and one undo takes it back."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsItem, QWidget
from pytestqt.qtbot import QtBot

from helpers.checks import same
from helpers.paints import Paints
from helpers.patience import WAIT_MS
from helpers.window_acts import next_review, review_of, wait_drawn
from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.bands import Band
from slopebeat.review.outing import review_recording
from slopebeat.session import steps
from slopebeat.window.outing.stretches import EPISODE_COLUMNS
from slopebeat.window.shell.main_window import MainWindow


def at_bpm(window: MainWindow, bpm: float) -> QPointF:
    """Where a heart rate lies on the charts widget, in the middle of what is seen."""
    charts = window.page.charts
    box = charts.heart.box
    x = sum(box.viewRange()[0]) / 2
    return QPointF(charts.mapFromScene(box.mapViewToScene(QPointF(x, bpm))))


def settled(window: MainWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: window.session.background.idle and window.session.steps.idle, timeout=WAIT_MS)


def mouse(window: MainWindow, kind: QEvent.Type, bpm: float, held: Qt.MouseButton) -> None:
    """One event of the mouse over the charts, with the button held that a person would hold."""
    view, place = window.page.charts.viewport(), at_bpm(window, bpm)
    changed = Qt.MouseButton.NoButton if kind is QEvent.Type.MouseMove else Qt.MouseButton.LeftButton
    no_key = Qt.KeyboardModifier.NoModifier
    # Moves of one hundredth of a second are taken for one by the charts.
    QTest.qWait(15)
    event = QMouseEvent(kind, place, view.mapToGlobal(place), changed, held, no_key)
    QApplication.sendEvent(view, event)


def drag(window: MainWindow, qtbot: QtBot, start_bpm: float, *stops_bpm: float) -> None:
    """Take what lies at a heart rate and carry it over these, without letting go."""
    mouse(window, QEvent.Type.MouseMove, start_bpm + 20, Qt.MouseButton.NoButton)
    mouse(window, QEvent.Type.MouseMove, start_bpm, Qt.MouseButton.NoButton)
    mouse(window, QEvent.Type.MouseButtonPress, start_bpm, Qt.MouseButton.LeftButton)
    for bpm in stops_bpm:
        mouse(window, QEvent.Type.MouseMove, bpm, Qt.MouseButton.LeftButton)
        settled(window, qtbot)


def drop(window: MainWindow, qtbot: QtBot, bpm: float) -> None:
    mouse(window, QEvent.Type.MouseButtonRelease, bpm, Qt.MouseButton.NoButton)
    settled(window, qtbot)


def band_of(window: MainWindow) -> Band:
    band = review_of(window).aim.band
    assert band is not None
    return band


def test_the_answer_follows_an_edge_while_it_is_dragged(ride: MainWindow, qtbot: QtBot) -> None:
    before = review_of(ride)
    headline = ride.page.answer.headline.text()
    drag(ride, qtbot, 131, 135, 140)
    during = review_of(ride)
    assert abs(band_of(ride).upper_bpm - 140) <= 1
    assert band_of(ride).lower_bpm == 112
    assert ride.page.answer.headline.text() != headline
    assert before.account is not None
    assert during.account is not None
    assert during.account.in_band_s > before.account.in_band_s
    assert ride.session.aim.trying
    # Only while an edge is in the hand is what lies under it kept as a picture.
    under = ride.page.charts.heart.lines[BandState.ABOVE].item.curve
    assert under.cacheMode() is not QGraphicsItem.CacheMode.NoCache
    drop(ride, qtbot, 140)
    assert under.cacheMode() is QGraphicsItem.CacheMode.NoCache
    # What was shown on the way is what a review from the beginning says of this band, in every figure.
    assert same(during, review_recording(during.recording, during.aim))
    assert same(review_of(ride), review_recording(during.recording, review_of(ride).aim))


def test_a_whole_drag_is_one_act(ride: MainWindow, qtbot: QtBot) -> None:
    drag(ride, qtbot, 131, 133, 136, 139, 142)
    drop(ride, qtbot, 142)
    assert abs(band_of(ride).upper_bpm - 142) <= 1
    assert not ride.session.aim.trying
    with next_review(ride.session, qtbot):
        ride.session.history.undo()
    assert band_of(ride) == Band(112, 131)
    assert ride.page.charts.heart.edges.upper.value() == 131


def test_edges_never_cross(ride: MainWindow, qtbot: QtBot) -> None:
    drag(ride, qtbot, 112, 120, 150)
    drop(ride, qtbot, 150)
    assert band_of(ride) == Band(130, 131)


def test_the_scale_stands_still_under_the_hand(ride: MainWindow, qtbot: QtBot) -> None:
    scale = ride.page.charts.heart.box.viewRange()[1]
    drag(ride, qtbot, 131, 150)
    assert ride.page.charts.heart.box.viewRange()[1] == pytest.approx(scale)
    drop(ride, qtbot, 150)


def test_keys_move_the_edges(ride: MainWindow, qtbot: QtBot) -> None:
    for slot, band in (
        ("upper_edge_up", Band(112, 132)),
        ("upper_edge_down", Band(112, 131)),
        ("lower_edge_up", Band(113, 131)),
        ("lower_edge_down", Band(112, 131)),
    ):
        with next_review(ride.session, qtbot):
            ride.actions_by_slot[slot].trigger()
        assert band_of(ride) == band


def test_nothing_of_a_drag_is_remembered_before_it_ends(ride: MainWindow, qtbot: QtBot) -> None:
    drag(ride, qtbot, 131, 145)
    assert ride.session.settings.content.entered.choice.upper_bpm == 131
    drop(ride, qtbot, 145)
    wait_drawn(ride.session, qtbot)
    assert abs((ride.session.settings.content.entered.choice.upper_bpm or 0) - 145) <= 1


def carry(window: MainWindow, qtbot: QtBot, bpm: float) -> None:
    """Move the edge that is in the hand."""
    mouse(window, QEvent.Type.MouseMove, bpm, Qt.MouseButton.LeftButton)
    settled(window, qtbot)


LASTS = [column.name for column in EPISODE_COLUMNS].index("Lasts")


def on_screen(widget: QWidget) -> QImage:
    """What was painted of a widget."""
    window, place = widget.window(), widget.mapTo(widget.window(), QPoint(0, 0))
    part = (place.x(), place.y(), widget.width(), widget.height())
    picture = window.screen().grabWindow(window.winId(), *part)
    return picture.toImage().convertToFormat(QImage.Format.Format_RGB32)


def anew(widget: QWidget) -> QImage:
    """What a widget shows when all of it is painted."""
    return widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def test_all_that_is_watched_follows_each_band_and_is_painted_once(
    ride: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    # However slow the machine, all is drawn in one turn.
    monkeypatch.setattr(steps, "TOGETHER_S", float(WAIT_MS))
    page = ride.page
    page.tabs.setCurrentIndex(1)
    page.episodes.sortByColumn(LASTS, Qt.SortOrder.DescendingOrder)
    drag(ride, qtbot, 131, 135)
    QApplication.processEvents()  # On a busy machine this band may still have to be painted.
    followed = {
        "account": page.answer.picture.bar,
        "plan": page.plan.viewport(),
        "episodes": page.episodes.viewport(),
        "causes": page.causes.viewport(),
    }
    paints = Paints(**followed, target=page.aim.target, body=page.aim.body, lower=page.aim.band.lower_edge)
    table, shown = page.episodes.viewport(), []
    for bpm in (138, 141, 144):
        carry(ride, qtbot, bpm)
        QApplication.processEvents()
        # Of the episodes only cells are painted that say something else, and none of those is forgotten.
        shown.append(on_screen(table))
        assert shown[-1] == anew(table)
        paints.times["episodes"] -= 1
    assert shown[0] != shown[-1]
    page.episodes.sortByColumn(0, Qt.SortOrder.AscendingOrder)
    paints.close()
    drop(ride, qtbot, 144)
    # One painting each; where rows come or go, the room for the bars beside them is painted once more.
    assert all(paints.times[name] <= 6 for name in followed), paints.times
    assert all(paints.times[name] >= 3 for name in followed if name != "episodes"), paints.times
    # What shows the same number as before is not painted at all.
    assert not {"target", "body", "lower"} & set(paints.times)


def test_what_no_band_changes_is_drawn_once_in_a_drag(ride: MainWindow, qtbot: QtBot) -> None:
    heart, plan = ride.page.charts.heart, ride.page.plan
    drag(ride, qtbot, 131, 135)
    ride.grab()
    kept = (*heart.in_hand.kept, plan.marks.kept)
    drawn = [picture.times_drawn for picture in kept]
    for bpm in (138, 141, 144):
        carry(ride, qtbot, bpm)
        ride.grab()
    assert [picture.times_drawn for picture in kept] == drawn
    assert heart.in_hand.isVisible()
    assert not any(line.item.isVisible() for line in heart.lines.values())
    drop(ride, qtbot, 144)
    assert not heart.in_hand.isVisible()
    assert all(line.item.isVisible() for line in heart.lines.values())


def pictures(window: MainWindow, qtbot: QtBot) -> dict[str, QImage]:
    """What the page shows beside the charts, whose height hangs on the figures of the mouse."""
    page = window.page
    window.session.cursor.move(None)
    page.column.fit()
    settled(window, qtbot)
    views: dict[str, QWidget] = {"answer": page.answer, "plan": page.plan, "aim": page.aim}
    views |= {"episodes": page.episodes, "causes": page.causes}
    return {name: view.grab().toImage() for name, view in views.items()}


def lines(window: MainWindow) -> tuple[object, ...]:
    """What is drawn of the heart rate, and on which scale."""
    heart = window.page.charts.heart
    drawn = [line.item.getData() for line in heart.lines.values()]
    return tuple(drawn), heart.box.viewRange(), heart.band.edges_bpm, heart.words.edges_bpm


def test_after_a_drag_everything_looks_as_if_the_band_had_been_typed(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.tabs.setCurrentIndex(1)
    entered = ride.session.aim.entered
    with next_review(ride.session, qtbot):
        ride.session.edit_aim(replace(entered, choice=replace(entered.choice, upper_bpm=141)))
    typed, drawn = pictures(ride, qtbot), lines(ride)
    with next_review(ride.session, qtbot):
        ride.session.history.undo()
    drag(ride, qtbot, 131, 150, 136, 141)
    drop(ride, qtbot, 141)
    assert band_of(ride) == Band(112, 141)
    dragged = pictures(ride, qtbot)
    assert [name for name, picture in typed.items() if picture != dragged[name]] == []
    assert same(lines(ride), drawn)
