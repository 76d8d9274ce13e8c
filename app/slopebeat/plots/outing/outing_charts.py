"""The stack of charts over the outing, linked on x, with one cursor."""

from __future__ import annotations

from math import ceil

import numpy as np
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QHelpEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.plots.chart import ChartStack
from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.marks_on_charts import BandOnCharts, PiecesOnCharts, RepeatedOnCharts
from slopebeat.plots.outing.notes_on_charts import NotesOnCharts
from slopebeat.plots.outing.panels import GroundPanel, Panel, RatePanel, idle_spans, shown_night
from slopebeat.plots.overlay import Span
from slopebeat.plots.theme import theme
from slopebeat.review.outing import Review
from slopebeat.session.outing.view_state import Along
from slopebeat.session.session import Session

HEIGHTS = (6, 3, 3)
"""Shares of the height: heart rate, elevation, speed [project choice]."""

HEART_OF_WINDOW, LEAST_PANEL_PX, EASY_PANEL = 1 / 3, 28, 0.25
"""On a low screen the heart rate still gets this share of the window's height, as long as each of the other
panels keeps so many pixels at the usual text size; they lie easy at this share of the heart rate's height
[project choice]."""

AROUND_PX, APART_PX, RIM_PX = 3, 5, 4
"""Room around all panels, between two, and what pyqtgraph keeps of a panel's height for its rim
[project choice; the last as measured]."""

LEAST_X_M = 20.0
"""Along distance, zooming stops here [project choice]."""

KEYS = {
    Qt.Key.Key_Left: ("pan", -0.2),
    Qt.Key.Key_Right: ("pan", 0.2),
    Qt.Key.Key_Plus: ("zoom", 0.7),
    Qt.Key.Key_Equal: ("zoom", 0.7),
    Qt.Key.Key_Minus: ("zoom", 1 / 0.7),
}
"""Plain keys that work while the charts have the focus."""

Panels = tuple[HeartPanel, GroundPanel, RatePanel]


