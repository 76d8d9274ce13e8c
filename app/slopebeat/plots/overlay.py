"""Things drawn in screen pixels on a panel: shaded spans with labels, the band, captions.

Hatches and text must not be stretched with the data, so these items map their edges to the screen
and paint there. They never count for the extent of a panel.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from slopebeat.plots.theme import theme

SMALL_POINT = 8.0
"""Point size of the labels inside charts [project choice]."""


BESIDE_CAPTION_PX = 16
"""Left and right of the caption of a panel [project choice]."""


@dataclass(frozen=True)
class Span:
    """A stretch of x with what to write into it; ``short`` is written where the text has no room."""

    start_x: float
    end_x: float
    text: str = ""
    short: str = ""


@dataclass(frozen=True)
class SpanStyle:
    """How spans are filled and labelled; ``fill`` and ``ink`` are names of the theme's colours."""

    fill: str
    ink: str
    pattern: Qt.BrushStyle = Qt.BrushStyle.SolidPattern
    opacity: float = 1.0
    edges: bool = False
    badge: bool = False


def small_font(bold: bool = False) -> QFont:
    font = QFont()
    font.setPointSizeF(SMALL_POINT * theme.text_share)
    font.setBold(bold)
    return font


class PixelItem(pg.GraphicsObject):
    """Covers the view it lies in and paints in pixels."""

    def __init__(self, z: float) -> None:
        super().__init__()
        self.setZValue(z)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def boundingRect(self) -> QRectF:
        return self.viewRect() or QRectF()

    def viewTransformChanged(self) -> None:
        super().viewTransformChanged()
        self.prepareGeometryChange()
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        view = self.viewRect()
        if view is None or view.width() <= 0:
            return
        to_screen = painter.transform()
        frame = to_screen.mapRect(view)
        painter.save()
        painter.resetTransform()
        painter.setClipRect(frame)
        self.paint_pixels(painter, frame, view)
        painter.restore()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        raise NotImplementedError


class SpanItem(PixelItem):
    """Shaded stretches over the whole height of a panel."""

    def __init__(self, look: SpanStyle, z: float, label_row: int = 0) -> None:
        super().__init__(z)
        self._look = look
        self._label_row = label_row
        self._spans: Sequence[Span] = ()
        self.caption: CaptionItem | None = None
        """Where badges keep clear of it."""
        self._badges: list[tuple[int, QRectF]] = []
        self.setVisible(False)

    @property
    def spans(self) -> Sequence[Span]:
        return self._spans

    def set_spans(self, spans: Sequence[Span]) -> None:
        # What stays as it was is not painted again, nor is what is not there.
        if tuple(spans) != self._spans:
            self._spans, self._badges = tuple(spans), []
            self.update()
        self.setVisible(bool(self._spans))

    def badge_at(self, place: QPointF) -> int | None:
        """Number, from 0, of the span whose badge was painted at a place of the scene."""
        return next((number for number, box in self._badges if box.contains(place)), None)

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        self._badges = []
        scale = frame.width() / view.width()
        colours = vars(theme.colours)
        fill = QColor(colours[self._look.fill])
        fill.setAlphaF(self._look.opacity)
        brush = QBrush(fill, self._look.pattern)
        ink = QPen(QColor(colours[self._look.ink]), 1)
        painter.setFont(small_font(self._look.badge))
        # Hatches lie as on the screen, also in a picture that is kept.
        painter.setBrushOrigin(frame.topLeft() - self.sceneBoundingRect().topLeft())
        metrics = QFontMetricsF(painter.font())
        free_from = frame.left() + (0.0 if self.caption is None else self.caption.width_px())
        for number, span in enumerate(self._spans):
            if span.end_x < view.left() or span.start_x > view.right():
                continue
            left = frame.left() + (span.start_x - view.left()) * scale
            right = max(frame.left() + (span.end_x - view.left()) * scale, left + 1.0)
            box = QRectF(left, frame.top(), right - left, frame.height())
            painter.fillRect(box, brush)
            painter.setPen(ink)
            if self._look.edges:
                painter.drawLine(box.topLeft(), box.bottomLeft())
                painter.drawLine(box.topRight(), box.bottomRight())
            place = self._label(painter, box.intersected(frame), span, frame, metrics, free_from)
            if place is not None:
                self._badges.append((number, place))

    def _label(
        self,
        painter: QPainter,
        box: QRectF,
        span: Span,
        frame: QRectF,
        metrics: QFontMetricsF,
        free_from: float,
    ) -> QRectF | None:
        """Write into a span, beside the caption that ends at ``free_from``; where, or None without room."""
        room = box.width() - 4
        text = span.text if metrics.horizontalAdvance(span.text) <= room else span.short
        width = metrics.horizontalAdvance(text)
        if not text or (width > room and not self._look.badge):
            return None
        height = metrics.height()
        top = box.top() + 4 + self._label_row * (height + 2)
        left = box.center().x() - width / 2 - 4
        if self._look.badge and left < free_from:
            # Beside the caption where the span reaches that far or there is no room under it, else under it.
            under, least = top + height + 3, frame.left() + 1
            beside = box.right() > free_from + width or under + height > frame.bottom()
            left, top = (free_from, top) if beside else (max(left, least), under)
        place = QRectF(left, top, width + 8, height)
        if self._look.badge:
            # Of a day of many climbs the first of a crowd keeps its number; the others show theirs closer by.
            if any(place.intersects(taken) for _, taken in self._badges):
                return None
            colours = vars(theme.colours)
            painter.setBrush(QColor(colours[self._look.ink]))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawRoundedRect(place, 3, 3)
            painter.setPen(QColor(colours[self._look.fill]))
        painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)
        return place


