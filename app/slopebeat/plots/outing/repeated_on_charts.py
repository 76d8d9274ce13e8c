"""Where the way of the outing was gone before: a line under the ground, and how much of it in the caption."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT
from slopebeat.plots.explained import explain_part
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.panels import GroundPanel
from slopebeat.plots.overlay import PixelItem, Span
from slopebeat.plots.theme import theme
from slopebeat.review.ground.words import repeated_sentence
from slopebeat.session.session import Session

LINE_PX, RAISED_PX, TICK_PX = 3.0, 4.0, 7.0
"""Width of the line, its height over the bottom, and that of the ticks at its ends [project choice]."""


class RepeatedLine(PixelItem):
    """A line along the bottom of a panel with ticks at the ends of each stretch."""

    def __init__(self) -> None:
        super().__init__(14)
        self._spans: tuple[Span, ...] = ()
        explain_part(self, "ground.gone")

    @property
    def spans(self) -> tuple[Span, ...]:
        return self._spans

    def set_spans(self, spans: Sequence[Span]) -> None:
        if tuple(spans) != self._spans:
            self._spans = tuple(spans)
            self.update()
        self.setVisible(bool(self._spans))

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        scale = frame.width() / view.width()
        base = frame.bottom() - RAISED_PX
        ink = QColor(theme.colours.fit)
        for span in self._spans:
            left, right = (
                min(max(frame.left() + (x - view.left()) * scale, frame.left()), frame.right())
                for x in (span.start_x, span.end_x)
            )
            if right <= left:
                continue
            painter.setPen(QPen(ink, LINE_PX, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(left, base), QPointF(right, base))
            painter.setPen(QPen(ink, 1.0))
            for x in (left, right):
                painter.drawLine(QPointF(x, base - TICK_PX), QPointF(x, base))


class RepeatedOnCharts(QObject):
    """Keeps the line of the ground panel in step with what is known of the open outing."""

    def __init__(self, panel: GroundPanel, session: Session, scale: Callable[[], XScale | None]) -> None:
        super().__init__(panel)
        self._panel, self._session, self._scale = panel, session, scale
        self.line = RepeatedLine()
        panel.add(self.line)
        session.outing_ground.changed.connect(self.show)

    def show(self) -> None:
        """Draw anew: the stretches, the axis or the units differ."""
        scale, gone = self._scale(), self._session.outing_ground.gone
        review = self._session.outing.review
        if scale is None or review is None or not len(review.track):
            return
        self.line.set_spans(
            [Span(float(scale.to_x(each.start_s)), float(scale.to_x(each.end_s))) for each in gone.stretches]
        )
        words = tr("Elevation, {unit}").format(unit=HEIGHT.unit)
        whole_m = float(review.track.distance_m[-1])
        sentence = repeated_sentence(gone, whole_m) if whole_m > 0.0 else ""
        self._panel.caption.set_text(f"{words}   {sentence}".rstrip())
