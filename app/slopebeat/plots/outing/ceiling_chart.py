"""The speed to hold over grade, with its interval, above the speeds that were gone."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath, QPolygonF
from PySide6.QtWidgets import QGraphicsPathItem, QWidget

from slopebeat.analysis.response.ceiling import Ceiling
from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, figure
from slopebeat.model.track import Array, Track
from slopebeat.plots.chart import Chart, ThemedAxis
from slopebeat.plots.theme import theme
from slopebeat.review.outing import Review

DOT_S = 30.0
"""Each dot is the mean of this much moving time [project choice]."""

OUTER_PERCENT = 99.0
"""The chart reaches up to this share of the dots: a single sprint would flatten the rest [project choice]."""

ROOM = 1.15
"""Factor of free height above the fastest shown [project choice]."""


def walked(track: Track) -> tuple[Array, Array]:
    """Mean grade and speed of each :data:`DOT_S` of moving time, blocks shorter than half of it left out."""
    used = track.moving & np.isfinite(track.grade) & np.isfinite(track.speed_mps) & (track.recorded_s > 0.0)
    weight = track.recorded_s[used]
    block = ((np.cumsum(weight) - weight) // DOT_S).astype(np.intp)
    if block.size == 0:
        return np.zeros(0), np.zeros(0)
    total = np.bincount(block, weight)
    means = [np.bincount(block, weight * v[used]) for v in (track.grade, track.speed_mps)]
    full = total > DOT_S / 2
    return means[0][full] / total[full], means[1][full] / total[full]


class GradeAxis(ThemedAxis):
    """Grades, held as a share, written in percent."""

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        digits = 0 if spacing >= 0.01 else 1
        return [f"{figure(100 * value, digits)} %" for value in values]


class CeilingChart(Chart):
    """Grade to the right, speed upward; drawn once for each review, nothing to drag."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Speed to hold by grade"), GradeAxis("bottom"), parent)
        self.plotItem.setContentsMargins(0, 0, 0, 0)
        self.dots = pg.ScatterPlotItem(size=3, pen=None)
        self.interval = QGraphicsPathItem()
        self.hold = pg.PlotCurveItem(connect="finite")
        for depth, item in enumerate((self.dots, self.interval, self.hold)):
            self.add(item, depth)
        self._walked_on: Track | None = None
        self._walked: tuple[Array, Array] = (np.zeros(0), np.zeros(0))
        self._dotted: tuple[Track, float] | None = None
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        colours = theme.colours
        self.dots.setBrush(pg.mkBrush(colours.doubt))
        shade = pg.mkColor(colours.fit)
        shade.setAlphaF(0.25)
        self.interval.setBrush(pg.mkBrush(shade))
        self.interval.setPen(pg.mkPen(None))
        self.hold.setPen(pg.mkPen(colours.fit, width=2))

    def show_review(self, review: Review) -> None:
        """Draw the ceiling of this review; it must have one."""
        found = review.ceiling
        assert found is not None
        if review.track is not self._walked_on:
            # The same for every band.
            self._walked_on, self._walked = review.track, walked(review.track)
        grade, speed = self._walked
        self.caption.set_text(
            tr(
                "{unit}  ·  line: hold under  ·  shade: its 95 % interval  ·  dots: as gone, 30 s each"
            ).format(unit=SPEED.unit)
        )
        gone = speed * SPEED.scale.factor
        held = found.speed_mps * SPEED.scale.factor
        known = held[np.isfinite(held)]
        fastest = [1.0, *known]
        if gone.size:
            fastest.append(float(np.percentile(gone, OUTER_PERCENT)))
        top = ROOM * max(fastest)
        if (review.track, SPEED.scale.factor) != self._dotted:
            self._dotted = review.track, SPEED.scale.factor
            self.dots.setData(grade, gone)
        self.hold.setData(found.grade, held)
        self.interval.setPath(shade_path(found, top))
        grades = np.concatenate([grade, found.grade[np.isfinite(held)]])
        if grades.size:
            low, high = float(grades.min()), float(grades.max())
            self.setXRange(low - 0.01, max(high, low + 0.02) + 0.01, padding=0)
        self.setYRange(0.0, top, padding=0)


def shade_path(found: Ceiling, top: float) -> QPainterPath:
    """The area between both ends of the interval, in the unit in force; an open end runs to the edge."""
    known = np.isfinite(found.speed_mps)
    low = np.where(np.isfinite(found.low_mps), found.low_mps * SPEED.scale.factor, 0.0)
    high = np.where(np.isfinite(found.high_mps), found.high_mps * SPEED.scale.factor, top)
    path = QPainterPath()
    for run in np.split(np.arange(known.size), np.flatnonzero(np.diff(known.astype(int))) + 1):
        if not known[run[:1]].any():
            continue
        outline = [QPointF(found.grade[i], low[i]) for i in run]
        outline += [QPointF(found.grade[i], high[i]) for i in run[::-1]]
        path.addPolygon(QPolygonF(outline))
        path.closeSubpath()
    return path