class OutingCharts(ChartStack):
    """Reads the session's state and draws it; wheel, drag, keys and the mouse change that state."""

    def __init__(self, session: Session, panels: Panels | None = None, parent: QWidget | None = None) -> None:
        """``panels`` may have been made before, one after the other: each takes a while."""
        super().__init__(tr("Charts of the outing"), parent)
        self._session = session
        self._scale: XScale | None = None
        self._drawn: Review | None = None
        self._following = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.heart, self.ground, self.rate = panels or (HeartPanel(), GroundPanel(), RatePanel())
        self.panels: tuple[Panel, ...] = (self.heart, self.ground, self.rate)
        self._lay_out()
        self.scene().sigMouseMoved.connect(self._mouse_moved)
        self.heart.box.sigXRangeChanged.connect(self._x_moved)
        self.heart.lane.heightChanged.connect(self._make_room)
        theme.follow(self._make_room)
        self.notes = NotesOnCharts(self, self.panels, self.heart, session, lambda: self._scale)
        self.pieces = PiecesOnCharts(self, self.panels, session, lambda: self._scale)
        self.hand = BandOnCharts(self.heart, self.panels, session, self)
        self.gone = RepeatedOnCharts(self.ground, session, lambda: self._scale)
        self.scene().sigMouseClicked.connect(self.notes.clicked)
        self.notes.passed.connect(self.pieces.clicked)
        session.doubts.draft_changed.connect(self._show_draft)
        session.outing.reviewed.connect(self._show_counted)
        for signal in (session.charts.changed, session.display.changed):
            signal.connect(self._show_review)
        session.visible.changed.connect(self._show_range)
        session.cursor.changed.connect(self._show_cursor)

    def _lay_out(self) -> None:
        self.ci.setContentsMargins(4, AROUND_PX, 8, AROUND_PX)
        self.ci.setSpacing(APART_PX)
        for row, panel in enumerate(self.panels):
            self.addItem(panel.plot, row=row, col=0)
            panel.show_bottom_labels(row == len(self.panels) - 1)
            if row:
                panel.plot.setXLink(self.heart.plot)

    @property
    def _beside_px(self) -> float:
        """Height of what is no panel: the notes over the heart rate, the axes under the panels, the gaps."""
        axes = sum(panel.bottom.height() for panel in self.panels)
        gaps = 2 * AROUND_PX + (len(self.panels) - 1) * APART_PX
        return float(self.heart.lane.maximumHeight() + axes + gaps)

    def wanted_px(self, window_px: int, comfort: float) -> int:
        """Height at which the heart rate gets its part of a window so high, the other panels between their
        least (0) and what lies easy (1)."""
        heart, least = HEART_OF_WINDOW * window_px + RIM_PX, LEAST_PANEL_PX * theme.text_share
        other = least + comfort * max(EASY_PANEL * heart - least, 0.0)
        return ceil(self._beside_px + heart + (len(self.panels) - 1) * other)

    def _make_room(self) -> None:
        """What the notes take is taken from all panels, what a low screen wants from the lower."""
        body, others = max(self.height() - self._beside_px, 12.0), sum(HEIGHTS[1:])
        least = LEAST_PANEL_PX * theme.text_share
        heart = HEIGHTS[0] / sum(HEIGHTS) * body
        heart = max(heart, min(ceil(HEART_OF_WINDOW * self.window().height()) + RIM_PX, body - 2 * least))
        shares = (heart, *(height / others * (body - heart) for height in HEIGHTS[1:]))
        for row, (panel, height) in enumerate(zip(self.panels, shares, strict=True)):
            above = self.heart.lane.maximumHeight() if panel is self.heart else 0.0
            self.ci.layout.setRowFixedHeight(row, height + panel.bottom.height() + above)

    def _show_review(self) -> None:
        """Draw panel by panel, the heart rate first."""
        self._session.steps.later(self._show_heart, self._show_ground, self._show_rate)

    def _show_counted(self) -> None:
        """Another band changes only the colours of the heart rate; all else stays as it is drawn."""
        if _differ_by_band(self._drawn, self._session.outing.review):
            self._session.steps.later(self._show_band)
        else:
            self._show_review()

    def _show_band(self) -> None:
        self._drawn = review = self._session.outing.review
        if review is not None:
            self.heart.show_counted(review)
            self._refine(self.heart)
            self.pieces.show()

    def _show_heart(self) -> None:
        review, choice = self._session.outing.review, self._session.charts
        if review is None:
            return
        self._drawn = review
        track = review.track
        along_distance = choice.along is Along.DISTANCE and bool(np.isfinite(track.distance_m).any())
        self._scale = XScale(track.t_s, track.distance_m if along_distance else None)
        self.heart.show(review, self._scale, choice.fitted)
        idle, night = idle_spans(track, self._scale), shown_night(review, self._scale)
        for panel in self.panels:
            # Named once, in the uppermost panel.
            panel.idle.set_spans(idle if panel is self.heart else [Span(s.start_x, s.end_x) for s in idle])
            panel.night.set_spans(night if panel is self.heart else [Span(s.start_x, s.end_x) for s in night])
            panel.bottom.set_along_distance(along_distance)
        self._limit_x()
        visible = self._session.visible
        self._show_range(visible.start_s, visible.end_s)
        self._show_cursor()
        self.pieces.show()
        self.notes.show()

    def _show_ground(self) -> None:
        review, visible = self._session.outing.review, self._session.visible
        if review is None or self._scale is None:
            return
        self.ground.show(review, self._scale)
        self.ground.fit_visible(visible.start_s, visible.end_s)
        self._refine(self.ground)
        self.gone.show()

    def _show_rate(self) -> None:
        review = self._session.outing.review
        if review is None or self._scale is None:
            return
        self.rate.show(review, self._scale, self._session.charts.rate)
        self._refine(self.rate)

    def _refine(self, panel: Panel) -> None:
        assert self._scale is not None
        visible = self._session.visible
        panel.show_range(*(float(self._scale.to_x(t)) for t in (visible.start_s, visible.end_s)))

    def _limit_x(self) -> None:
        scale = self._scale
        assert scale is not None
        first, last = (float(scale.to_x(t)) for t in (0.0, self._session.visible.full_s))
        least = min(LEAST_X_M if scale.along_distance else 10.0, max(last - first, 1.0))
        self._following = True
        for panel in self.panels:
            panel.box.setLimits(xMin=first, xMax=max(last, first + least), minXRange=least)
        self._following = False

    def _show_range(self, start_s: float, end_s: float) -> None:
        if self._scale is None:
            return
        self.ground.fit_visible(start_s, end_s)
        start, end = (float(self._scale.to_x(t)) for t in (start_s, end_s))
        for panel in self.panels:
            self._refine(panel)
        if self._following:
            return
        self._following = True
        self.heart.plot.setXRange(start, max(end, start + 1.0), padding=0)
        self._following = False

    def _x_moved(self, _box: object, x_range: tuple[float, float]) -> None:
        """The charts were panned or zoomed by mouse: tell the others."""
        if self._following or self._scale is None:
            return
        self._following = True
        start, end = x_range
        self._session.visible.show(self._scale.to_seconds(start), self._scale.to_seconds(end, last=True))
        self._following = False

    def _show_cursor(self) -> None:
        t_s = self._session.cursor.t_s
        for panel in self.panels:
            panel.cursor.setVisible(t_s is not None)
            if t_s is not None and self._scale is not None:
                panel.cursor.setValue(float(self._scale.to_x(t_s)))
        if self._session.doubts.draft_s is not None:
            self._show_draft()

    def _show_draft(self) -> None:
        """A stretch started at the cursor runs to where the cursor is now."""
        start_s, scale = self._session.doubts.draft_s, self._scale
        if start_s is None or scale is None:
            self.heart.show_draft(None)
            return
        ends = [float(scale.to_x(start_s if t is None else t)) for t in (start_s, self._session.cursor.t_s)]
        self.heart.show_draft((ends[0], ends[1]))

    def _mouse_moved(self, place: QPointF) -> None:
        scale = self._scale
        if scale is None:
            return
        for panel in self.panels:
            if panel.box.sceneBoundingRect().contains(place):
                self._session.cursor.move(scale.to_seconds(panel.box.mapSceneToView(place).x()))
                return

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        super().resizeEvent(event)
        # The first call comes from within the making of the view.
        if hasattr(self, "heart"):
            self.heart.lane.fit(self.height())
            self._make_room()

    def viewportEvent(self, event: QEvent) -> bool:
        """Hovering over a note tells its words, over a climb or a coloured area what it is."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            return any(each.tell(event, self.mapToScene(event.pos())) for each in (self.notes, self.pieces))
        return bool(super().viewportEvent(event))

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """The menu key asks for what a right click does; the click itself comes by the scene."""
        t_s = self._session.cursor.t_s
        if event.reason() is QContextMenuEvent.Reason.Keyboard and t_s is not None:
            self.notes.menu_requested.emit(event.globalPos(), t_s)
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        visible = self._session.visible
        act = KEYS.get(Qt.Key(event.key()))
        if act is not None and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            name, amount = act
            visible.pan(amount) if name == "pan" else visible.zoom(amount, self._session.cursor.t_s)
        elif event.key() == Qt.Key.Key_Home:
            visible.reset()
        else:
            super().keyPressEvent(event)


def _differ_by_band(drawn: Review | None, review: Review | None) -> bool:
    """Whether two reviews say the same of an outing but for what is counted."""
    return (
        drawn is not None
        and review is not None
        and drawn.response is review.response
        and drawn.recording.samples is review.recording.samples
        and drawn.predicted is review.predicted
        and drawn.marks == review.marks
    )
