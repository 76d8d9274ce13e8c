"""Heart rate over the outing against the band, whose edges can be moved."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QObject, Qt, Signal

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.marks import Channel
from slopebeat.model.track import Array
from slopebeat.plots.band_margin import BandMargin
from slopebeat.plots.outing.drag_mode import DragMode, RangeBox
from slopebeat.plots.outing.line_in_hand import NO_LINE, Line, LineInHand
from slopebeat.plots.outing.lines import XScale, break_after, broken, broken_x, only
from slopebeat.plots.outing.notes_lane import MomentLines, NotesLane
from slopebeat.plots.outing.panels import Panel
from slopebeat.plots.overlay import BandItem, Span, SpanItem, SpanStyle
from slopebeat.plots.theme import theme
from slopebeat.review.earlier import BY_EARLIER, doubt_words
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name

LEAST_WIDTH_BPM = 1
"""A band is never narrower than this."""

GRASP_PX = 10
"""Height of the unseen line that is taken hold of [project choice]."""

EDGE_BPM = (30, 230)
"""Heart rates an edge may be moved to, those that are not doubted as impossible [project choice]."""


class EdgeLine(pg.InfiniteLine):
    """A level line taken by a drag up or down of a hand that looks.

    Drags along the outing, which move the view, and those for notes and doubts go through it.
    """

    def __init__(self, box: RangeBox) -> None:
        super().__init__(angle=0, movable=True)
        self._box = box
        self.setZValue(15)
        self.setCursor(Qt.CursorShape.SizeVerCursor)

    def hoverEvent(self, ev: pg.GraphicsScene.mouseEvents.HoverEvent) -> None:
        self.setMouseHover(not ev.isExit() and self._box.mode_of(ev.modifiers()) is DragMode.LOOK)

    def mouseDragEvent(self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent) -> None:
        if ev.isStart():
            way = ev.scenePos() - ev.buttonDownScenePos()
            if abs(way.x()) >= abs(way.y()) or self._box.mode_of(ev.modifiers()) is not DragMode.LOOK:
                ev.ignore()
                return
        super().mouseDragEvent(ev)


class BandEdges(QObject):
    """Two lines over the drawn edges; each keeps its distance from the other.

    ``taken`` tells that a drag begins, ``moved`` both edges in whole bpm while one is dragged, ``released``
    that the drag has ended.
    """

    taken = Signal()
    moved = Signal(int, int)
    released = Signal()

    def __init__(self, panel: Panel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lower, self.upper = EdgeLine(panel.range_box), EdgeLine(panel.range_box)
        self.dragging = False
        for line in (self.lower, self.upper):
            line.hide()
            panel.add(line)
            line.sigDragged.connect(self._drag)
            line.sigPositionChangeFinished.connect(self._release)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        """Unseen at rest, where the band is drawn; seen under the mouse."""
        for line in (self.lower, self.upper):
            line.setPen(pg.mkPen(color=(0, 0, 0, 0), width=GRASP_PX))
            line.setHoverPen(pg.mkPen(theme.colours.accent, width=2))

    def show_band(self, edges_bpm: tuple[float, float] | None) -> None:
        """Lie on these edges; a line that is being dragged stays in the hand."""
        for line in (self.lower, self.upper):
            line.setVisible(edges_bpm is not None)
        if edges_bpm is None or self.dragging:
            return
        for line, bpm in zip((self.lower, self.upper), edges_bpm, strict=True):
            line.blockSignals(True)
            line.setValue(bpm)
            line.blockSignals(False)

    def _drag(self, line: pg.InfiniteLine) -> None:
        if not self.dragging:
            self.dragging = True
            self.taken.emit()
        least, most = EDGE_BPM
        lower, upper = round(self.lower.value()), round(self.upper.value())
        if line is self.lower:
            lower = min(max(lower, least), upper - LEAST_WIDTH_BPM)
        else:
            upper = max(min(upper, most), lower + LEAST_WIDTH_BPM)
        self.moved.emit(lower, upper)

    def _release(self, _line: pg.InfiniteLine) -> None:
        self.dragging = False
        self.released.emit()


STATES = (BandState.BELOW, BandState.ABOVE, BandState.IN_BAND)
"""In the order they are drawn: the line in band lies on top."""


AROUND_S = 120.0
"""Before and after a stretch doubted by earlier outings what they predict is drawn as well
[project choice]."""


class HeartPanel(Panel):
    """The line is neutral in band, purple below, ochre above; doubtful stretches are hatched."""

    def __init__(self) -> None:
        words, lane = BandMargin(), NotesLane()
        super().__init__(tr("Heart rate, bpm"), words, lane)
        self.words, self.lane = words, lane
        self.plot.showAxis("top")
        self.band = BandItem()
        hatched = SpanStyle("doubt", "muted", Qt.BrushStyle.BDiagPattern, opacity=0.55)
        drafted = SpanStyle("doubt", "accent", Qt.BrushStyle.FDiagPattern, opacity=0.8, edges=True)
        self.doubt = SpanItem(hatched, -10, label_row=2)
        self.add(self.band)
        self.edges = BandEdges(self, self)
        self.draft = SpanItem(drafted, -9, label_row=2)
        self.add(self.doubt)
        self.add(self.draft)
        self.moments = MomentLines()
        self.add(self.moments)
        self._line: Line = NO_LINE
        self._coloured: Band | None = None
        self._stale = True
        self.raw = self.curve()
        self.lines = {state: self.curve() for state in STATES}
        self.in_hand = LineInHand(5)
        self.add(self.in_hand)
        self.predicted = self.curve()
        self.predicted.item.setZValue(5)
        self.fit = self.curve()
        self.fit.item.setZValue(6)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        colours = theme.colours
        self.raw.item.setPen(pg.mkPen(colours.doubt, style=Qt.PenStyle.DotLine))
        self.fit.item.setPen(pg.mkPen(colours.fit))
        self.predicted.item.setPen(pg.mkPen(colours.fit, style=Qt.PenStyle.DashLine))
        inks = {
            BandState.BELOW: (colours.below, colours.below_fill),
            BandState.ABOVE: (colours.above, colours.above_fill),
            BandState.IN_BAND: (colours.in_band, None),
        }
        for state, (ink, fill) in inks.items():
            self.lines[state].item.setPen(pg.mkPen(ink))
            if fill is not None:
                self.lines[state].fill(pg.mkBrush(fill))

    @property
    def shaded(self) -> tuple[SpanItem, ...]:
        return (*super().shaded, self.doubt)

    def show_draft(self, ends_x: tuple[float, float] | None) -> None:
        """A stretch that is being chosen."""
        spans = [] if ends_x is None else [Span(min(ends_x), max(ends_x), tr("to be marked"))]
        self.draft.set_spans(spans)

    def show_band(self, edges_bpm: tuple[float, float] | None) -> None:
        """Draw these edges, which may be ahead of the review while one is dragged."""
        self.band.set_band(edges_bpm)
        self.edges.show_band(edges_bpm)
        self.words.set_band(edges_bpm)

    def show(self, review: Review, scale: XScale, fitted: bool = False) -> None:
        """Draw this review, with the fitted heart rate where it is asked for."""
        track = review.track
        after = break_after(track)
        x = broken_x(scale.to_x(track.t_s), after)
        heart = broken(track.hr_bpm, after)
        recorded = review.recording.samples["hr_bpm"]
        doubted = broken(np.where(np.isnan(track.hr_bpm), recorded, np.nan), after)
        self.raw.set_data(x, doubted)
        self.doubt.set_spans(_doubted(review, scale))
        fit = review.response.fitted_hr_bpm if fitted else None
        self.fit.set_data(x, np.full(x.shape, np.nan) if fit is None else broken(fit, after))
        self.predicted.set_data(x, broken(_predicted(review), after))
        self.caption.set_text(_caption(review, bool(np.isfinite(recorded).any()), fit is not None))
        self._line, self._stale = (x, heart), True
        self.show_counted(review)

    def show_counted(self, review: Review) -> None:
        """Draw what hangs on the band: the line that was shown last, coloured by it, and the band itself."""
        band = review.aim.band
        edges_bpm = None if band is None else (band.lower_bpm, band.upper_bpm)
        if self.edges.dragging and edges_bpm is not None:
            self._take_in_hand(edges_bpm)
            # The scale stands still under the hand.
            return
        if self._stale or band != self._coloured:
            self._stale, self._coloured = False, band
            self._colour(band)
        self.show_band(edges_bpm)
        around = [] if band is None else [np.array([band.lower_bpm - 3.0, band.upper_bpm + 3.0])]
        self.fit_y([review.track.hr_bpm, *around], shortest=30.0)

    def let_go(self, review: Review) -> None:
        """The hand holds no edge any more: draw the line itself again."""
        self.in_hand.let_go()
        for line in self.lines.values():
            line.set_visible(True)
        self.show_counted(review)

    def _take_in_hand(self, edges_bpm: tuple[float, float]) -> None:
        """Show slices of kept pictures in place of the line."""
        self._stale = True
        self.in_hand.take(self._line, edges_bpm)
        for line in self.lines.values():
            line.set_visible(False)
        self.show_band(edges_bpm)

    def _colour(self, band: Band | None) -> None:
        x, heart = self._line
        state, edges = np.zeros(heart.shape, dtype=np.int8), {}
        if band is not None:
            state = band_state(heart, band)
            edges = {BandState.ABOVE: band.upper_bpm, BandState.BELOW: band.lower_bpm}
        for wanted, line in self.lines.items():
            line.set_data(x, only(heart, state, wanted), edges.get(wanted, 0.0))


def _predicted(review: Review) -> Array:
    """(n,) what earlier outings predict, in and about the stretches they show to be wrong; NaN elsewhere."""
    t, line = review.track.t_s, np.full(len(review.track), np.nan)
    if review.predicted is None:
        return line
    for mark in review.marks:
        if mark.reason in BY_EARLIER and mark.counts:
            here = (t >= mark.start_s - AROUND_S) & (t <= mark.end_s + AROUND_S)
            line[here] = review.predicted.hr_bpm[here]
    return line


def _caption(review: Review, any_heart_rate: bool, fitted: bool) -> str:
    if not any_heart_rate:
        return tr("Heart rate, bpm: none in this recording")
    if not fitted and any(mark.reason in BY_EARLIER and mark.counts for mark in review.marks):
        return tr("Heart rate, bpm  ·  dashed line: foretold by earlier outings")
    if not fitted:
        return tr("Heart rate, bpm")
    status = review.response.status
    if status is FitStatus.USABLE:
        return tr("Heart rate, bpm  ·  smooth line: expected from work and slope")
    return tr(
        "Heart rate, bpm  ·  smooth line: expected from work and slope (not to be relied on: {why})"
    ).format(why=key_name(status))


def _doubted(review: Review, scale: XScale) -> list[Span]:
    """One span per counting mark on the heart rate."""
    return [
        Span(float(scale.to_x(m.start_s)), float(scale.to_x(m.end_s)), doubt_words(review, m), "?")
        for m in review.marks
        if m.counts and m.channel is Channel.HEART_RATE
    ]
