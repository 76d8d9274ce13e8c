"""The track from above, coloured by band state and tied to the cursor."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QRectF
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPen
from PySide6.QtWidgets import QToolTip, QWidget

from slopebeat.analysis.account.time_account import band_state
from slopebeat.model.language import tr
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array, Track
from slopebeat.plots.chart import name_view
from slopebeat.plots.outing.backdrop import BackdropOnPlan
from slopebeat.plots.outing.lines import (
    NO_PLACES,
    Places,
    break_after,
    extent_m,
    local_metres,
    round_length,
    to_the_right,
)
from slopebeat.plots.outing.way_lines import WayLines
from slopebeat.plots.outing.way_marks import DrawnWay, WayMarks
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme
from slopebeat.review.outing import Review
from slopebeat.session.session import Session

PICKED_OPACITY = 0.4
"""Of the mark under what is selected [project choice]."""

NEAR_PX = 8.0
"""The mouse is on the way as long as it is so near [project choice]."""

SAME_SCALE = 0.02
"""The way is drawn anew once the scale differs by this share [project choice]."""

NO_PLACE = np.array([np.nan])
"""Between two stretches that are marked."""

ROAM, LEAST_SHOWN_M = 1.5, 60.0
"""How far round the track the plan may be moved, in lengths of its frame, and the least that is shown
[project choice]."""


class ScaleBar(PixelItem):
    """A bar of a round length, lower left."""

    def __init__(self) -> None:
        super().__init__(30)

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        length_m, text = round_length(view.width() * 0.35)
        width = length_m / view.width() * frame.width()
        left, bottom = frame.left() + 10, frame.bottom() - 10
        painter.setPen(QPen(QColor(theme.colours.muted), 1))
        start, end, up = QPointF(left, bottom), QPointF(left + width, bottom), QPointF(0, -4)
        for one, other in ((start, end), (start, start + up), (end, end + up)):
            painter.drawLine(one, other)
        painter.setFont(small_font())
        painter.drawText(QPointF(left + 4, bottom - 5), text)


class PlanView(pg.PlotWidget):
    """The way from above, there and back apart; the cursor shows as a dot.

    A click moves the cursor to the nearest place of the way and selects the climb or the stretch out of band
    that is drawn there, a double click shows the whole way again.
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent, enableMenu=False)
        self._session = session
        self._recording: Recording | None = None
        self._track: Track | None = None
        self._t_s: Array = np.zeros(0)
        self._places = NO_PLACES
        name_view(self, tr("Plan of the track"))
        self.setAspectLocked(True)
        self.hideButtons()
        self.hideAxis("left")
        self.hideAxis("bottom")
        self._way = NO_PLACES.line(np.zeros(0, np.int8))
        self._drawn: tuple[Array, Array] = (self._way.east_m, self._way.north_m)
        self._metres_per_px = 0.0
        self.gone, self.picked = self._line(-2), self._line(-1)
        self.lines = WayLines(1)
        self.marks = WayMarks()
        self.bar = ScaleBar()
        self.nothing = pg.TextItem(tr("This recording holds no positions."), anchor=(0.5, 0.5))
        self.dot = pg.ScatterPlotItem(size=11, symbol="o")
        self.backdrop = BackdropOnPlan(self, session)
        for item in (self.lines, self.marks, self.bar, self.nothing, self.dot):
            self.addItem(item, ignoreBounds=True)
        self.dot.setZValue(10)
        theme.follow(self._take_colours)
        self.scene().sigMouseClicked.connect(self._clicked)
        session.steps.follow(self._show_review, session.outing.reviewed)
        session.display.changed.connect(self.bar.update)
        session.cursor.changed.connect(self._show_cursor)
        session.selection.changed.connect(self._show_selection)
        session.outing_ground.changed.connect(self._show_repeated)
        self.getViewBox().sigTransformChanged.connect(self._scaled)

    def _line(self, z: float) -> pg.PlotCurveItem:
        line = pg.PlotCurveItem(connect="finite", antialias=True)
        line.setZValue(z)
        self.addItem(line, ignoreBounds=True)
        return line

    def _take_colours(self) -> None:
        colours = theme.colours
        self.setBackground(colours.panel)
        mark = pg.mkColor(colours.accent)
        mark.setAlphaF(PICKED_OPACITY)
        self.picked.setPen(pg.mkPen(mark, width=11))
        before = pg.mkColor(colours.fit)
        before.setAlphaF(PICKED_OPACITY)
        self.gone.setPen(pg.mkPen(before, width=8))
        self.nothing.setColor(colours.muted)
        self.dot.setBrush(pg.mkBrush(colours.accent))
        self.dot.setPen(pg.mkPen(colours.panel, width=2))

    def _show_review(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        if review.track is not self._track:
            self._take_places(review)
        self._draw(review)
        if self._recording is not review.recording:
            self._recording = review.recording
            self.show_whole()
        self._show_cursor()
        self._show_selection()

    def _take_places(self, review: Review) -> None:
        """Take what no band changes: where the track lies, and what is written along it."""
        track, samples = review.track, review.recording.samples
        self._track, self._t_s = track, track.t_s
        east, north = local_metres(samples["lat_deg"], samples["lon_deg"])
        self._places = Places(east, north, break_after(track))
        known = bool(np.isfinite(east).any())
        self.nothing.setVisible(not known)
        self.bar.setVisible(known)
        self.marks.set_way(_marked(review, self._places))

    def _draw(self, review: Review) -> None:
        band, track = review.aim.band, review.track
        state = np.zeros(len(track), dtype=np.int8) if band is None else band_state(track.hr_bpm, band)
        self._way = self._places.line(state)
        self._draw_apart()

    def _draw_apart(self) -> None:
        """Draw the way beside where it was gone, as many pixels at every scale."""
        way, self._metres_per_px = self._way, float(self.getViewBox().viewPixelSize()[0])
        right_m, up_m = to_the_right(way.east_m, way.north_m, self._metres_per_px)
        self._drawn = (way.east_m + right_m, way.north_m + up_m)
        state, east, north = way.broken(*self._drawn)
        self.lines.set_way(east, north, state)
        self._show_selection()
        self._show_repeated()

    def _scaled(self, *_about: object) -> None:
        """The view was moved or zoomed; moved, everything stays as it is drawn."""
        now = float(self.getViewBox().viewPixelSize()[0])
        if self._way.sample.size and abs(now - self._metres_per_px) > SAME_SCALE * now:
            self._draw_apart()

    def show_whole(self) -> None:
        """Show the whole way; no farther than to its next surroundings does the plan ever move."""
        if not np.isfinite(self._places.east_m).any():
            return
        east, north = self._places.east_m, self._places.north_m
        west, south = float(np.nanmin(east)), float(np.nanmin(north))
        room, box = extent_m(east, north), self.getViewBox()
        box.setLimits(
            xMin=west - ROAM * room,
            xMax=float(np.nanmax(east)) + ROAM * room,
            yMin=south - ROAM * room,
            yMax=float(np.nanmax(north)) + ROAM * room,
            minXRange=min(LEAST_SHOWN_M, room),
        )
        self.setRange(xRange=(west, np.nanmax(east)), yRange=(south, np.nanmax(north)), padding=0.1)

    def _show_cursor(self) -> None:
        t_s = self._session.cursor.t_s
        if t_s is None and not self.dot.isVisible():
            return
        self.dot.setVisible(t_s is not None)
        if t_s is None or not self._t_s.size:
            self.dot.setData([], [])
            return
        i = int(np.clip(np.searchsorted(self._t_s, t_s, side="right") - 1, 0, self._t_s.size - 1))
        here = np.isfinite(self._places.east_m[i])
        self.dot.setData([self._places.east_m[i]] if here else [], [self._places.north_m[i]] if here else [])

    def _show_selection(self) -> None:
        """Mark every stretch of what is selected under its piece of the way."""
        self._mark(self.picked, self._session.selection.stretches)

    def _show_repeated(self) -> None:
        gone = self._session.outing_ground.gone.stretches
        self._mark(self.gone, [(each.start_s, each.end_s) for each in gone])

    def _mark(self, line: pg.PlotCurveItem, stretches: Sequence[tuple[float, float]]) -> None:
        """Lay a line under some stretches of the way, in seconds."""
        if not stretches and not line.isVisible():
            return
        line.setVisible(bool(stretches))
        east, north = [NO_PLACE], [NO_PLACE]
        times = self._t_s[self._way.sample]
        for start_s, end_s in stretches:
            first, last = np.searchsorted(times, (start_s, end_s))
            # A stretch of seconds may lie between two places that are drawn.
            here = slice(max(int(first) - 1, 0) if last == first else int(first), int(last) + 1)
            east += [self._drawn[0][here], NO_PLACE]
            north += [self._drawn[1][here], NO_PLACE]
        line.setData(np.concatenate(east), np.concatenate(north))

    def viewportEvent(self, event: QEvent) -> bool:
        """Hovering over the way tells what was there."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            t_s = self._on_way(self.mapToScene(event.pos()))
            if t_s is not None:
                QToolTip.showText(event.globalPos(), self._session.piece_selection.words_at(t_s), self)
                return True
        return bool(super().viewportEvent(event))

    def _nearest(self, place: QPointF) -> tuple[float, float]:
        """The second of the outing drawn nearest to a place in the scene, and how many pixels away."""
        point = self.getViewBox().mapSceneToView(place)
        away = np.hypot(self._drawn[0] - point.x(), self._drawn[1] - point.y())
        at = int(away.argmin())
        # Between the places that are drawn the recorded ones tell the second more closely.
        few = self._way.sample[[max(at - 1, 0), min(at + 1, away.size - 1)]]
        near = slice(int(few[0]), int(few[1]) + 1)
        over = point.x() - self._drawn[0][at] + self._way.east_m[at]
        up = point.y() - self._drawn[1][at] + self._way.north_m[at]
        close = np.hypot(self._places.east_m[near] - over, self._places.north_m[near] - up)
        return float(self._t_s[near][int(np.nanargmin(close))]), float(away[at]) / self._metres_per_px

    def _on_way(self, place: QPointF) -> float | None:
        """The second of the outing drawn at a place in the scene; None beside the way."""
        if not self._way.sample.size:
            return None
        t_s, away_px = self._nearest(place)
        return t_s if away_px <= NEAR_PX else None

    def _clicked(self, event: pg.GraphicsScene.mouseEvents.MouseClickEvent) -> None:
        if not self._way.sample.size:
            return
        if event.double():
            self.show_whole()
            return
        place = event.scenePos()
        self._session.cursor.move(self._nearest(place)[0])
        climb, t_s = self.marks.climb_at(place), self._on_way(place)
        if climb is not None:
            self._session.piece_selection.climb(climb)
        elif t_s is not None:
            self._session.piece_selection.episode_at(t_s)


def _marked(review: Review, places: Places) -> DrawnWay:
    """The way that distances and the climbs are written along, the same for every band."""
    track = review.track
    way = places.line(np.zeros(len(track), dtype=np.int8))
    feet = np.searchsorted(track.t_s[way.sample], [climb.start_s for climb in review.climbs])
    along = np.maximum.accumulate(np.nan_to_num(track.distance_m[way.sample]))
    at = tuple(int(foot) for foot in feet if foot < way.sample.size)
    return DrawnWay(way.east_m, way.north_m, along, at)
