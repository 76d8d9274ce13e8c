"""What all charts of the months share: days along x, no zoom, one look."""

from __future__ import annotations

from datetime import timedelta

import pyqtgraph as pg
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from slopebeat.plots.axes import ValueAxis, left_axis, name_view
from slopebeat.plots.colours import Colours
from slopebeat.plots.months.axis import DAYS_PER_WEEK, MonthAxis
from slopebeat.plots.outing.overlay import CaptionItem
from slopebeat.plots.text_size import text_share
from slopebeat.review.months.months import Months

CAPTION_PX, AXIS_PX = 24, 22
"""Height kept free above the data for the caption, and of the labels under them [project choice]."""


def whole_weeks(months: Months) -> tuple[float, float]:
    """x from the first Monday to the end of the last week; a stretch of one week when there is none."""
    if not months.weeks:
        return 0.0, DAYS_PER_WEEK
    first, last = months.weeks[0].monday, months.weeks[-1].monday + timedelta(days=7)
    return float(first.toordinal()), float(last.toordinal())


class MonthsPlot(pg.PlotWidget):
    """A chart over months; subclasses add what they show."""

    def __init__(self, name: str, colours: Colours, parent: QWidget | None = None) -> None:
        super().__init__(parent, axisItems={"bottom": MonthAxis(), "left": left_axis()})
        name_view(self, name)
        self.colours = colours
        self.box = self.plotItem.getViewBox()
        self.box.disableAutoRange()
        self.setMenuEnabled(False)
        self.setMouseEnabled(x=False, y=False)
        self.hideButtons()
        self.caption = CaptionItem(name, colours.muted, colours.panel)
        self.plotItem.addItem(self.caption, ignoreBounds=True)
        self.plotItem.setContentsMargins(2, 2, 8, 2)
        self.setMinimumSize(QSize(220, 120))

    def apply(self, colours: Colours) -> None:
        """Take these colours."""
        self.colours = colours
        left = self.plotItem.getAxis("left")
        assert isinstance(left, ValueAxis)
        left.fit_text()
        # Left to itself the axis learns its height only from being painted, too late for the first picture.
        self.plotItem.getAxis("bottom").setHeight(round(AXIS_PX * max(text_share(), 1.0)))
        self.setBackground(colours.panel)
        self.caption.set_inks(colours.muted, colours.panel)
        for name in ("bottom", "left"):
            axis = self.plotItem.getAxis(name)
            axis.setPen(pg.mkPen(colours.line))
            axis.setTextPen(pg.mkPen(colours.muted))

    def fit(self, months: Months, low: float, high: float) -> None:
        """Show all weeks, and values from low to high with the caption above them."""
        self.plotItem.setXRange(*whole_weeks(months), padding=0.01)
        height = max(self.height() - 40, 60)
        room = (high - low) * CAPTION_PX / max(height - CAPTION_PX, 20)
        self.plotItem.setYRange(low, high + room, padding=0)
