"""A line that is drawn coarser while more of it is shown than the screen can tell apart."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from slopebeat.model.track import Array

BUCKET = 6
"""Points the finest of the coarse lines stands two for [project choice]."""

MOST_FINE = 10_000
"""More visible points than this, six for each column of a large screen, are drawn coarse
[project choice]."""

COARSER = 3
"""Each next coarse line has this many times fewer points, and begins at this many times more visible ones, so
that a column of the screen always keeps a lowest and a highest of its own [project choice]."""


def dense(x: Array, y: Array) -> tuple[Array, Array]:
    """The same line without the long runs of NaN: one NaN is left to break it after each run."""
    known = np.isfinite(y)
    keep = known.copy()
    keep[1:] |= known[:-1]
    return x[keep], y[keep]


def coarse(x: Array, y: Array, bucket: int = BUCKET) -> tuple[Array, Array]:
    """Lowest and highest of each ``bucket`` points of a dense line; breaks stay where they are."""
    if x.size == 0:
        return x, y
    broken = np.isnan(y)
    place = np.arange(x.size)
    start = np.maximum.accumulate(np.where(np.concatenate(([True], broken[:-1])), place, 0))
    first = np.flatnonzero(((place - start) % bucket == 0) | broken)
    last = np.append(first[1:], x.size) - 1
    xs, ys = np.empty(2 * first.size), np.empty(2 * first.size)
    xs[0::2], xs[1::2] = x[first], x[last]
    low, high = np.minimum.reduceat(y, first), np.maximum.reduceat(y, first)
    rising = y[last] >= y[first]
    ys[0::2], ys[1::2] = np.where(rising, low, high), np.where(rising, high, low)
    return xs, ys


def level_for(visible: int) -> int:
    """How coarse so many visible points are drawn: 0 as they are, 1 by buckets, 2 by larger ones."""
    level, most = 0, MOST_FINE
    while visible > most:
        level, most = level + 1, most * COARSER
    return level


def at_level(x: Array, y: Array, level: int) -> tuple[Array, Array]:
    """A dense line, or the coarser one that is drawn in its place at a level of :func:`level_for`."""
    return (x, y) if level == 0 else coarse(x, y, BUCKET * COARSER ** (level - 1))


def outline(x: Array, y: Array, level: float) -> tuple[Array, Array]:
    """The closed edge of the area between a line and a level, all runs of the line in one.

    From run to run the edge goes along the level, out and back, where it encloses nothing.
    """
    known = np.isfinite(y)
    xs, ys = x[known], y[known]
    left_out = np.concatenate(([True], ~known, [True]))
    starts = np.flatnonzero(left_out[:-2][known])
    ends = np.flatnonzero(left_out[2:][known])
    corners, at = np.concatenate([ends, starts]), np.concatenate([ends + 1, starts])
    return np.insert(xs, at, xs[corners]), np.insert(ys, at, level)


class Fill(pg.GraphicsObject):
    """An area kept as one path; filled point by point it took most of a frame."""

    def __init__(self) -> None:
        super().__init__()
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self._path = QPainterPath()
        self._brush = QBrush()

    def set_brush(self, brush: QBrush) -> None:
        self._brush = brush
        self.update()

    def set_outline(self, x: Array, y: Array) -> None:
        """Take a closed edge."""
        self.prepareGeometryChange()
        self._path = pg.arrayToQPath(x, y, connect="all") if x.size else QPainterPath()
        self.update()

    def boundingRect(self) -> QRectF:
        return self._path.boundingRect()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        painter.fillPath(self._path, self._brush)


class Curve:
    """A one-pixel line, not smoothed: wider or smoothed lines cost 8 to 40 times as much."""

    def __init__(self, plot: pg.PlotItem) -> None:
        self.item = plot.plot([], [], connect="finite", antialias=False)
        self.item.setZValue(5)
        self._plot = plot
        self._fill: Fill | None = None
        self._fill_level = 0.0
        self._line: tuple[Array, Array] = (np.zeros(0), np.zeros(0))
        self._range: tuple[float, float] | None = None
        self._drawn = -1

    def fill(self, brush: QBrush) -> None:
        """Fill from the line to the level given with its data."""
        if self._fill is None:
            self._fill = Fill()
            self._fill.setZValue(4)
            self._plot.addItem(self._fill, ignoreBounds=True)
        self._fill.set_brush(brush)

    def set_visible(self, shown: bool) -> None:
        """Show or hide the line with what it fills."""
        for item in (self.item, self._fill):
            if item is not None:
                item.setVisible(shown)

    def keep_picture(self, how: QGraphicsItem.CacheMode) -> None:
        """Keep what is drawn as a picture, or draw it at each frame."""
        for item in (self.item.curve, self._fill):
            if item is not None:
                item.setCacheMode(how)

    def set_data(self, x: Array, y: Array, fill_level: float = 0.0) -> None:
        """Take a line; NaN in ``y`` breaks it, ``x`` never falls."""
        self._line = dense(x, y)
        self._fill_level = fill_level
        self._drawn = -1
        self._draw()

    def show(self, start_x: float, end_x: float) -> None:
        """Draw as fine as this range needs. Lines are kept between frames and made anew only here."""
        self._range = (start_x, end_x)
        self._draw()

    def _draw(self) -> None:
        """All of it as coarse as it may be, until it is known what is seen of it."""
        x = self._line[0]
        first, last = (0, x.size) if self._range is None else np.searchsorted(x, self._range)
        level = level_for(int(last - first))
        if level != self._drawn:
            self._drawn = level
            line = at_level(*self._line, level)
            self.item.setData(*line)
            if self._fill is not None:
                self._fill.set_outline(*outline(*line, self._fill_level))
