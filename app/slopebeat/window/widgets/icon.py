"""The program's sign, painted: a slope with a beat on it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from slopebeat.plots.colours import LIGHT

SLOPE = ((0, 52), (18, 44), (34, 26), (46, 18), (64, 34), (64, 64), (0, 64))
BEAT = ((6, 34), (20, 34), (25, 40), (32, 12), (39, 46), (44, 30), (58, 30))


def paint_sign(side_px: int) -> QPixmap:
    """The sign as a square picture."""
    picture = QPixmap(side_px, side_px)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(side_px / 64, side_px / 64)
    frame = QPainterPath()
    frame.addRoundedRect(QRectF(0, 0, 64, 64), 13, 13)
    painter.setClipPath(frame)
    painter.fillPath(frame, QColor(LIGHT.accent))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(LIGHT.climb_fill))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in SLOPE]))
    pen = QPen(QColor(LIGHT.above_fill), 4.5)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in BEAT]))
    painter.end()
    return picture


def app_icon() -> QIcon:
    icon = QIcon()
    for side in (16, 24, 32, 48, 64, 128, 256):
        icon.addPixmap(paint_sign(side))
    return icon
