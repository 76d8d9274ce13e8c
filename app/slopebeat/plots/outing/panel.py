"""One chart of the stack: a plot that moves along x only, with what all panels share."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt

from slopebeat.model.track import Array
from slopebeat.plots.axes import RunAxis, left_axis
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.band_margin import Margin
from slopebeat.plots.outing.curve import Curve
from slopebeat.plots.outing.overlay import CaptionItem, Span, SpanItem, SpanLook
from slopebeat.plots.outing.range_box import RangeBox
from slopebeat.plots.text_size import text_share

Y_ROOM = 0.08
"""Share of the value range left free above and below [project choice]."""


class Panel:
    """A plot with caption, idle spans, highlight and cursor line; subclasses add their curves."""

    def __init__(
        self, caption: str, colours: Colours, margin: Margin | None = None, top: pg.AxisItem | None = None
    ) -> None:
        self.range_box = RangeBox()
        self.bottom = RunAxis()
        self.left, self.margin = left_axis(), margin or Margin()
        axes = {"bottom": self.bottom, "left": self.left, "right": self.margin} | (
            {} if top is None else {"top": top}
        )
        self.plot = pg.PlotItem(axisItems=axes, viewBox=self.range_box)
        self.plot.showAxis("right")
        # Before any curve is added: set later on a curve it has no effect. Clipping would build every
        # line anew at each frame; a kept line of 36,000 points is drawn in about a millisecond.
        self.plot.setClipToView(False)
        self.plot.setDownsampling(auto=False)
        self.plot.setMenuEnabled(False)
        self.plot.hideButtons()
        self.plot.setMouseEnabled(x=True, y=False)
        self._labelled = True
        self.curves: list[Curve] = []
        self.box = self.plot.getViewBox()
        self.box.disableAutoRange()
        self.caption = CaptionItem(caption, colours.muted, colours.panel)
        self.idle = SpanItem(SpanLook(colours.idle, colours.muted), -15, label_row=1)
        self.highlight = SpanItem(SpanLook(colours.selected, colours.doubt, edges=True), -30)
        self.noting = SpanItem(SpanLook(colours.selected, colours.accent, edges=True), -8)
        self.measured = SpanItem(SpanLook(colours.selected, colours.accent, edges=True), -9)
        self.cursor = pg.InfiniteLine(angle=90, movable=False)
        for item in (self.caption, self.idle, self.highlight, self.noting, self.measured, self.cursor):
            self.add(item)
        self.cursor.setZValue(20)
        self.cursor.hide()

    def add(self, item: pg.GraphicsObject) -> None:
        """Add something that must not count for the extent of the panel."""
        self.plot.addItem(item, ignoreBounds=True)

    def curve(self) -> Curve:
        """Another line of this panel."""
        made = Curve(self.plot)
        self.curves.append(made)
        return made

    def show_range(self, start_x: float, end_x: float) -> None:
        """Draw the lines as fine as this range needs."""
        for curve in self.curves:
            curve.show(start_x, end_x)

    def apply(self, colours: Colours) -> None:
        """Take these colours."""
        self.left.fit_text()
        self.margin.fit_text()
        self.show_bottom_labels(self._labelled)
        axis_pen, text_pen = pg.mkPen(colours.line), pg.mkPen(colours.muted)
        for name in ("bottom", "left"):
            axis = self.plot.getAxis(name)
            axis.setPen(axis_pen)
            axis.setTextPen(text_pen)
        self.caption.set_inks(colours.muted, colours.panel)
        self.idle.set_look(SpanLook(colours.idle, colours.muted))
        self.highlight.set_look(SpanLook(colours.selected, colours.doubt, edges=True))
        self.measured.set_look(SpanLook(colours.ground, colours.ink, opacity=0.16, edges=True))
        self.noting.set_look(SpanLook(colours.accent, colours.accent, opacity=0.18, edges=True))
        self.cursor.setPen(pg.mkPen(colours.accent, style=Qt.PenStyle.SolidLine))

    def show_bottom_labels(self, shown: bool) -> None:
        self._labelled = shown
        self.bottom.setStyle(showValues=shown)
        self.bottom.setHeight(round(22 * text_share()) if shown else 4)

    def set_idle(self, spans: Sequence[Span]) -> None:
        self.idle.set_spans(spans)

    def fit_y(self, values: Sequence[Array], shortest: float, from_zero: bool = False) -> None:
        """Give the value axis room for these values, and at least ``shortest`` of range."""
        known = np.concatenate([v[np.isfinite(v)] for v in values]) if values else np.zeros(0)
        low, high = (float(known.min()), float(known.max())) if known.size else (0.0, shortest)
        if from_zero:
            low = 0.0
        extra = max(0.0, shortest - (high - low))
        low, high = (low, high + extra) if from_zero else (low - extra / 2, high + extra / 2)
        room = Y_ROOM * (high - low)
        self.plot.setYRange(low if from_zero else low - room, high + room, padding=0)
