"""What is written along the way: at the right places, apart from each other, and never on one another."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from slopebeat.model import measures
from slopebeat.plots.outing.way_marks import (
    APART_PX,
    DrawnWay,
    WayMarks,
    round_distances,
    turning_into,
)


def test_distances_lie_where_the_way_has_that_length() -> None:
    along = np.linspace(0.0, 12_345.0, 5000)
    pixels = np.linspace(0.0, 600.0, 5000)
    found = list(round_distances(along, pixels))
    # 12.3 km on 600 px: 46 px are 0.95 km, so every kilometre is written.
    assert [shown for _, shown in found] == [float(km) for km in range(1, 13)]
    assert [along[at] for at, _ in found] == pytest.approx([1000.0 * km for km in range(1, 13)], abs=3.0)


def test_distances_keep_apart_on_a_small_picture() -> None:
    along, pixels = np.linspace(0.0, 42_195.0, 5000), np.linspace(0.0, 300.0, 5000)
    places = [pixels[at] for at, _ in round_distances(along, pixels)]
    assert len(places) >= 4
    assert min(np.diff(places)) >= APART_PX - 1.0


def test_miles_are_written_where_miles_are_chosen() -> None:
    before = measures.system()
    measures.use_system(measures.System.IMPERIAL)
    try:
        along, pixels = np.linspace(0.0, 5000.0, 5000), np.linspace(0.0, 400.0, 5000)
        # A mile is 1609.344 m (NIST SP 811, appendix B.8).
        assert [along[at] for at, _ in round_distances(along, pixels)] == pytest.approx(
            [1609.344, 3218.688, 4828.032], abs=2.0
        )
    finally:
        measures.use_system(before)


@pytest.mark.parametrize(("degrees", "tip"), [(0.0, (1, 0)), (90.0, (0, -1)), (180.0, (-1, 0))])
def test_an_arrow_points_along_the_way(degrees: float, tip: tuple[int, int]) -> None:
    first = turning_into(math.radians(degrees)).at(0)
    size = math.hypot(first.x(), first.y())
    assert (first.x() / size, first.y() / size) == pytest.approx(tip, abs=1e-9)


def test_nothing_that_is_written_hides_another_and_every_climb_is(qapp: QApplication) -> None:
    # A way that comes back to where it began, with climbs whose feet lie close together.
    angle = np.linspace(0.0, 2 * np.pi, 400)
    along = np.linspace(0.0, 9000.0, 400)
    feet = (0, 3, 6, 200, 397)
    marks = WayMarks()
    marks.set_way(DrawnWay(1000 * np.cos(angle), 1000 * np.sin(angle), along, feet))
    picture = QImage(260, 260, QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    marks.paint_pixels(painter, QRectF(0, 0, 260, 260), QRectF(-1300, -1300, 2600, 2600))
    painter.end()
    drawn = marks.taken
    assert [number for number, _ in marks._badges] == [0, 1, 2, 3, 4]
    assert len(drawn) > len(feet) + 3
    for at, box in enumerate(drawn):
        # The ring and the square of a round trip stand for one place.
        assert not any(box.intersects(other) for other in drawn[max(at + 1, 2) :])
