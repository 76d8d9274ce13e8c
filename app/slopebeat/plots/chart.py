"""What all views of charts share: a name for those who hear the screen, the theme's paper, still axes."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QWidget

from slopebeat.plots.axes import ThemedAxis, left_axis
from slopebeat.plots.explained import figure_at
from slopebeat.plots.overlay import CaptionItem
from slopebeat.plots.theme import theme


def name_view(view: pg.GraphicsView, name: str) -> None:
    """Name a chart for those who hear the screen: the part that takes the keyboard lies inside the view."""
    view.setAccessibleName(name)
    view.viewport().setAccessibleName(name)


class ChartStack(pg.GraphicsLayoutWidget):
    """Several plots, one under the other."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        name_view(self, name)
        theme.follow(self._take_paper)

    def figure_at(self, place: QPoint) -> str | None:
        """The key of what explains the part at a place."""
        return figure_at(self, place)

    def _take_paper(self) -> None:
        # Sets off a repaint of all that lies on it, too.
        self.setBackground(theme.colours.panel)


class Chart(pg.PlotWidget):
    """One plot with a caption that is neither moved nor zoomed."""

    def __init__(self, name: str, bottom: ThemedAxis | None = None, parent: QWidget | None = None) -> None:
        axes = {"bottom": bottom or ThemedAxis("bottom"), "left": left_axis()}
        # Menus nobody sees are a third of the work of making a plot.
        super().__init__(parent, axisItems=axes, enableMenu=False)
        name_view(self, name)
        self.setMouseEnabled(x=False, y=False)
        self.hideButtons()
        self.box = self.plotItem.getViewBox()
        self.box.disableAutoRange()
        self.plotItem.setContentsMargins(2, 2, 8, 2)
        self.caption = CaptionItem()
        self.add(self.caption)
        theme.follow(self._take_paper)

    def add(self, item: pg.GraphicsObject, z: float | None = None) -> None:
        """Add something that must not count for the extent of the chart."""
        if z is not None:
            item.setZValue(z)
        self.plotItem.addItem(item, ignoreBounds=True)

    def _take_paper(self) -> None:
        # Sets off a repaint of all that lies on it, too.
        self.setBackground(theme.colours.panel)
