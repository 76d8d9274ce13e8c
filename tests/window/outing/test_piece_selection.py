"""Pointing: what is clicked on the bar, in the causes, on the charts or the plan is selected everywhere."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from pytestqt.qtbot import QtBot

from helpers.window_acts import review_of, wait_drawn
from slopebeat.session.outing.view_state import AROUND_S, Picked
from slopebeat.window.shell.main_window import MainWindow

LEFT = Qt.MouseButton.LeftButton


def test_a_piece_of_the_bar_marks_its_stretches_and_a_second_click_shows_one(
    ride: MainWindow, qtbot: QtBot
) -> None:
    bar, chosen = ride.page.answer.picture.bar, ride.session.selection
    account = review_of(ride).account
    assert account is not None
    # The bar begins with the time in band, then above: both as long as their share of the span.
    x = round((account.in_band_s + 0.3 * account.above_s) / account.span_s * bar.width())
    assert bar.words_at(x).startswith("Above ")
    qtbot.mouseClick(bar, LEFT, pos=QPoint(x, bar.height() - 2))
    assert (chosen.kind, chosen.key) == (Picked.PART, "above")
    count = len(chosen.stretches)
    assert count > 1
    for panel in ride.page.charts.panels:
        assert [(s.start_x, s.end_x) for s in panel.highlight.spans] == list(chosen.stretches)
    east, _ = ride.page.plan.picked.getData()
    assert np.isfinite(east).any()
    qtbot.mouseClick(bar, LEFT, pos=QPoint(x, bar.height() - 2))
    assert (chosen.start_s, chosen.end_s) == chosen.stretches[0]
    ride.commands.previous_stretch()
    assert (chosen.start_s, chosen.end_s) == chosen.stretches[-1]
    visible = ride.session.visible
    assert visible.start_s <= chosen.start_s < chosen.end_s <= visible.end_s
    assert [s.text for s in ride.page.charts.heart.name.spans] == [f"Above, {count} of {count}"]


def test_a_cause_is_picked_by_click_and_by_arrow_and_frames_its_part(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.tabs.setCurrentWidget(ride.page.out_of_band)
    wait_drawn(ride.session, qtbot)
    rows, chosen = ride.page.causes.table, ride.session.selection
    assert rows is not None
    first, second, *_ = rows.rows
    qtbot.mouseClick(rows, LEFT, pos=rows.rows[first].box.center())
    assert (chosen.kind, chosen.key, rows.marked) == (Picked.CAUSE, first.value, first)
    qtbot.keyClick(rows, Qt.Key.Key_Down)
    assert (chosen.key, rows.marked) == (second.value, second)
    assert ride.page.answer.picture.bar._marked == ride.session.piece_selection.part_shown != ""


def test_a_climb_is_picked_by_its_badge_on_the_chart_and_on_the_plan(ride: MainWindow, qtbot: QtBot) -> None:
    ride.page.tabs.setCurrentWidget(ride.page.notes)
    ride.grab()
    for view, badges in (
        (ride.page.charts, ride.page.charts.ground.climbs._badges),
        (ride.page.plan, ride.page.plan.marks._badges),
    ):
        number, box = badges[-1]
        ride.session.selection.clear()
        ride.session.visible.reset()
        qtbot.mouseClick(view.viewport(), LEFT, pos=view.mapFromScene(box.center()))
        assert (ride.session.selection.kind, ride.session.selection.index) == (Picked.CLIMB, number)
        assert ride.page.tabs.currentWidget() is ride.page.climbs
        wait_drawn(ride.session, qtbot)
        assert ride.page.climbs.picked_row() == number


def test_a_coloured_stretch_of_the_plan_selects_its_episode(ride: MainWindow, qtbot: QtBot) -> None:
    plan, review = ride.page.plan, review_of(ride)
    number = max(range(len(review.episodes)), key=lambda i: review.episodes[i].end_s)
    episode = review.episodes[number]
    times = plan._t_s[plan._way.sample]
    at = int(np.searchsorted(times, (episode.start_s + episode.end_s) / 2))
    scene = plan.getViewBox().mapViewToScene(QPointF(plan._drawn[0][at], plan._drawn[1][at]))
    told = ride.session.piece_selection.words_at(float(times[at]))
    assert told.startswith(("Above: ", "Below: "))
    qtbot.mouseClick(plan.viewport(), LEFT, pos=plan.mapFromScene(scene))
    assert ride.session.selection.kind is Picked.EPISODE
    wait_drawn(ride.session, qtbot)
    assert ride.page.episodes.picked_row() == ride.session.selection.index


def test_a_short_episode_is_shown_with_minutes_around_it(ride: MainWindow) -> None:
    review, visible = review_of(ride), ride.session.visible
    short = min(review.episodes, key=lambda each: each.end_s - each.start_s)
    assert short.end_s - short.start_s < 60.0
    assert ride.session.piece_selection.episode_at(short.start_s)
    assert visible.end_s - visible.start_s == pytest.approx(1.3 * AROUND_S)
