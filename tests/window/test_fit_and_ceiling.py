"""What the fit shows: the line beside the recorded heart rate, what it leaves, and the speed to hold."""

from __future__ import annotations

import numpy as np
import pytest

from slopebeat.session.view_state import Rate
from slopebeat.window.main_window import MainWindow
from window_acts import review_of


def test_the_fitted_heart_rate_is_a_second_line_by_choice(ride: MainWindow) -> None:
    def drawn() -> np.ndarray:
        y = ride.page.charts.heart.fit.item.getData()[1]
        return np.zeros(0) if y is None else y[np.isfinite(y)]

    assert not drawn().size
    ride.commands.switch_fitted()
    fitted = review_of(ride).response.fitted_hr_bpm
    assert fitted is not None
    assert np.array_equal(drawn(), fitted[np.isfinite(fitted)])
    assert "smooth line" in ride.page.charts.heart.caption.text
    ride.commands.switch_fitted()
    assert not drawn().size


def test_the_residual_is_recorded_less_fitted_heart_rate(ride: MainWindow) -> None:
    ride.session.charts.set_rate(Rate.RESIDUAL)
    review = review_of(ride)
    drawn = ride.page.charts.rate.line.item.yData
    expected = review.track.hr_bpm - review.response.fitted_hr_bpm
    expected = expected[np.isfinite(expected)]
    shown = drawn[np.isfinite(drawn)]
    assert shown.size == pytest.approx(expected.size, rel=0.01)
    assert np.mean(shown) == pytest.approx(np.mean(expected), abs=0.05)
    assert np.ptp(shown) == pytest.approx(np.ptp(expected), rel=0.2)
