"""The curve of a lactate step test, with what the methods read from it."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.band.lactate import LactateTest, Method, Threshold, smooth_curve
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.plots.axes import left_axis, name_view
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.outing.overlay import CaptionItem

HEADROOM = 1.6
"""The axis reaches this many times the highest lactate: labels lie over the curve [project choice]."""

ROOM = 0.08
"""Share of the range left free around the data [project choice]."""

SHORT = {
    Method.LOWER_FIXED: "1.0",
    Method.UPPER_FIXED: "1.9",
    Method.BASELINE: mark("baseline + 0.5"),
    Method.LOG_LOG: mark("log-log"),
}
"""Names of the methods short enough for the chart."""


class LactateChart(pg.PlotWidget):
    """Lactate over load: measured stages as dots, a curve for the eye, a line per threshold."""

    def __init__(self, colours: Colours = LIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent, axisItems={"left": left_axis()})
        name_view(self, tr("Lactate curve"))
        self._colours = colours
        self.setMenuEnabled(False)
        self.setMouseEnabled(x=False, y=False)
        self.hideButtons()
        self.plotItem.getViewBox().disableAutoRange()
        self.plotItem.setContentsMargins(2, 2, 8, 2)
        self.caption = CaptionItem(tr("Lactate, mmol/L"), colours.muted, colours.panel)
        self.plotItem.addItem(self.caption, ignoreBounds=True)
        self.curve = self.plotItem.plot([], [], pen=pg.mkPen(colours.muted))
        self.stages = pg.ScatterPlotItem(
            size=9, brush=pg.mkBrush(colours.accent), pen=pg.mkPen(colours.panel)
        )
        self.stages.setZValue(5)
        self.plotItem.addItem(self.stages)
        self._lines: list[pg.InfiniteLine] = []
        self.setBackground(colours.panel)
        for name in ("bottom", "left"):
            axis = self.plotItem.getAxis(name)
            axis.enableAutoSIPrefix(False)
            axis.setPen(pg.mkPen(colours.line))
            axis.setTextPen(pg.mkPen(colours.muted))
        self.setMinimumSize(240, 150)

    def clear_test(self) -> None:
        """Show nothing."""
        self.curve.setData([], [])
        self.stages.setData([], [])
        self._clear_lines()
        self.caption.set_text(tr("Lactate, mmol/L: enter at least four stages"))

    def show_test(self, test: LactateTest, found: Sequence[Threshold]) -> None:
        """Draw a test and where the methods put their thresholds."""
        load, lactate = smooth_curve(test)
        self.curve.setData(load, lactate)
        self.stages.setData(test.load, test.lactate)
        said = tr("Lactate, mmol/L, over {unit}; the curve is for the eye only")
        self.caption.set_text(said.format(unit=test.load_unit))
        self._clear_lines()
        at = 0.84
        for each in found:
            if each.load is None or each.hr_bpm is None:
                continue
            line = pg.InfiniteLine(
                each.load,
                angle=90,
                pen=pg.mkPen(self._colours.ink, style=Qt.PenStyle.DashLine),
                label=f"{tr(SHORT[each.method])}: {figure(each.hr_bpm)} bpm",
                labelOpts={
                    "position": at,
                    "color": self._colours.ink,
                    "fill": self._colours.panel,
                    "anchors": [(0.0, 0.5), (0.0, 0.5)],
                },
            )
            # Thresholds lie close together; labels one below the other do not hide each other.
            at -= 0.12
            self._lines.append(line)
            self.plotItem.addItem(line, ignoreBounds=True)
        self._fit(min(float(load[0]), float(test.load[0])), float(load[-1]), float(test.lactate.max()))

    def _fit(self, first: float, last: float, most: float) -> None:
        room = ROOM * (last - first)
        self.plotItem.setXRange(first - room, last + room, padding=0)
        self.plotItem.setYRange(0.0, most * HEADROOM, padding=0)

    def _clear_lines(self) -> None:
        for line in self._lines:
            self.plotItem.removeItem(line)
        self._lines.clear()
