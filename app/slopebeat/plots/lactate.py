"""Lactate of a step test over its load, and of samples taken on the way over the heart rate they go with."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.band.lactate import LactateTest, Method, Threshold, smooth_curve
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.plots.chart import Chart
from slopebeat.plots.theme import theme
from slopebeat.review.notes.heart import ImpliedEdge, LactateReading, baseline_edge, implied_edges

TEST_HEADROOM, SAMPLES_HEADROOM = 1.6, 1.5
"""The axis reaches this many times the highest lactate: labels lie over the curve [project choice]."""

ROOM, ROOM_BPM = 0.08, 4.0
"""Left free beside a test, as a share of its range, and beside the samples [project choice]."""

TEST_LABELS_FROM, TEST_LABEL_STEP = 0.84, 0.12
SAMPLES_LABELS_FROM, SAMPLES_LABEL_STEP = 0.9, 0.13
"""Heights of the labels as shares of the chart: readings lie close together, and labels one below the other
do not hide each other [project choice]."""

SHORT = {
    Method.LOWER_FIXED: "1.0",
    Method.UPPER_FIXED: "1.9",
    Method.BASELINE: mark("baseline + 0.5"),
    Method.LOG_LOG: mark("log-log"),
}
"""Names of the methods short enough for the chart."""


class _LactateChart(Chart):
    """Dots for what was measured, and labelled upright lines for what is read from them."""

    def __init__(self, name: str, parent: QWidget | None) -> None:
        super().__init__(name, parent=parent)
        self.dots = pg.ScatterPlotItem(size=9)
        self.add(self.dots, 5)
        self._readings: list[pg.GraphicsObject] = []

    def _draw_anew(self) -> None:
        self.dots.setBrush(pg.mkBrush(theme.colours.accent))
        self.dots.setPen(pg.mkPen(theme.colours.panel))

    def _clear_readings(self) -> None:
        for item in self._readings:
            self.plotItem.removeItem(item)
        self._readings.clear()

    def _add_reading(self, item: pg.GraphicsObject) -> None:
        self._readings.append(item)
        self.add(item)

    def _add_line(self, x: float, words: str, height: float, end_anchor: float) -> None:
        colours = theme.colours
        options = {
            "position": height,
            "color": colours.ink,
            "fill": colours.panel,
            "anchors": [(0.0, 0.5), (end_anchor, 0.5)],
        }
        pen = pg.mkPen(colours.ink, style=Qt.PenStyle.DashLine)
        self._add_reading(pg.InfiniteLine(x, angle=90, pen=pen, label=words, labelOpts=options))


class LactateChart(_LactateChart):
    """Lactate over load: measured stages as dots, a curve for the eye, a line per threshold."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Lactate curve"), parent)
        self.caption.set_text(tr("Lactate, mmol/L"))
        self.curve = self.plotItem.plot([], [])
        self._shown: tuple[LactateTest, tuple[Threshold, ...]] | None = None
        self.setMinimumSize(240, 150)
        theme.follow(self._draw_anew)

    def _draw_anew(self) -> None:
        super()._draw_anew()
        self.curve.setPen(pg.mkPen(theme.colours.muted))
        if self._shown is not None:
            self.show_test(*self._shown)

    def clear_test(self) -> None:
        """Show nothing."""
        self._shown = None
        self.curve.setData([], [])
        self.dots.setData([], [])
        self._clear_readings()
        self.caption.set_text(tr("Lactate, mmol/L: enter at least four stages"))

    def show_test(self, test: LactateTest, found: Sequence[Threshold]) -> None:
        """Draw a test and where the methods put their thresholds."""
        self._shown = (test, tuple(found))
        load, lactate = smooth_curve(test)
        self.curve.setData(load, lactate)
        self.dots.setData(test.load, test.lactate)
        text = tr("Lactate, mmol/L, over {unit}; the curve is for the eye only")
        self.caption.set_text(text.format(unit=test.load_unit))
        self._clear_readings()
        height = TEST_LABELS_FROM
        for each in found:
            if each.load is not None and each.hr_bpm is not None:
                words = f"{tr(SHORT[each.method])}: {figure(each.hr_bpm)} bpm"
                self._add_line(each.load, words, height, 0.0)
                height -= TEST_LABEL_STEP
        first, last = min(float(load[0]), float(test.load[0])), float(load[-1])
        room = ROOM * (last - first)
        self.plotItem.setXRange(first - room, last + room, padding=0)
        self.plotItem.setYRange(0.0, float(test.lactate.max()) * TEST_HEADROOM, padding=0)


class LactateSamplesChart(_LactateChart):
    """Samples as dots; per reading a line at its heart rate and, shaded, how far it could be off."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Lactate over heart rate"), parent)
        self._samples: tuple[LactateReading, ...] = ()
        self.edges: dict[str, ImpliedEdge] = {}
        theme.follow(self._draw_anew)

    def _draw_anew(self) -> None:
        super()._draw_anew()
        self.show_readings(self._samples)

    def show_readings(self, readings: Sequence[LactateReading]) -> None:
        """Draw these samples; those without a trusted heart rate cannot be."""
        self._samples = tuple(readings)
        known = [(r.hr_bpm, r.lactate_mmol_l) for r in readings if r.hr_bpm is not None]
        self._clear_readings()
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
            self._draw(name, edge, SAMPLES_LABELS_FROM - SAMPLES_LABEL_STEP * at)
        hr = np.array([hr for hr, _ in known])
        self.plotItem.setXRange(float(hr.min()) - ROOM_BPM, float(hr.max()) + ROOM_BPM, padding=0)
        self.plotItem.setYRange(0.0, SAMPLES_HEADROOM * max(lactate for _, lactate in known), padding=0)

    def _draw(self, name: str, edge: ImpliedEdge, height: float) -> None:
        if edge.hr_bpm is None or edge.between_bpm is None:
            return
        shade = QColor(theme.colours.accent)
        shade.setAlphaF(0.10)
        off = pg.LinearRegionItem(edge.between_bpm, brush=shade, pen=pg.mkPen(None), movable=False)
        off.setZValue(-5)
        self._add_reading(off)
        words = tr("{reading}: {bpm} bpm").format(reading=name, bpm=figure(edge.hr_bpm))
        self._add_line(edge.hr_bpm, words, height, 1.0)
