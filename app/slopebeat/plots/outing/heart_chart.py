"""The heart rate of one of two outings side by side, on scales they share."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtWidgets import QWidget

from slopebeat.model.people import Aim
from slopebeat.plots.chart import ChartStack
from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.panels import idle_spans
from slopebeat.review.outing import Review

ROOM_BPM = 6.0
"""Left free above and below the heart rates [project choice]."""

LEAST_SPAN_S = 60.0


def common_scales(reviews: Sequence[Review]) -> tuple[float, tuple[float, float]]:
    """Length of the longest outing, s, and the heart rates that hold both outings and their bands."""
    span = max([LEAST_SPAN_S, *(review.recording.span_s for review in reviews)])
    values = np.concatenate([np.append(r.track.hr_bpm, _edges(r.aim)) for r in reviews])
    known = values[np.isfinite(values)]
    if not known.size:
        return span, (60.0, 180.0)
    return span, (float(known.min()) - ROOM_BPM, float(known.max()) + ROOM_BPM)


def _edges(aim: Aim) -> Sequence[float]:
    return () if aim.band is None else (aim.band.lower_bpm, aim.band.upper_bpm)


class HeartChart(ChartStack):
    """Heart rate over time against the band."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.panel = HeartPanel()
        self.panel.plot.setMouseEnabled(x=False, y=False)
        self.addItem(self.panel.plot)
        self.ci.setContentsMargins(4, 4, 8, 4)
        self.setMinimumSize(220, 150)

    def show_review(self, review: Review, span_s: float, hr_bpm: tuple[float, float]) -> None:
        """Draw a review on scales shared with another."""
        scale = XScale(review.track.t_s)
        self.panel.show(review, scale)
        self.panel.idle.set_spans(idle_spans(review.track, scale))
        self.panel.plot.setXRange(0.0, span_s, padding=0.0)
        self.panel.plot.setYRange(*hr_bpm, padding=0.0)
        self.panel.show_range(0.0, span_s)
