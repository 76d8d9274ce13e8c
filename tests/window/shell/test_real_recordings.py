"""Odd real recordings are drawn without an error, a warning, or a figure out of nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.window_acts import next_review, wait_drawn
from slopebeat.session.outing.opening import DEMO_AIM
from slopebeat.window.shell.main_window import MainWindow


@pytest.mark.parametrize(
    "name",
    ["few_times.gpx", "no_heart_rate.tcx", "chained_triathlon.fit", "steep_hike_long_stop.tcx"],
)
def test_it_is_drawn_along_time_and_distance(
    window: MainWindow, qtbot: QtBot, recordings: Path, name: str
) -> None:
    window.session.aim.enter(DEMO_AIM)
    with next_review(window.session, qtbot):
        window.open([recordings / name])
    for tab in range(window.page.tabs.count()):
        window.page.tabs.setCurrentIndex(tab)
        for _ in range(2):  # along distance and back
            window.commands.switch_along()
            window.commands.switch_rate()
            wait_drawn(window.session, qtbot)
    assert window.page.answer.headline.text().endswith(".")
    review = window.session.outing.review
    assert review is not None
    shown = window.page.charts.heart.box.viewRange()[0]
    assert shown == pytest.approx([0.0, window.session.visible.full_s], abs=1)
