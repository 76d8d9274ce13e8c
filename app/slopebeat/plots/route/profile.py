"""The profile of a planned way: its ground, and what the heart is expected to do on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.route.plan import INTERVAL_LEVEL, Course, RoutePlan, StrategyName
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import HEIGHT
from slopebeat.model.route import Route
from slopebeat.model.track import Array
from slopebeat.model.units import percent
from slopebeat.plots.band_margin import BandMargin, Margin
from slopebeat.plots.chart import ChartStack, StackedPlot, explain_part
from slopebeat.plots.overlay import BandItem, PixelItem, Span, SpanItem, SpanStyle, small_font
from slopebeat.plots.theme import theme
from slopebeat.review.planning.words import gone

STATE_WORDS = {-1: mark("below"), 0: mark("in band"), 1: mark("above")}
PATTERNS = {-1: Qt.BrushStyle.BDiagPattern, 0: Qt.BrushStyle.NoBrush, 1: Qt.BrushStyle.FDiagPattern}
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


ROOM = 0.06
"""Share of the value range left free above and below [project choice]."""

HEADROOM = 0.30
"""The same above the ground, where caption and numbers of climbs stand [project choice]."""

LEAST_RANGE_M, LEAST_RANGE_BPM = 60.0, 40.0
"""Flatter ground and steadier hearts are not blown up [project choice]."""


class LoopBox(pg.ViewBox):
    """A view in which a stretch is drawn by dragging; nothing in it can be moved or zoomed."""

    dragged = Signal(float, float)
    chosen = Signal(float, float)

    def __init__(self) -> None:
        super().__init__(enableMenu=False)

    def mouseDragEvent(
        self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent, axis: int | None = None
    ) -> None:
        if ev.button() is not Qt.MouseButton.LeftButton:
            ev.ignore()
            return
        ev.accept()
        start, end = (self.mapToView(place).x() for place in (ev.buttonDownPos(), ev.pos()))
        (self.chosen if ev.isFinish() else self.dragged).emit(start, end)


class _Part(StackedPlot):
    """One of the two plots: no zoom, the look and the marked loop in common."""

    def __init__(self, margin: Margin) -> None:
        super().__init__(LoopBox(), margin)
        self.plot.setMouseEnabled(x=False, y=False)
        self.bottom.set_along_distance(True)
        self.loop = SpanItem(SpanStyle("accent", "accent", opacity=0.16, edges=True), 3, label_row=2)
        self.add(self.loop)

    def fit(self, length_m: float, low: float, high: float, headroom: float = ROOM) -> None:
        self.plot.setXRange(0.0, length_m, padding=0.005)
        room = high - low
        self.plot.setYRange(low - ROOM * room, high + headroom * room, padding=0)


class RouteProfile(ChartStack):
    """Drawn anew for each plan. A stretch drawn with the mouse is reported by ``stretch_drawn``."""

    stretch_drawn = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Profile of the route"), parent)
        self.ci.setContentsMargins(2, 2, 6, 2)
        self.ci.layout.setSpacing(0)
        self.words = BandMargin()
        self.ground, self.heart = _Part(Margin()), _Part(self.words)
        explain_part(self.ground.plot, "at_elevation")
        explain_part(self.heart.plot, "way.hr_top")
        explain_part(self.words, "at_band")
        self.addItem(self.ground.plot, row=0, col=0)
        self.addItem(self.heart.plot, row=1, col=0)
        self.ci.layout.setRowStretchFactor(0, 5)
        self.ci.layout.setRowStretchFactor(1, 4)
        self.states = StatesItem()
        self.climbs = SpanItem(SpanStyle("panel", "ground", opacity=0.0, badge=True), -11, label_row=1)
        self.band = BandItem()
        self.line, self.middle = pg.PlotCurveItem(), pg.PlotCurveItem()
        self.low, self.high = pg.PlotCurveItem(), pg.PlotCurveItem()
        self.interval = pg.FillBetweenItem(self.low, self.high)
        for item in (self.states, self.climbs):
            self.ground.add(item)
        self.ground.add(self.line, 2)
        self.heart.add(self.band)
        for curve, depth in ((self.middle, 2), (self.low, 0), (self.high, 0), (self.interval, 1)):
            self.heart.add(curve, depth)
        self.setMinimumSize(320, 190)
        for part in (self.ground, self.heart):
            part.box.dragged.connect(self._dragged)
            part.box.chosen.connect(self.stretch_drawn)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        colours = theme.colours
        self.line.setPen(pg.mkPen(colours.ground, width=1.5))
        self.middle.setPen(pg.mkPen(colours.in_band, width=1.5))
        shade = pg.mkColor(colours.fit)
        shade.setAlphaF(0.28)
        self.interval.setBrush(pg.mkBrush(shade))
        for edge in (self.low, self.high):
            edge.setPen(pg.mkPen(colours.fit, style=Qt.PenStyle.DotLine))

    def show_route(self, route: Route) -> None:
        """The bare way, before there is a plan."""
        known = np.isfinite(route.elevation_m)
        height = route.elevation_m[known] if known.any() else np.zeros(1)
        self.line.setData(route.distance_m[known], route.elevation_m[known])
        self.states.set_ground(None)
        self.climbs.set_spans([])
        self.band.set_band(None)
        self.words.set_band(None)
        for curve in (self.middle, self.low, self.high):
            curve.setData([], [])
        self._fit_ground(route.length_m, float(height.min()), float(height.max()))
        self.ground.caption.set_text(tr("Elevation, {unit}").format(unit=HEIGHT.unit))
        self.heart.fit(route.length_m, 90.0, 150.0)
        self.heart.caption.set_text(tr("Expected heart rate, bpm: not planned yet"))

    def show_plan(self, plan: RoutePlan, pace: StrategyName) -> None:
        """Draw one strategy of a plan."""
        strategy = plan.usual if pace is StrategyName.USUAL else plan.hold
        course = strategy.course
        self.line.setData(course.distance_m, course.elevation_m)
        self.states.set_ground(StatedGround(course.distance_m, course.elevation_m, course.state, course.seen))
        self.climbs.set_spans(
            [Span(c.start_m, c.end_m, str(n), str(n)) for n, c in enumerate(plan.climbs, start=1)]
        )
        self._fit_ground(
            plan.ground.length_m, float(course.elevation_m.min()), float(course.elevation_m.max())
        )
        self._show_heart(plan, course)
        self.ground.caption.set_text(_ground_caption(plan))
        self.heart.caption.set_text(
            tr("Expected heart rate, bpm, {pace}  ·  shade: {level} of outings").format(
                pace=gone(strategy), level=percent(INTERVAL_LEVEL)
            )
        )

    def show_loop(self, loop_m: tuple[float, float] | None) -> None:
        """Mark the loop that may be gone again."""
        spans = [] if loop_m is None else [Span(*loop_m, tr("loop"))]
        for part in (self.ground, self.heart):
            part.loop.set_spans(spans)

    def _dragged(self, start_m: float, end_m: float) -> None:
        self.show_loop((min(start_m, end_m), max(start_m, end_m)))

    def _show_heart(self, plan: RoutePlan, course: Course) -> None:
        edges = (float(plan.band.lower_bpm), float(plan.band.upper_bpm))
        self.band.set_band(edges)
        self.words.set_band(edges)
        x = course.distance_m
        self.middle.setData(x, course.hr_bpm)
        self.low.setData(x, course.hr_low_bpm)
        self.high.setData(x, course.hr_high_bpm)
        # The start from rest would press everything else together.
        low = min(float(np.nanpercentile(course.hr_low_bpm, 3.0)), edges[0] - 5.0)
        high = max(float(np.nanmax(course.hr_high_bpm)), edges[1] + 5.0, low + LEAST_RANGE_BPM)
        self.heart.fit(plan.ground.length_m, low, high, headroom=0.18)

    def _fit_ground(self, length_m: float, low: float, high: float) -> None:
        self.ground.left.show_unit(HEIGHT)
        high = max(high, low + LEAST_RANGE_M)
        # Room under the ground for the words on its states.
        self.ground.fit(length_m, low - 0.22 * (high - low), high, HEADROOM)


def _ground_caption(plan: RoutePlan) -> str:
    text = tr("Elevation, {unit}  ·  fill: likeliest side of the band").format(unit=HEIGHT.unit)
    if plan.unseen_share > 0.0:
        text += "  ·  " + tr("crossed strip: grade not gone before")
    return text
