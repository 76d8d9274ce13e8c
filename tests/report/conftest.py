"""Reports need fonts, and fonts need an application: the one all tests share."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtWidgets import QApplication

from helpers.recordings import recording
from slopebeat.model.bands import Band
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.model.spans import Spans
from slopebeat.review.outing import Review, review_recording

BAND = Band(112, 131)


@pytest.fixture(autouse=True)
def _application(qapp: QApplication) -> None:
    """Made before a report could make a smaller one."""


def hike() -> Recording:
    """Two hours up and down with a high stretch, a low stretch and a pause of 400 s."""
    t = np.concatenate((np.arange(3000.0), np.arange(3400.0, 7200.0)))

    def heart(s: np.ndarray) -> np.ndarray:
        return np.asarray(
            np.where((s > 1000) & (s < 2600), 145.0, np.where(s > 5000, 100.0, 120.0)) + (s % 3)
        )

    def ground(s: np.ndarray) -> np.ndarray:
        return 800.0 + 250.0 * np.sin(np.pi * np.clip((s - 900.0) / 5400.0, 0.0, 1.0))

    return recording(t, hr=heart, elevation=ground, pauses=Spans.from_pairs([(3000.0, 3400.0)]))


@pytest.fixture(scope="session")
def review() -> Review:
    return review_recording(hike(), Aim(BAND))


@pytest.fixture(scope="session")
def without_band() -> Review:
    return review_recording(hike(), Aim())
