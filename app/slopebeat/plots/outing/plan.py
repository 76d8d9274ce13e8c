"""The track from above, coloured by band state and tied to the cursor."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.language import tr
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array
from slopebeat.plots.chart import name_view
from slopebeat.plots.outing.lines import (
    break_after,
    broken,
    extent_m,
    local_metres,
    only,
    round_length,
    thinned,
)
from slopebeat.plots.outing.way_marks import Way, WayMarks
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme
from slopebeat.review.outing import Review
from slopebeat.session.session import Session

THIN_SHARE = 1 / 500
"""Points nearer to the last one drawn than this share of the plan's extent are left out: about a
pixel [project choice]."""

DEPTHS = {BandState.ABOVE: 1, BandState.NO_HEART_RATE: 2, BandState.BELOW: 3, BandState.IN_BAND: 4}
"""What lies on top: on the way back over the same ground the wide line must not hide the others."""

WIDTHS_PX = {BandState.BELOW: 2, BandState.IN_BAND: 2, BandState.ABOVE: 5, BandState.NO_HEART_RATE: 1}
"""Line widths: above is wide, below is dotted, so that the plan reads without colour."""

STYLES = {
    BandState.BELOW: Qt.PenStyle.DotLine,
    BandState.IN_BAND: Qt.PenStyle.SolidLine,
    BandState.ABOVE: Qt.PenStyle.SolidLine,
    BandState.NO_HEART_RATE: Qt.PenStyle.DashLine,
}


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


class Plan(pg.PlotWidget):
    """Click moves the cursor to the nearest place of the track, a double click shows the whole way again;
    the cursor shows as a dot."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._recording: Recording | None = None
        self._t_s: Array = np.zeros(0)
        self._east: Array = np.zeros(0)
        self._north: Array = np.zeros(0)
        name_view(self, tr("Plan of the track"))
        self.setAspectLocked(True)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.hideAxis("left")
        self.hideAxis("bottom")
        self.picked = self._line(-1)
        self.lines = {state: self._line(DEPTHS[state]) for state in BandState}
        self.marks = WayMarks()
        self.bar = ScaleBar()
        self.nothing = pg.TextItem(tr("This recording holds no positions."), anchor=(0.5, 0.5))
        self.dot = pg.ScatterPlotItem(size=11, symbol="o")
        for item in (self.marks, self.bar, self.nothing, self.dot):
            self.addItem(item, ignoreBounds=True)
        self.dot.setZValue(10)
        theme.follow(self._take_colours)
        self.scene().sigMouseClicked.connect(self._clicked)
        session.steps.follow(self._show_review, session.outing.reviewed)
        session.display.changed.connect(self.bar.update)
        session.cursor.changed.connect(self._show_cursor)
        session.selection.changed.connect(self._show_selection)

    def _line(self, z: float) -> pg.PlotCurveItem:
        line = pg.PlotCurveItem(connect="finite", antialias=True)
        line.setZValue(z)
        self.addItem(line)
        return line

    def _take_colours(self) -> None:
        colours = theme.colours
        self.setBackground(colours.panel)
        inks = (colours.below, colours.in_band, colours.above, colours.doubt)
        for state, ink in zip(BandState, inks, strict=True):
            self.lines[state].setPen(pg.mkPen(ink, width=WIDTHS_PX[state], style=STYLES[state]))
        self.picked.setPen(pg.mkPen(colours.selected, width=12))
        self.nothing.setColor(colours.muted)
        self.dot.setBrush(pg.mkBrush(colours.accent))
        self.dot.setPen(pg.mkPen(colours.panel, width=2))

    def _show_review(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        samples = review.recording.samples
        self._t_s = review.track.t_s
        self._east, self._north = local_metres(samples["lat_deg"], samples["lon_deg"])
        known = bool(np.isfinite(self._east).any())
        self.nothing.setVisible(not known)
        self.bar.setVisible(known)
        self._draw(review)
        if self._recording is not review.recording:
            self._recording = review.recording
            self.show_whole()
        self._show_cursor()
        self._show_selection()

    def _draw(self, review: Review) -> None:
        band, track = review.aim.band, review.track
        state = np.zeros(len(track), dtype=np.int8) if band is None else band_state(track.hr_bpm, band)
        kept = thinned(self._east, self._north, state, THIN_SHARE * extent_m(self._east, self._north))
        ends = np.searchsorted(kept, break_after(track), side="right") - 1
        ends = np.unique(ends[(ends >= 0) & (ends < kept.size)])
        east, north = broken(self._east[kept], ends), broken(self._north[kept], ends)
        states = np.insert(state[kept], ends + 1, state[kept][ends])
        for wanted, line in self.lines.items():
            line.setData(east, only(north, states, wanted))
        feet = np.searchsorted(track.t_s[kept], [climb.start_s for climb in review.climbs])
        along = np.maximum.accumulate(np.nan_to_num(track.distance_m[kept]))
        at = tuple(int(foot) for foot in feet if foot < kept.size)
        self.marks.set_way(Way(self._east[kept], self._north[kept], along, at))

    def show_whole(self) -> None:
        """Show the whole way; no farther than to its next surroundings does the plan ever move."""
        if not np.isfinite(self._east).any():
            return
        east, north = self._east, self._north
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
        if t_s is None or not self._t_s.size:
            self.dot.setData([], [])
            return
        i = int(np.clip(np.searchsorted(self._t_s, t_s, side="right") - 1, 0, self._t_s.size - 1))
        here = np.isfinite(self._east[i])
        self.dot.setData([self._east[i]] if here else [], [self._north[i]] if here else [])

    def _show_selection(self) -> None:
        picked = self._session.selection
        if picked.kind is None:
            self.picked.setData([], [])
            return
        first, last = np.searchsorted(self._t_s, (picked.start_s, picked.end_s))
        self.picked.setData(self._east[first : last + 1], self._north[first : last + 1])

    def _clicked(self, event: pg.GraphicsScene.mouseEvents.MouseClickEvent) -> None:
        if not np.isfinite(self._east).any():
            return
        if event.double():
            self.show_whole()
            return
        place = self.getViewBox().mapSceneToView(event.scenePos())
        away = np.hypot(self._east - place.x(), self._north - place.y())
        self._session.cursor.move(float(self._t_s[int(np.nanargmin(away))]))
