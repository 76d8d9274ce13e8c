"""Pace for walkers and runners where it is wished for; a ride is always told in speed."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from helpers.window_acts import wait_drawn
from slopebeat.model import measures
from slopebeat.model.measures import MISSING, OWN_SPEED, System
from slopebeat.session.settings import Preferences, Units
from slopebeat.window.outing.readout import Readout
from slopebeat.window.shell.main_window import MainWindow

WALK = Path(__file__).parents[3] / "samples" / "lake_shore_walk.gpx"


def test_pace_is_time_over_distance() -> None:
    """A marathon, 42.195 km (World Athletics, rule 54), in 2:00:35 is 2:51 a kilometre and 4:36 a mile."""
    speed = 42_195.0 / 7_235.0
    measures.use_pace(True)
    assert OWN_SPEED.text(speed) == "2:51 min/km"
    assert OWN_SPEED.text(0.0) == MISSING
    assert OWN_SPEED.text(0.1) == MISSING
    measures.use_system(System.IMPERIAL)
    assert OWN_SPEED.text(speed) == "4:36 min/mi"
    measures.use_pace(False)
    assert OWN_SPEED.text(speed) == "13.0 mph"


def test_a_walk_is_told_in_pace_and_a_ride_in_speed(ride: MainWindow, qtbot: QtBot) -> None:
    page, session = ride.page, ride.session
    session.display.choose(Preferences(units=Units.METRIC, pace=True))
    wait_drawn(session, qtbot)
    assert "km/h" in page.answer.figures.text()
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.open([WALK])
    wait_drawn(session, qtbot)
    assert "min/km" in page.answer.figures.text()
    assert "km/h" not in page.answer.figures.text()
    session.cursor.move(600.0)
    readout = not_none(page.findChild(Readout))
    minutes, seconds = readout.values["at_speed"].text().split()[0].split(":")
    review = session.outing.review
    assert review is not None
    gone = float(review.track.speed_mps[int(review.track.t_s.searchsorted(600.0, side="right")) - 1])
    assert 60 * int(minutes) + int(seconds) == pytest.approx(1000.0 / gone, abs=0.51)
    session.display.choose(Preferences(units=Units.METRIC))
    wait_drawn(session, qtbot)
    assert "km/h" in page.answer.figures.text()
