"""The heart rate under a hand that moves the band: pictures kept of the whole line, of which each band shows
slices.

A line is drawn above the band, in it or below it by where it lies, so three pictures of all of it, one for
each side, hold every band there can be: another band only moves the places where they are cut.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap, QTransform

from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.track import Array
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.curve import at_level, dense, level_for, outline
from slopebeat.plots.overlay import PixelItem
from slopebeat.plots.theme import theme

Line = tuple[Array, Array]
NO_LINE: Line = (np.zeros(0), np.zeros(0))


@dataclass(frozen=True, eq=False)
class _Kept:
    """The pictures from the top of the chart downwards, and what they were drawn from."""

    line: Line
    frame: QRectF
    view: QRectF
    colours: Colours
    sharp: float
    pictures: tuple[QPixmap, ...]

    def holds(self, line: Line, frame: QRectF, view: QRectF, sharp: float) -> bool:
        """Whether they are those of this line and place."""
        here = self.line is line and self.frame == frame and self.view == view
        return here and self.colours == theme.colours and self.sharp == sharp


class LineInHand(PixelItem):
    """Seen only while a hand holds an edge."""

    def __init__(self, z: float) -> None:
        super().__init__(z)
        self._line, self._edges_bpm = NO_LINE, (0.0, 0.0)
        self._kept: _Kept | None = None
        self.drawn = 0
        """How often the whole line was drawn."""
        self.hide()

    def take(self, line: Line, edges_bpm: tuple[float, float]) -> None:
        """Show a line, NaN where it breaks, on both sides of these edges and between them."""
        if line is not self._line or edges_bpm != self._edges_bpm:
            self._line, self._edges_bpm = line, edges_bpm
            self.update()
        self.show()

    def let_go(self) -> None:
        """Be hidden and keep nothing."""
        self._line, self._kept = NO_LINE, None
        self.hide()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        sharp = painter.device().devicePixelRatioF()
        if self._kept is None or not self._kept.holds(self._line, frame, view, sharp):
            self._kept = self._draw(frame, view, sharp)
        whole = _whole(frame)
        upper, lower = (_row(bpm, frame, view, sharp) for bpm in reversed(self._edges_bpm))
        # Both edges are inside the band, and with them the rows of dots they lie in.
        edges = (whole.top(), upper, lower + 1.0 / sharp, whole.bottom())
        cuts = [min(max(edge, whole.top()), whole.bottom()) for edge in edges]
        for picture, top, bottom in zip(self._kept.pictures, cuts[:-1], cuts[1:], strict=True):
            part = QRectF(0.0, (top - whole.top()) * sharp, whole.width() * sharp, (bottom - top) * sharp)
            painter.drawPixmap(QPointF(whole.left(), top), picture, part)

    def _draw(self, frame: QRectF, view: QRectF, sharp: float) -> _Kept:
        """The line with what lies between it and the far side of the chart, once for each side of a band."""
        self.drawn += 1
        x, y = dense(*self._line)
        first, last = np.searchsorted(x, (view.left(), view.right()))
        line = at_level(x, y, level_for(int(last - first)))
        colours = theme.colours
        looks = {
            BandState.ABOVE: (colours.above, colours.above_fill, view.top()),
            BandState.IN_BAND: (colours.in_band, None, 0.0),
            BandState.BELOW: (colours.below, colours.below_fill, view.bottom()),
        }
        pictures = tuple(_picture(line, look, frame, view, sharp) for look in looks.values())
        return _Kept(self._line, frame, view, colours, sharp, pictures)


def _picture(
    line: Line, look: tuple[str, str | None, float], frame: QRectF, view: QRectF, sharp: float
) -> QPixmap:
    """A line in its ink, filled to a level."""
    (ink, fill, level), whole = look, _whole(frame)
    picture = QPixmap((QSizeF(whole.size()) * sharp).toSize())
    picture.setDevicePixelRatio(sharp)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    across, up = frame.width() / view.width(), frame.height() / view.height()
    left = frame.left() - view.left() * across - whole.left()
    painter.setTransform(
        QTransform(across, 0.0, 0.0, -up, left, frame.bottom() + view.top() * up - whole.top())
    )
    if fill is not None and line[0].size:
        painter.fillPath(pg.arrayToQPath(*outline(*line, level), connect="all"), QColor(fill))
    painter.setPen(pg.mkPen(ink))
    painter.drawPath(pg.arrayToQPath(*line, connect="finite"))
    painter.end()
    return picture


def _whole(frame: QRectF) -> QRectF:
    """The whole dots a frame covers."""
    return QRectF(frame.toAlignedRect())


def _row(bpm: float, frame: QRectF, view: QRectF, sharp: float) -> float:
    """The upper side of the row of dots a heart rate lies in."""
    y = frame.bottom() - (bpm - view.top()) / view.height() * frame.height()
    return math.floor(y * sharp) / sharp
