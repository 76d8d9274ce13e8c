"""A scene on a painter: for PDF, PNG and the screen."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
)

from slopebeat.report.shapes import Anchor, Path, Rect, Scene, Shape, Text
from slopebeat.report.words import one_line

_kept: list[QGuiApplication] = []


def application() -> QGuiApplication:
    """The running application, or one that opens no window and needs no display.

    Fonts need an application. Off screen it runs on a machine without a display too; on Windows and macOS
    there always is one, and only its own platform knows the fonts there.
    """
    running = QGuiApplication.instance()
    if isinstance(running, QGuiApplication):
        return running
    if sys.platform not in ("win32", "darwin"):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    _kept.append(QGuiApplication(["slopebeat"]))
    return _kept[0]


FINE = 64
"""Text is set this many times larger and drawn that much smaller: font sizes are whole numbers, and
advance widths are rounded to whole units."""


def paint(painter: QPainter, scene: Scene) -> None:
    """Draw a scene; one unit of the painter is one point."""
    paint_shapes(painter, scene.shapes)


def paint_shapes(painter: QPainter, shapes: Sequence[Shape], smooth: bool = True) -> None:
    """Draw shapes in their order; not ``smooth`` keeps small hatched boxes crisp on a screen."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, smooth)
    for shape in shapes:
        if isinstance(shape, Path):
            _path(painter, shape)
        elif isinstance(shape, Rect):
            _rect(painter, shape)
        else:
            paint_text(painter, shape)
    painter.restore()


@lru_cache(maxsize=64)
def _metrics(family: str, size: float, bold: bool) -> QFontMetricsF:
    """Metrics of a font, kept because a page asks thousands of times."""
    return QFontMetricsF(font(size, bold))


def font(size: float, bold: bool = False) -> QFont:
    """The font of a report, ``FINE`` times its size."""
    made = QFont()
    made.setPixelSize(round(size * FINE))
    made.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    return made


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Width of a line in points."""
    return _width(QGuiApplication.font().family(), text, size, bold)


@lru_cache(maxsize=20_000)
def _width(family: str, text: str, size: float, bold: bool) -> float:
    """Kept because a page that is too full is laid out again with less on it, most of it the same."""
    return _metrics(family, size, bold).horizontalAdvance(text) / FINE


def paint_text(painter: QPainter, text: Text) -> None:
    """Draw one line at its anchor."""
    words = one_line(text.text)
    shift = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}[text.anchor]
    x = text.x - shift * text_width(words, text.size, text.bold) if shift else text.x
    painter.save()
    painter.translate(x, text.y)
    painter.scale(1 / FINE, 1 / FINE)
    painter.setFont(font(text.size, text.bold))
    painter.setPen(QColor(text.colour))
    painter.drawText(QPointF(0, 0), words)
    painter.restore()


def _path(painter: QPainter, path: Path) -> None:
    if path.stroke and not path.fill and all(len(part) == 2 for part in path.parts):
        # A hatch is many lines of two ends: as a path they would take longer than all else of a bar.
        painter.setPen(_pen(path, path.stroke))
        painter.drawLines([QLineF(*ends) for ends in np.reshape(path.parts, (-1, 4)).tolist()])
        return
    lines = QPainterPath()
    for part in path.parts:
        lines.addPolygon(QPolygonF([QPointF(x, y) for x, y in part.tolist()]))
        if path.fill:
            lines.closeSubpath()
    if path.fill:
        painter.fillPath(lines, QColor(path.fill))
    if path.stroke:
        painter.strokePath(lines, _pen(path, path.stroke))


def _pen(path: Path, ink: str) -> QPen:
    pen = QPen(QColor(ink), path.width)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if path.dashed:
        # A painter counts dashes in widths of the pen.
        pen.setDashPattern([2.4 / path.width, 1.6 / path.width])
    return pen


def _rect(painter: QPainter, rect: Rect) -> None:
    box = QRectF(rect.x, rect.y, rect.width, rect.height)
    if rect.fill:
        painter.fillRect(box, QColor(rect.fill))
    if rect.stroke:
        painter.setPen(QPen(QColor(rect.stroke), rect.line))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
