"""What the chart of the heart rate shows, beside its picture."""

from __future__ import annotations

import numpy as np
import pytest

from helpers.recordings import recording
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.review.outing import review_recording

T = np.arange(1800.0)


@pytest.mark.parametrize(
    ("heart", "band", "shown"),
    [
        # The band with 3 bpm on either side is 97 to 153, and 8 % of these 56 bpm are left free.
        (125.0, Band(100, 150), (92.52, 157.48)),
        # A steady heart rate far over the band: 109 to 170, and 8 % of 61 bpm.
        (170.0, Band(112, 131), (104.12, 174.88)),
        # A narrow band alone would fill the chart: thirty beats at least, about its middle, and 8 % of them.
        (120.0, Band(116, 124), (102.6, 137.4)),
    ],
)
def test_the_band_is_always_in_sight_with_room_around_it(
    qapp: object, heart: float, band: Band, shown: tuple[float, float]
) -> None:
    panel = HeartPanel()
    panel.show(review_recording(recording(T, hr=heart), Aim(band)), XScale(T))
    assert panel.box.viewRange()[1] == pytest.approx(shown)
