"""The window most tests share is the same, for all that can be told, as one that was just made."""

from __future__ import annotations

from itertools import zip_longest
from pathlib import Path

from pytestqt.qtbot import QtBot

from helpers.window_acts import next_review, review_of, wait_drawn
from helpers.window_state import state_of
from slopebeat.plots.outing.drag_mode import DragMode
from slopebeat.session.outing.view_state import Along, Picked, Rate
from slopebeat.window.shell.main_window import MainWindow
from window.conftest import Shared, give_back


def look_around(window: MainWindow, qtbot: QtBot) -> None:
    """All a test may do that changes nothing of the outing."""
    session, page, climb = window.session, window.page, review_of(window).climbs[1]
    window.resize(1100, 720)
    session.charts.set_along(Along.DISTANCE)
    session.charts.set_rate(Rate.VERTICAL)
    session.selection.select(Picked.CLIMB, 1, climb.start_s, climb.end_s)
    session.cursor.move(climb.start_s)
    session.visible.show(climb.start_s, climb.end_s)
    page.tabs.setCurrentIndex(3)
    page.charts.notes.mode.choose(DragMode.MEASURE)
    window.notice.say("something")
    wait_drawn(session, qtbot)
    window.stack.setCurrentWidget(window.welcome)


def differences(window: MainWindow, shared: Shared) -> list[object]:
    return [pair for pair in zip_longest(state_of(window), shared.fresh) if pair[0] != pair[1]]


def test_after_looking_it_is_as_it_was(
    ride: MainWindow, shared: Shared, qtbot: QtBot, ride_file: Path
) -> None:
    before = ride.session.outing.recordings
    look_around(ride, qtbot)
    give_back(shared, ride, qtbot, ride_file)
    assert differences(ride, shared) == []
    assert ride.session.outing.recordings is before


def test_after_an_edit_another_ride_is_open_and_nothing_tells_them_apart(
    ride: MainWindow, shared: Shared, qtbot: QtBot, ride_file: Path
) -> None:
    before = ride.session.outing.recordings
    with next_review(ride.session, qtbot):
        ride.session.move_edges(2, 2)
    ride.session.edit_title("Another")
    look_around(ride, qtbot)
    give_back(shared, ride, qtbot, ride_file)
    assert differences(ride, shared) == []
    assert ride.session.outing.recordings is not before
