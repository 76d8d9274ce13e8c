"""The ground of a planned way, filled by what the heart is expected to do on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from slopebeat.model.language import mark, tr
from slopebeat.model.track import Array
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme

STATE_WORDS = {-1: mark("below"), 0: mark("in band"), 1: mark("above")}
PATTERNS = {
    -1: Qt.BrushStyle.BDiagPattern,
    0: Qt.BrushStyle.NoBrush,
    1: Qt.BrushStyle.FDiagPattern,
}
"""Hatches say the same as the colours, as in the report: falling above the band, rising below it."""

UNSEEN_PX = 7
"""Height of the strip that flags grades never gone [project choice]."""

LEAST_RUN_PX = 3.0
"""A stretch narrower than this on the screen joins the one before it [project choice]."""


@dataclass(frozen=True, eq=False)
class StatedGround:
    """Arrays (n,) along the way: distance, elevation, side of the band (-1, 0, 1), grade gone before."""

    distance_m: Array
    elevation_m: Array
    state: np.ndarray
    seen: np.ndarray


def runs_of(values: np.ndarray, least: int = 1) -> list[tuple[int, int, int]]:
    """First index, index past the last, value of each run; short ones join the one before."""
    edges = np.flatnonzero(np.diff(values)) + 1
    bounds = [0, *edges.tolist(), values.size]
    runs: list[tuple[int, int, int]] = []
    for first, last in pairwise(bounds):
        value = int(values[first])
        if runs and (last - first < least or value == runs[-1][2]):
            runs[-1] = (runs[-1][0], last, runs[-1][2])
        else:
            runs.append((first, last, value))
    return runs


def _fill_of(state: int) -> QColor:
    colours = theme.colours
    return QColor({-1: colours.below_fill, 0: colours.ground_fill, 1: colours.above_fill}[state])


def _ink_of(state: int) -> QColor:
    colours = theme.colours
    return QColor({-1: colours.below, 0: colours.in_band, 1: colours.above}[state])


class StatesItem(PixelItem):
    """Fills the ground below its line by the expected side of the band: colour, hatch and words."""

    def __init__(self) -> None:
        super().__init__(-12)
        self.ground: StatedGround | None = None

    def set_ground(self, ground: StatedGround | None) -> None:
        self.ground = ground
        self.update()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        if self.ground is None or self.ground.distance_m.size < 2:
            return
        x = frame.left() + (self.ground.distance_m - view.left()) * frame.width() / view.width()
        y = frame.bottom() - (self.ground.elevation_m - view.top()) * frame.height() / view.height()
        step = max(float(x[1] - x[0]), 1e-6)
        for first, last, state in runs_of(self.ground.state, int(np.ceil(LEAST_RUN_PX / step))):
            self._fill(painter, frame, x[first : last + 1], y[first : last + 1], state)
        for first, last in self._unseen():
            self._flag(painter, frame, float(x[first]), float(x[min(last, x.size - 1)]))

    def _fill(self, painter: QPainter, frame: QRectF, x: Array, y: Array, state: int) -> None:
        outline = [QPointF(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
        outline += [QPointF(float(x[-1]), frame.bottom()), QPointF(float(x[0]), frame.bottom())]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(_fill_of(state))
        painter.drawPolygon(QPolygonF(outline))
        if PATTERNS[state] is not Qt.BrushStyle.NoBrush:
            ink = _ink_of(state)
            ink.setAlphaF(0.55)
            painter.setBrush(QBrush(ink, PATTERNS[state]))
            painter.drawPolygon(QPolygonF(outline))
        self._label(painter, frame, float(x[0]), float(x[-1]), state)

    def _label(self, painter: QPainter, frame: QRectF, left: float, right: float, state: int) -> None:
        painter.setFont(small_font(bold=True))
        metrics = QFontMetricsF(painter.font())
        words = tr(STATE_WORDS[state])
        width = metrics.horizontalAdvance(words) + 6
        if width > right - left:
            return
        # Below the deepest ground of the chart and above the strip of unseen grades.
        top = frame.bottom() - UNSEEN_PX - metrics.height() - 4
        place = QRectF((left + right - width) / 2, top, width, metrics.height())
        painter.fillRect(place, _fill_of(state))
        painter.setPen(_ink_of(state))
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, words)

    def _unseen(self) -> Iterator[tuple[int, int]]:
        assert self.ground is not None
        for first, last, seen in runs_of(self.ground.seen.astype(int)):
            if not seen:
                yield first, last

    def _flag(self, painter: QPainter, frame: QRectF, left: float, right: float) -> None:
        box = QRectF(left, frame.bottom() - UNSEEN_PX, max(right - left, 2.0), UNSEEN_PX)
        painter.setPen(QPen(QColor(theme.colours.ink), 1))
        painter.setBrush(QBrush(QColor(theme.colours.ink), Qt.BrushStyle.DiagCrossPattern))
        painter.drawRect(box)
