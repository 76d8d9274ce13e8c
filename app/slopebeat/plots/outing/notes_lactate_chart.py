"""Lactate samples taken on the way over the heart rate they go with, and the band edges they imply."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.plots.axes import left_axis
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.outing.overlay import CaptionItem
from slopebeat.review.notes.lactate import ImpliedEdge, LactateReading, baseline_edge, implied_edges

ROOM_BPM, HEADROOM = 4.0, 1.5
"""Beats left free beside the samples; the axis reaches this many times the highest [project choice]."""

LABELS_FROM, LABEL_STEP = 0.9, 0.13
"""Heights of the labels as shares of the chart, one below the other [project choice]."""


class NotesLactateChart(pg.PlotWidget):
    """Samples as dots; per reading a line at its heart rate and, shaded, how far it could be off."""

    def __init__(self, colours: Colours = LIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent, axisItems={"left": left_axis()})
        self._colours = colours
        self._readings: tuple[LactateReading, ...] = ()
        self._items: list[pg.GraphicsObject] = []
        self.edges: dict[str, ImpliedEdge] = {}
        self.setAccessibleName(tr("Lactate over heart rate"))
        self.setMenuEnabled(False)
        self.setMouseEnabled(x=False, y=False)
        self.hideButtons()
        self.plotItem.getViewBox().disableAutoRange()
        self.plotItem.setContentsMargins(2, 2, 8, 2)
        self.caption = CaptionItem("", colours.muted, colours.panel)
        self.plotItem.addItem(self.caption, ignoreBounds=True)
        self.dots = pg.ScatterPlotItem(size=9)
        self.dots.setZValue(5)
        self.plotItem.addItem(self.dots)
        self.apply(colours)

    def apply(self, colours: Colours) -> None:
        """Take these colours."""
        self._colours = colours
        self.setBackground(colours.panel)
        self.caption.set_inks(colours.muted, colours.panel)
        for name in ("bottom", "left"):
            axis = self.plotItem.getAxis(name)
            axis.enableAutoSIPrefix(False)
            axis.setPen(pg.mkPen(colours.line))
            axis.setTextPen(pg.mkPen(colours.muted))
        self.dots.setBrush(pg.mkBrush(colours.accent))
        self.dots.setPen(pg.mkPen(colours.panel))
        self.show_readings(self._readings)

    def show_readings(self, readings: Sequence[LactateReading]) -> None:
        """Draw these samples; those without a trusted heart rate cannot be."""
        self._readings = tuple(readings)
        known = [(r.hr_bpm, r.lactate_mmol_l) for r in readings if r.hr_bpm is not None]
        for item in self._items:
            self.plotItem.removeItem(item)
        self._items.clear()
        self.edges = {}
        self.dots.setData([hr for hr, _ in known], [lactate for _, lactate in known])
        self.caption.set_text(tr("Lactate, mmol/L, over heart rate, bpm"))
        if not known:
            return
        lower, upper = implied_edges(readings)
        base = baseline_edge(readings)
        self.edges = {
            tr("{lactate} mmol/L").format(lactate=figure(lower.lactate_mmol_l, 1)): lower,
            tr("lowest + 0.5 mmol/L"): base,
            tr("{lactate} mmol/L").format(lactate=figure(upper.lactate_mmol_l, 1)): upper,
        }
        for at, (name, edge) in enumerate(self.edges.items()):
            self._draw(name, edge, LABELS_FROM - LABEL_STEP * at)
        hr = np.array([hr for hr, _ in known])
        self.plotItem.setXRange(float(hr.min()) - ROOM_BPM, float(hr.max()) + ROOM_BPM, padding=0)
        self.plotItem.setYRange(0.0, HEADROOM * max(lactate for _, lactate in known), padding=0)

    def _draw(self, name: str, edge: ImpliedEdge, height: float) -> None:
        if edge.hr_bpm is None or edge.between_bpm is None:
            return
        colours = self._colours
        shade = QColor(colours.accent)
        shade.setAlphaF(0.10)
        off = pg.LinearRegionItem(edge.between_bpm, brush=shade, pen=pg.mkPen(None), movable=False)
        off.setZValue(-5)
        words = tr("{reading}: {bpm} bpm").format(reading=name, bpm=figure(edge.hr_bpm))
        line = pg.InfiniteLine(
            edge.hr_bpm,
            angle=90,
            pen=pg.mkPen(colours.ink, style=Qt.PenStyle.DashLine),
            label=words,
            labelOpts={
                "position": height,
                "color": colours.ink,
                "fill": colours.panel,
                "anchors": [(0.0, 0.5), (1.0, 0.5)],
            },
        )
        for item in (off, line):
            self._items.append(item)
            self.plotItem.addItem(item, ignoreBounds=True)
