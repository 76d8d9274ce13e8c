"""What the fit shows: the line beside the recorded heart rate, what it leaves, and the speed to hold."""

from __future__ import annotations

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.recordings import track
from helpers.window_acts import review_of, wait_drawn
from slopebeat.model.message import message
from slopebeat.plots.outing.ceiling_chart import walked
from slopebeat.review.present.hold import HoldRow
from slopebeat.session.outing.view_state import Rate
from slopebeat.window.shell.main_window import MainWindow


def test_the_fitted_heart_rate_is_a_second_line_by_choice(ride: MainWindow, qtbot: QtBot) -> None:
    def drawn() -> np.ndarray:
        y = ride.page.charts.heart.fit.item.getData()[1]
        return np.zeros(0) if y is None else y[np.isfinite(y)]

    assert not drawn().size
    ride.commands.switch_fitted()
    wait_drawn(ride.session, qtbot)
    fitted = review_of(ride).response.fitted_hr_bpm
    assert fitted is not None
    assert np.array_equal(drawn(), fitted[np.isfinite(fitted)])
    assert "smooth line" in ride.page.charts.heart.caption.text
    ride.commands.switch_fitted()
    wait_drawn(ride.session, qtbot)
    assert not drawn().size


def test_the_residual_is_recorded_less_fitted_heart_rate(ride: MainWindow, qtbot: QtBot) -> None:
    ride.session.charts.set_rate(Rate.RESIDUAL)
    wait_drawn(ride.session, qtbot)
    review = review_of(ride)
    drawn = ride.page.charts.rate.line.item.yData
    expected = review.track.hr_bpm - not_none(review.response.fitted_hr_bpm)
    expected = expected[np.isfinite(expected)]
    shown = drawn[np.isfinite(drawn)]
    assert shown.size == pytest.approx(expected.size, rel=0.01)
    assert np.mean(shown) == pytest.approx(np.mean(expected), abs=0.05)
    assert np.ptp(shown) == pytest.approx(np.ptp(expected), rel=0.2)


def test_the_speed_to_hold_is_that_of_the_review_in_km_h(ride: MainWindow) -> None:
    page = ride.page
    page.tabs.setCurrentWidget(page.ceiling)
    found = review_of(ride).ceiling
    assert found is not None
    model = page.ceiling.table.rows
    shown = {
        model.rows[model.order[row]].grade: (model.index(row, 1).data(), model.index(row, 2).data())
        for row in range(model.rowCount())
    }
    for grade, speed in zip(found.grade, found.speed_mps, strict=True):
        if np.isfinite(speed):
            kmh, climb = shown[float(grade)]
            assert float(kmh) == pytest.approx(3.6 * speed, abs=0.051)
            # m/h = km/h times grade in percent times ten, shown to ten metres.
            assert float(climb.replace("−", "-")) == pytest.approx(36 * speed * 100 * grade, abs=5.1)
    held = page.ceiling.chart.hold.getData()[1]
    assert np.array_equal(held[np.isfinite(held)], 3.6 * found.speed_mps[np.isfinite(found.speed_mps)])
    assert page.ceiling.sentence.text().startswith("Hold under ")


def test_without_a_usable_fit_the_reason_stands_in_place_of_a_speed(ride: MainWindow, qtbot: QtBot) -> None:
    from dataclasses import replace

    from slopebeat.analysis.response.fit import FitStatus

    review = review_of(ride)
    response = replace(
        review.response,
        status=FitStatus.TOO_SHORT,
        reason=message("response.too_short", used=720.0, least=1800.0),
    )
    ride.session.outing.review = replace(review, response=response, ceiling=None)
    ride.session.outing.reviewed.emit()
    ride.page.tabs.setCurrentWidget(ride.page.ceiling)
    wait_drawn(ride.session, qtbot)
    assert ride.page.ceiling.pages.currentWidget() is ride.page.ceiling.nothing
    assert "12 minutes of moving after the first 10 are too few" in ride.page.ceiling.nothing.text()


def test_an_open_interval_is_left_open_not_filled_in() -> None:
    row = HoldRow(0.1, 1.0, np.nan, 1.2, 0.1, 300.0, False, False)
    assert row.interval == "up to 4.3"
    assert HoldRow(0.1, 1.0, 0.5, np.nan, 0.1, 300.0, False, False).interval == "from 1.8"
    assert HoldRow(0.1, np.nan, np.nan, np.nan, np.nan, 300.0, True, False).speed == "any seen"


def test_dots_are_means_over_half_minutes_of_moving_time() -> None:
    t = np.arange(0.0, 131.0)
    # A minute at 1 m/s on 5 %, then 70 s at 2 m/s on 10 %: four whole half-minutes, and 10 s too few.
    made = track(t, speed=np.where(t < 60, 1.0, 2.0), grade=np.where(t < 60, 0.05, 0.10))
    grade, speed = walked(made)
    assert grade[0] == pytest.approx(0.05)
    assert speed[0] == pytest.approx(1.0)
    assert grade[-1] == pytest.approx(0.10)
    assert speed[-1] == pytest.approx(2.0)
    assert grade.size == 4
