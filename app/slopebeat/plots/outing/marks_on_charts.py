"""What the session knows, marked on the charts: the band in the hand, what is selected, repeated ground."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from pyqtgraph.GraphicsScene.mouseEvents import MouseClickEvent
from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPen
from PySide6.QtWidgets import QGraphicsItem, QToolTip, QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT
from slopebeat.plots.chart import explain_part
from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.panels import GroundPanel, Panel
from slopebeat.plots.overlay import PixelItem, Span
from slopebeat.plots.theme import theme
from slopebeat.review.ground.words import repeated_sentence
from slopebeat.review.pieces import climb_at, episode_at
from slopebeat.session.session import Session


class BandOnCharts(QObject):
    """Tries the band of an edge that is dragged, and keeps what lies under it as pictures meanwhile.

    At rest all is drawn at each frame, which is less work while the charts themselves are moved or zoomed.
    """

    def __init__(self, heart: HeartPanel, panels: Sequence[Panel], session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._heart, self._panels, self._session = heart, panels, session
        edges = heart.edges
        edges.taken.connect(self._take)
        edges.moved.connect(session.try_band)
        edges.released.connect(self._release)

    def _take(self) -> None:
        self._keep(QGraphicsItem.CacheMode.DeviceCoordinateCache)

    def _release(self) -> None:
        self._session.keep_tried()
        self._keep(QGraphicsItem.CacheMode.NoCache)
        if (review := self._session.outing.review) is not None:
            self._heart.let_go(review)

    def _keep(self, how: QGraphicsItem.CacheMode) -> None:
        for panel in self._panels:
            for curve in panel.curves:
                curve.keep_picture(how)
            for shaded in panel.shaded:
                shaded.setCacheMode(how)


class PiecesOnCharts(QObject):
    """Follows the session's selection, and makes it where a piece is clicked."""

    def __init__(
        self,
        view: QWidget,
        panels: Sequence[Panel],
        session: Session,
        scale: Callable[[], XScale | None],
    ) -> None:
        super().__init__(view)
        self._view, self._panels, self._session, self._scale = view, panels, session, scale
        session.selection.changed.connect(self.show)

    def show(self) -> None:
        """Mark every stretch of what is selected; its name stands in the uppermost panel."""
        picked, scale, words = self._session.selection, self._scale(), self._session.piece_selection.words
        shown = (picked.start_s, picked.end_s) if picked.index >= 0 else None
        for panel in self._panels:
            named = isinstance(panel, HeartPanel)
            spans = []
            for start_s, end_s in picked.stretches if scale is not None else ():
                assert scale is not None
                caption = words if named and shown in (None, (start_s, end_s)) else ""
                spans.append(Span(float(scale.to_x(start_s)), float(scale.to_x(end_s)), caption))
            panel.highlight.set_spans([Span(span.start_x, span.end_x) for span in spans])
            panel.name.set_spans([span for span in spans if span.text])

    def clicked(self, event: MouseClickEvent) -> None:
        """Select the climb or the episode under the mouse."""
        if event.button() != Qt.MouseButton.LeftButton or event.double():
            return
        found = self._found(event.scenePos())
        if found is None:
            return
        climb, t_s = found
        if climb is not None:
            self._session.piece_selection.climb(climb)
        else:
            self._session.piece_selection.episode_at(t_s)

    def tell(self, event: QHelpEvent, place: QPointF) -> bool:
        """Show what the piece under the mouse is called; whether there is one."""
        found = self._found(place)
        if found is None:
            return False
        QToolTip.showText(event.globalPos(), self._session.piece_selection.words_at(found[1]), self._view)
        return True

    def _found(self, place: QPointF) -> tuple[int | None, float] | None:
        """The number of the climb at a place in the scene, or None for an episode, and a second in it."""
        review, scale = self._session.outing.review, self._scale()
        if review is None or scale is None:
            return None
        for panel in self._panels:
            if not panel.box.sceneBoundingRect().contains(place):
                continue
            here = panel.box.mapSceneToView(place)
            t_s = scale.to_seconds(here.x())
            if isinstance(panel, HeartPanel):
                band, number = review.aim.band, episode_at(review, t_s)
                outside = band is not None and not band.lower_bpm <= here.y() <= band.upper_bpm
                return (None, t_s) if number is not None and outside else None
            if isinstance(panel, GroundPanel):
                badge = panel.climbs.badge_at(place)
                if badge is not None:
                    return badge, review.climbs[badge].start_s
                climb = climb_at(review, t_s)
                ground = float(np.interp(t_s, review.track.t_s, review.track.elevation_m))
                return (climb, t_s) if climb is not None and here.y() <= ground else None
        return None


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
