"""The heart rate under a hand that moves the band: pictures kept of the whole line, of which each band shows
slices.

A line is drawn above the band, in it or below it by where it lies, so three pictures of all of it, one for
each side, hold every band there can be: another band only moves the places where they are cut.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from slopebeat.model.track import Array
from slopebeat.plots.kept_picture import KeptPicture, whole_dots
from slopebeat.plots.outing.curve import at_level, dense, level_for, outline
from slopebeat.plots.overlay import PixelItem
from slopebeat.plots.theme import theme

Line = tuple[Array, Array]
NO_LINE: Line = (np.zeros(0), np.zeros(0))


class LineInHand(PixelItem):
    """Seen only while a hand holds an edge."""

    def __init__(self, z: float) -> None:
        super().__init__(z)
        self._line, self._edges_bpm = NO_LINE, (0.0, 0.0)
        self._number = 0
        self.kept = (KeptPicture(), KeptPicture(), KeptPicture())
        """The whole line as it is drawn above, in and below a band."""
        self.hide()

    def take(self, line: Line, edges_bpm: tuple[float, float]) -> None:
        """Show a line, NaN where it breaks, on both sides of these edges and between them."""
        if line is not self._line:
            self._line, self._number = line, self._number + 1
            self.update()
        if edges_bpm != self._edges_bpm:
            self._edges_bpm = edges_bpm
            self.update()
        self.show()

    def let_go(self) -> None:
        """Be hidden and keep nothing."""
        self._line = NO_LINE
        for picture in self.kept:
            picture.forget()
        self.hide()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        colours, whole = theme.colours, whole_dots(frame)
        upper, lower = (_row(bpm, frame, view) for bpm in reversed(self._edges_bpm))
        # Both edges are inside the band, and with them the rows of dots they lie in.
        cuts = [min(max(cut, whole.top()), whole.bottom()) for cut in (upper, lower + 1.0)]
        styles = (
            (colours.above, colours.above_fill, view.top()),
            (colours.in_band, None, 0.0),
            (colours.below, colours.below_fill, view.bottom()),
        )
        tops, bottoms = (whole.top(), *cuts), (*cuts, whole.bottom())
        for kept, style, top, bottom in zip(self.kept, styles, tops, bottoms, strict=True):
            key = (self._number, view.getRect())
            picture = kept.of(painter, frame, key, self._drawing(frame, view, *style))
            sharp = picture.devicePixelRatio()
            part = QRectF(0.0, (top - whole.top()) * sharp, whole.width() * sharp, (bottom - top) * sharp)
            painter.drawPixmap(QPointF(whole.left(), top), picture, part)

    def _drawing(
        self, frame: QRectF, view: QRectF, ink: str, fill: str | None, level: float
    ) -> Callable[[QPainter], None]:
        """Draws all of the line in its ink, filled to a level."""

        def draw(painter: QPainter) -> None:
            x, y = dense(*self._line)
            first, last = np.searchsorted(x, (view.left(), view.right()))
            line = at_level(x, y, level_for(int(last - first)))
            across, up = frame.width() / view.width(), frame.height() / view.height()
            left, low = frame.left() - view.left() * across, frame.bottom() + view.top() * up
            painter.setTransform(QTransform(across, 0.0, 0.0, -up, left, low), combine=True)
            if fill is not None and line[0].size:
                painter.fillPath(pg.arrayToQPath(*outline(*line, level), connect="all"), QColor(fill))
            painter.setPen(pg.mkPen(ink))
            painter.drawPath(pg.arrayToQPath(*line, connect="finite"))

        return draw


def _row(bpm: float, frame: QRectF, view: QRectF) -> float:
    """The upper side of the row of dots a heart rate lies in."""
    return float(math.floor(frame.bottom() - (bpm - view.top()) / view.height() * frame.height()))
