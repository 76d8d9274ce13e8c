"""What all charts share: axes round in the unit in force, a name for the ear, the paper of the theme."""

from __future__ import annotations

import math

import pyqtgraph as pg
from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QGraphicsItem, QGraphicsView, QWidget

from slopebeat.model.measures import GROUND, Measure, decimal_sign, figure
from slopebeat.model.numerics import round_step
from slopebeat.model.units import clock
from slopebeat.plots.overlay import CaptionItem, small_font
from slopebeat.plots.scenes import keep_in_step
from slopebeat.plots.theme import theme

STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200)
"""Distances between labels that read well on a clock."""

ROOM_FOR_LABEL_PX = 90
"""Least room from one label to the next [project choice]."""

ROOM_FOR_VALUE_PX, MOST_VALUES = 16, 8
"""Least room from one value to the next above it, and about how many at the most [project choice]."""

EDGE_PX = 5
"""A value nearer to the end of a panel is left out where others tell the scale [project choice]."""

LEAST_VALUES, FINE_PARTS = 3, 14
"""Fewer values do not tell a scale; of so many parts of the range the values of a low panel are made
[project choice]."""

LEFT_AXIS_PX = 46
"""One width for all panels, or their x would not line up."""


FIGURE = 0
"""Under this number an item of a scene keeps the key of its explanation."""


def explain_part(item: QGraphicsItem, key: str) -> None:
    """Let the help explain this item, and what lies on it, by an entry."""
    item.setData(FIGURE, key)


def figure_at(view: QGraphicsView, place: QPoint) -> str | None:
    """The key of the uppermost item at a place of the view that has one."""
    keys = (item.data(FIGURE) for item in view.items(place))
    return next((str(key) for key in keys if key), None)


class ThemedAxis(pg.AxisItem):
    """An axis in the colours of the theme; numbers have a true minus sign and the decimal sign in force."""

    def __init__(self, side: str, **how: int) -> None:
        super().__init__(side, **how)
        self.enableAutoSIPrefix(False)
        theme.follow(self._take_look)

    def _take_look(self) -> None:
        self.setTickFont(small_font())
        self.setPen(pg.mkPen(theme.colours.line))
        self.setTextPen(pg.mkPen(theme.colours.muted))

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        words = super().tickStrings(values, scale, spacing)
        return [text.replace("-", "−").replace(".", decimal_sign()) for text in words]


class RunAxis(ThemedAxis):
    """Bottom axis in seconds shown as ``h:mm:ss``, or in metres shown as distance."""

    def __init__(self) -> None:
        super().__init__("bottom")
        self.along_distance = False
        explain_part(self, "at_time")

    def set_along_distance(self, along_distance: bool) -> None:
        scale = GROUND.scale.factor if along_distance else 1.0
        if (along_distance, scale) == (self.along_distance, self.scale):
            return
        self.along_distance = along_distance
        explain_part(self, "at_distance" if along_distance else "at_time")
        # Ticks are chosen on the scaled axis, so they are round in the unit that is shown.
        self.setScale(scale)
        self.picture = None
        self.update()

    def tickSpacing(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, float]]:
        if self.along_distance:
            return [*super().tickSpacing(minVal, maxVal, size)][:1]
        wanted = (maxVal - minVal) * ROOM_FOR_LABEL_PX / max(size, 1)
        step = next((s for s in STEPS_S if s >= wanted), math.ceil(wanted / 86400) * 86400)
        return [(float(step), 0.0)]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        if not self.along_distance:
            return [clock(value) for value in values]
        digits = max(0, math.ceil(-math.log10(max(spacing * scale, 1e-9)) - 1e-9))
        return [f"{figure(value * scale, digits)} {GROUND.unit}" for value in values]


class ValueAxis(ThemedAxis):
    """Numbers at round distances, at least three of them, as wide as the text size needs."""

    def __init__(self, side: str, **how: int) -> None:
        super().__init__(side, **how)
        theme.follow(self._fit_text)

    def show_unit(self, measure: Measure) -> None:
        """Write values that are held in SI in the unit in force, at round figures of it."""
        self.setScale(measure.scale.factor)

    def _fit_text(self) -> None:
        self.setWidth(round(LEFT_AXIS_PX * max(theme.text_share, 1.0)))

    def tickSpacing(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, float]]:
        """One round distance, wide enough that values in a low panel do not lie on each other."""
        room = max(ROOM_FOR_VALUE_PX * max(theme.text_share, 1.0), size / MOST_VALUES)
        return [(round_step((maxVal - minVal) * room / max(size, 1.0)), 0.0)]

    def tickValues(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, list[float]]]:
        """At least three: where no round distance gives so many, one in the middle and two about it."""
        found: list[tuple[float, list[float]]] = super().tickValues(minVal, maxVal, size)
        found = [(step, _clear_of_ends(values, minVal, maxVal, size)) for step, values in found]
        known = sum(len(values) for _, values in found)
        low, high = sorted((minVal * self.scale, maxVal * self.scale))
        if known >= LEAST_VALUES or not 0.0 < high - low < math.inf:
            return found
        fine = round_step((high - low) / FINE_PARTS)
        middle = round((low + high) / 2.0 / fine)
        about = min(math.floor(high / fine) - middle, middle - math.ceil(low / fine))
        three = [(middle + side * about) * fine / self.scale for side in (-1, 0, 1)]
        return [(about * fine / self.scale, three)]


def _clear_of_ends(values: list[float], low: float, high: float, size: float) -> list[float]:
    """Without those whose words would lie half in the panel above or below, as long as enough are left."""
    edge = EDGE_PX * max(theme.text_share, 1.0) * (high - low) / max(size, 1.0)
    inside = [value for value in values if low + edge <= value <= high - edge]
    return inside if len(inside) >= LEAST_VALUES else values


def left_axis() -> ValueAxis:
    """A value axis of the common width."""
    return ValueAxis("left", maxTickLength=0)


def name_view(view: pg.GraphicsView, name: str) -> None:
    """Name a chart for those who hear the screen: the part that takes the keyboard lies inside the view.

    It is painted in step with all others.
    """
    keep_in_step(view.scene())
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


class StackedPlot(QObject):
    """One plot of a stack: a caption, a margin to the right, and an extent nobody else sets."""

    def __init__(
        self, box: pg.ViewBox, margin: pg.AxisItem, caption: str = "", top: pg.AxisItem | None = None
    ) -> None:
        super().__init__()
        self.box, self.margin = box, margin
        self.bottom, self.left = RunAxis(), left_axis()
        axes = {"bottom": self.bottom, "left": self.left, "right": margin} | ({"top": top} if top else {})
        self.plot = pg.PlotItem(axisItems=axes, viewBox=box, enableMenu=False)
        # Goes with its plot, so that a window that was closed takes no more colours.
        self.setParent(self.plot)
        self.plot.showAxis("right")
        self.plot.hideButtons()
        box.disableAutoRange()
        self.caption = CaptionItem(caption)
        self.add(self.caption)

    def add(self, item: pg.GraphicsObject, z: float | None = None) -> None:
        """Add something that must not count for the extent of the plot."""
        if z is not None:
            item.setZValue(z)
        self.plot.addItem(item, ignoreBounds=True)


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
