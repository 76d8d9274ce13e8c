"""Heart rate over the outing against the band, whose edges can be moved."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.marks import Channel
from slopebeat.model.track import Array
from slopebeat.plots.band_margin import BandMargin
from slopebeat.plots.outing.band_edges import BandEdges
from slopebeat.plots.outing.line_in_hand import NO_LINE, Line, LineInHand
from slopebeat.plots.outing.lines import XScale, break_after, broken, broken_x, only
from slopebeat.plots.outing.notes_lane import MomentLines, NotesLane
from slopebeat.plots.outing.panels import Panel
from slopebeat.plots.overlay import BandItem, Span, SpanItem, SpanStyle
from slopebeat.plots.theme import theme
from slopebeat.review.earlier import BY_EARLIER, doubt_words
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name

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