class BandItem(PixelItem):
    """The heart-rate band: a quiet area between its two edges."""

    def __init__(self, z: float = -20) -> None:
        super().__init__(z)
        self.edges_bpm: tuple[float, float] | None = None

    def set_band(self, edges_bpm: tuple[float, float] | None) -> None:
        if edges_bpm != self.edges_bpm:
            self.edges_bpm = edges_bpm
            self.update()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        if self.edges_bpm is None:
            return
        fill, edge = QColor(theme.colours.band_fill), QColor(theme.colours.in_band)
        low, high = self._heights(frame, view)
        painter.fillRect(QRectF(frame.left(), high, frame.width(), low - high), fill)
        painter.setPen(QPen(edge, 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(frame.left(), high), QPointF(frame.right(), high))
        painter.drawLine(QPointF(frame.left(), low), QPointF(frame.right(), low))

    def _heights(self, frame: QRectF, view: QRectF) -> tuple[float, float]:
        """Both edges on the screen, which grows downward while the view grows upward."""
        assert self.edges_bpm is not None
        scale = frame.height() / view.height()
        low, high = (frame.bottom() - (bpm - view.top()) * scale for bpm in self.edges_bpm)
        return low, high


class CaptionItem(PixelItem):
    """What a panel shows, in its upper left corner; in more lines where one has no room."""

    def __init__(self, text: str = "") -> None:
        super().__init__(30)
        self.text = text

    def set_text(self, text: str) -> None:
        if text != self.text:
            self.text = text
            self.update()

    def width_px(self) -> float:
        """What it takes from the left edge, as long as it has room on one line."""
        return QFontMetricsF(small_font()).horizontalAdvance(self.text) + BESIDE_CAPTION_PX

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        painter.setFont(small_font())
        metrics = QFontMetricsF(painter.font())
        room = QRectF(frame.left() + 8, frame.top() + 3, max(frame.width() - 12, 1.0), frame.height())
        how = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)
        words = metrics.boundingRect(room, how, self.text)
        place = QRectF(room.left() - 4, room.top(), words.width() + 8, words.height())
        paper = QColor(theme.colours.panel)
        paper.setAlphaF(0.85)
        painter.fillRect(place, paper)
        painter.setPen(QColor(theme.colours.muted))
        painter.drawText(room, how, self.text)
