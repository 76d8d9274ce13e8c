"""Odd real recordings are drawn without an error, a warning, or a figure out of nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.window_acts import next_review, wait_drawn
from slopebeat.session.outing.opening import DEMO_AIM
from slopebeat.session.outing.view_state import Along, Rate
from slopebeat.window.shell.main_window import MainWindow


@pytest.mark.parametrize(
    "name",
    ["few_times.gpx", "no_heart_rate.tcx", "chained_triathlon.fit", "steep_hike_long_stop.tcx"],
)
def test_it_is_drawn_along_time_and_distance(
    ride: MainWindow, qtbot: QtBot, recordings: Path, name: str
) -> None:
    ride.session.aim.enter(DEMO_AIM)
    with next_review(ride.session, qtbot):
        ride.open([recordings / name])
    for tab in range(ride.page.tabs.count()):
        ride.page.tabs.setCurrentIndex(tab)
        wait_drawn(ride.session, qtbot)
    # Along distance and back, with each rate; the charts alone follow either.
    for _ in range(len(Along) * len(Rate)):
        ride.commands.switch_along()
        ride.commands.switch_rate()
        wait_drawn(ride.session, qtbot)
    assert ride.page.answer.headline.text().endswith(".")
    review = ride.session.outing.review
    assert review is not None
    shown = ride.page.charts.heart.box.viewRange()[0]
    assert shown == pytest.approx([0.0, ride.session.visible.full_s], abs=1)
