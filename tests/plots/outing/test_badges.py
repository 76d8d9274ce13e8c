"""Numbers of climbs on the profile never lie over one another, however many there are."""

from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from slopebeat.plots.overlay import Span, SpanItem, SpanStyle

FRAME = QRectF(0.0, 0.0, 800.0, 60.0)


@pytest.mark.parametrize(("count", "all_shown"), [(10, True), (66, False)])
def test_no_number_lies_over_another(qapp: object, count: int, all_shown: bool) -> None:
    item = SpanItem(SpanStyle("panel", "ground", opacity=0.0, badge=True), 12)
    spans = [
        Span(at * 86400 / count, (at + 0.5) * 86400 / count, f"{at + 1}", f"{at + 1}") for at in range(count)
    ]
    item.set_spans(spans)
    image = QImage(800, 60, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    item.paint_pixels(painter, FRAME, QRectF(0.0, 0.0, 86400.0, 1.0))
    painter.end()
    boxes = [box for _, box in item._badges]
    assert not any(one.intersects(other) for one, other in combinations(boxes, 2))
    assert (len(boxes) == count) is all_shown
    assert len(boxes) >= 10
