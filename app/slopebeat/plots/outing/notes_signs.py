"""A small sign of its own for each kind of note, distinguished by shape; no letters, no colour needed."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from slopebeat.model.notes import NoteKind

SIGN_PX = 11
"""Side of a sign on the charts [project choice]."""

FINE = 3
"""Icons are drawn this many times as fine, for dense screens."""


def _box(x: float, y: float, width: float, height: float) -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(x, y, width, height))
    return path


def _shape(*corners: tuple[float, float]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))
    path.closeSubpath()
    return path


def _round(x: float, y: float, radius: float) -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(x, y), radius, radius)
    return path


def _drop() -> QPainterPath:
    path = QPainterPath(QPointF(5, 0))
    path.cubicTo(QPointF(6, 3), QPointF(9, 4.5), QPointF(9, 6.7))
    path.cubicTo(QPointF(9, 9), QPointF(7, 10), QPointF(5, 10))
    path.cubicTo(QPointF(3, 10), QPointF(1, 9), QPointF(1, 6.7))
    path.cubicTo(QPointF(1, 4.5), QPointF(4, 3), QPointF(5, 0))
    return path


def _pack() -> QPainterPath:
    body = _box(1, 3.2, 8, 6.8)
    handle = _round(5, 3.2, 3).subtracted(_round(5, 3.2, 1.6)).subtracted(_box(0, 3.2, 10, 7))
    return body.united(handle)


def _stones() -> QPainterPath:
    ground = _box(0, 8.6, 10, 1.4)
    return ground.united(_shape((0.5, 8.6), (3, 3.5), (5.5, 8.6))).united(
        _shape((5, 8.6), (7.5, 0.8), (10, 8.6))
    )


def _sun() -> QPainterPath:
    path = _round(5, 5, 2.4)
    for x, y, width, height in (
        (4.4, 0, 1.2, 1.7),
        (4.4, 8.3, 1.2, 1.7),
        (0, 4.4, 1.7, 1.2),
        (8.3, 4.4, 1.7, 1.2),
    ):
        path = path.united(_box(x, y, width, height))
    return path


SIGNS: dict[NoteKind, QPainterPath] = {
    NoteKind.REMARK: _box(0, 1, 10, 6.2).united(_shape((2, 7.2), (2, 10), (5, 7.2))),
    NoteKind.EFFORT: _box(0, 6.5, 2.4, 3.5).united(_box(3.8, 3.5, 2.4, 6.5)).united(_box(7.6, 0, 2.4, 10)),
    NoteKind.TALK_TEST: _round(1.6, 5, 1.5).united(_round(5, 5, 1.5)).united(_round(8.4, 5, 1.5)),
    NoteKind.LACTATE: _drop(),
    NoteKind.LOAD: _pack(),
    NoteKind.SURFACE: _stones(),
    NoteKind.WEATHER: _sun(),
    NoteKind.FUEL: _shape((0.5, 0.5), (9.5, 0.5), (7.6, 10), (2.4, 10)).subtracted(
        _shape((2.4, 2.2), (7.6, 2.2), (7.1, 4.4), (2.9, 4.4))
    ),
    NoteKind.SPORT: _shape((0.5, 5.5), (2, 4), (4, 6), (8.2, 1), (9.6, 2.4), (4, 9)),
    NoteKind.GRADE: _shape((0, 9.5), (10, 9.5), (10, 2)),
    NoteKind.UTC_OFFSET: _round(5, 5, 5).subtracted(
        _box(4.4, 1.6, 1.2, 4.0).united(_box(4.4, 4.6, 3.6, 1.2))
    ),
}
"""Each in a square of 10 by 10: speech, steps, dots of speech, drop, pack, stones, sun, cup, tick, slope,
clock."""


def paint_sign(painter: QPainter, kind: NoteKind, left: float, top: float, ink: QColor, side: float) -> None:
    """Paint a sign with its upper left corner here, ``side`` pixels wide."""
    painter.save()
    painter.translate(left, top)
    painter.scale(side / 10.0, side / 10.0)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(SIGNS[kind], ink)
    painter.restore()


@lru_cache(maxsize=64)
def sign_pixmap(kind: NoteKind, ink: str, side: int = SIGN_PX) -> QPixmap:
    """The same kept as a picture: quick to paint hundreds of times."""
    pixmap = QPixmap(side * FINE, side * FINE)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setPen(QPen(Qt.PenStyle.NoPen))
    paint_sign(painter, kind, 0.0, 0.0, QColor(ink), float(side * FINE))
    painter.end()
    pixmap.setDevicePixelRatio(FINE)
    return pixmap


def sign_icon(kind: NoteKind, ink: str) -> QIcon:
    """A sign for lists and choices."""
    return QIcon(sign_pixmap(kind, ink, 14))
