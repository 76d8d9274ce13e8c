"""A planned way as a profile: the ground with its climbs, and the heart rate expected along it."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.route.plan import INTERVAL_LEVEL, Course, RoutePlan, StrategyName
from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT
from slopebeat.model.route import Route
from slopebeat.model.units import percent
from slopebeat.plots.axes import RunAxis, left_axis
from slopebeat.plots.band_margin import BandMargin, Margin
from slopebeat.plots.chart import ChartStack
from slopebeat.plots.explained import explain_part
from slopebeat.plots.overlay import BandItem, CaptionItem, Span, SpanItem, SpanLook
from slopebeat.plots.route.ground import StatedGround, StatesItem
from slopebeat.plots.theme import theme
from slopebeat.review.planning.words import gone

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


class _Part:
    """One of the two plots: no zoom, the look and the marked loop in common."""

    def __init__(self, margin: Margin) -> None:
        self.box, self.bottom, self.left, self.margin = LoopBox(), RunAxis(), left_axis(), margin
        axes = {"bottom": self.bottom, "left": self.left, "right": margin}
        self.plot = pg.PlotItem(axisItems=axes, viewBox=self.box, enableMenu=False)
        self.plot.showAxis("right")
        self.plot.setMouseEnabled(x=False, y=False)
        self.plot.hideButtons()
        self.box.disableAutoRange()
        self.bottom.set_along_distance(True)
        self.caption = CaptionItem()
        self.loop = SpanItem(SpanLook("accent", "accent", opacity=0.16, edges=True), 3, label_row=2)
        for item in (self.caption, self.loop):
            self.plot.addItem(item, ignoreBounds=True)

    def fit(self, length_m: float, low: float, high: float, headroom: float = ROOM) -> None:
        self.plot.setXRange(0.0, length_m, padding=0.005)
        room = high - low
        self.plot.setYRange(low - ROOM * room, high + headroom * room, padding=0)


class RouteProfile(ChartStack):
    """Drawn anew for each plan. A stretch drawn with the mouse is told by ``stretch_drawn``."""

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
        self.climbs = SpanItem(SpanLook("panel", "ground", opacity=0.0, badge=True), -11, label_row=1)
        self.band = BandItem()
        self.line = self._line(self.ground, 2)
        self.middle = self._line(self.heart, 2)
        self.low, self.high = self._line(self.heart, 0), self._line(self.heart, 0)
        self.interval = pg.FillBetweenItem(self.low, self.high)
        for item in (self.states, self.climbs):
            self.ground.plot.addItem(item, ignoreBounds=True)
        for item in (self.band, self.interval):
            self.heart.plot.addItem(item, ignoreBounds=True)
        self.interval.setZValue(1)
        self.setMinimumSize(320, 190)
        for part in (self.ground, self.heart):
            part.box.dragged.connect(self._dragged)
            part.box.chosen.connect(self.stretch_drawn)
        theme.follow(self._take_colours)

    @staticmethod
    def _line(part: _Part, depth: int) -> pg.PlotCurveItem:
        made = pg.PlotCurveItem()
        made.setZValue(depth)
        part.plot.addItem(made, ignoreBounds=True)
        return made

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
    said = tr("Elevation, {unit}  ·  fill: likeliest side of the band").format(unit=HEIGHT.unit)
    if plan.unseen_share > 0.0:
        said += "  ·  " + tr("crossed strip: grade not gone before")
    return said
