"""The charts of the stack: plots that move along x only, and of them ground and rate."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt

from slopebeat.analysis.account.climbs import Climb
from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT, SPEED, VERTICAL_SPEED, Measure
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array, Track
from slopebeat.model.units import duration
from slopebeat.plots.band_margin import Margin
from slopebeat.plots.chart import StackedPlot, explain_part
from slopebeat.plots.outing.curve import Curve
from slopebeat.plots.outing.drag_mode import RangeBox
from slopebeat.plots.outing.lines import XScale, break_after, broken, broken_x
from slopebeat.plots.overlay import Span, SpanItem, SpanStyle
from slopebeat.plots.theme import theme
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name, night_words
from slopebeat.session.outing.view_state import Rate

AXIS_PX = 20
"""Height of the labels under the lowest panel at the usual text size [project choice]."""

Y_ROOM = 0.08
"""Share of the value range left free above and below [project choice]."""


class Panel(StackedPlot):
    """A plot with caption, idle spans, highlight and cursor line; subclasses add their curves.

    ``explained`` is the figure the help explains it by.
    """

    explained = "at_heart_rate"

    def __init__(self, caption: str, margin: Margin | None = None, top: pg.AxisItem | None = None) -> None:
        box = RangeBox()
        super().__init__(box, margin or Margin(), caption, top)
        self.range_box = box
        explain_part(self.plot, self.explained)
        explain_part(self.margin, "at_band")
        # Before any curve is added: set later on a curve it has no effect. Clipping would build every
        # line anew at each frame; a kept line of 36,000 points is drawn in about a millisecond.
        self.plot.setClipToView(False)
        self.plot.setDownsampling(auto=False)
        self.plot.setMouseEnabled(x=True, y=False)
        self._labelled = True
        self.curves: list[Curve] = []
        self._add_marks()
        theme.follow(self._take_look)

    def _add_marks(self) -> None:
        """What is drawn over and under the lines, none of it counting for the extent."""
        self.idle = SpanItem(SpanStyle("idle", "muted"), -15, label_row=1)
        # Under all else: it only says when it was dark.
        self.night = SpanItem(SpanStyle("band_fill", "muted", opacity=0.7), -40)
        explain_part(self.night, "night")
        self.highlight = SpanItem(SpanStyle("selected", "doubt", edges=True), -30)
        # Over the lines, which would hide it.
        self.name = SpanItem(SpanStyle("panel", "ink", opacity=0.0), 15)
        self.draft_note = SpanItem(SpanStyle("accent", "accent", opacity=0.18, edges=True), -8)
        self.measured = SpanItem(SpanStyle("ground", "ink", opacity=0.16, edges=True), -9)
        self.cursor = pg.InfiniteLine(angle=90, movable=False)
        spans = (self.idle, self.night, self.highlight, self.name, self.draft_note, self.measured)
        for item in spans:
            self.add(item)
        self.add(self.cursor, 20)
        self.cursor.hide()

    def _take_look(self) -> None:
        self.cursor.setPen(pg.mkPen(theme.colours.accent))
        self.show_bottom_labels(self._labelled)

    def curve(self) -> Curve:
        """Another line of this panel."""
        made = Curve(self.plot)
        self.curves.append(made)
        return made

    def show_range(self, start_x: float, end_x: float) -> None:
        """Draw the lines as fine as this range needs."""
        for curve in self.curves:
            curve.show(start_x, end_x)

    @property
    def shaded(self) -> tuple[SpanItem, ...]:
        """Stretches that lie under the curves."""
        return (self.idle, self.night)

    def show_bottom_labels(self, shown: bool) -> None:
        self._labelled = shown
        self.bottom.setStyle(showValues=shown)
        self.bottom.setHeight(round(AXIS_PX * theme.text_share) if shown else 4)

    def fit_y(self, values: Sequence[Array], shortest: float, from_zero: bool = False) -> None:
        """Give the value axis room for these values, and at least ``shortest`` of range."""
        known = np.concatenate([v[np.isfinite(v)] for v in values]) if values else np.zeros(0)
        low, high = (float(known.min()), float(known.max())) if known.size else (0.0, shortest)
        if from_zero:
            low = 0.0
        extra = max(0.0, shortest - (high - low))
        low, high = (low, high + extra) if from_zero else (low - extra / 2, high + extra / 2)
        room = Y_ROOM * (high - low)
        self.plot.setYRange(low if from_zero else low - room, high + room, padding=0)


def idle_spans(track: Track, scale: XScale) -> list[Span]:
    """Pauses and gaps; along distance they take no room and become lines."""
    spans: list[Span] = []
    for i in break_after(track):
        start, end = (float(scale.to_x(t)) for t in (track.t_s[i], track.t_s[i + 1]))
        pause, gap = float(track.pause_s[i]), float(track.gap_s[i])
        if pause >= gap:
            spans.append(Span(start, end, tr("pause {time}").format(time=duration(pause)), tr("pause")))
        else:
            spans.append(Span(start, end, tr("gap {time}").format(time=duration(gap)), tr("gap")))
    return spans


def shown_night(review: Review, scale: XScale) -> list[Span]:
    """The hours of the night, with the time by the clock where that is known."""
    spans = []
    for start, end in review.nights:
        words = night_words(review.recording, start, end)
        spans.append(Span(float(scale.to_x(start)), float(scale.to_x(end)), words, tr("night")))
    return spans


LEAST_RANGE_M = 40.0
"""Flatter ground is not blown up to look hilly [project choice]."""


class GroundPanel(Panel):
    """Elevation as a line over filled ground, climbs in a darker fill with their numbers."""

    explained = "at_elevation"

    def __init__(self) -> None:
        super().__init__("")
        self.climbs = SpanItem(SpanStyle("panel", "ground", opacity=0.0, badge=True), 12)
        self.climbs.caption = self.caption
        self.add(self.climbs)
        self.ground = self.curve()
        self.climb_ground = self.curve()
        self._t_s: Array = np.zeros(0)
        self._elevation_m: Array = np.zeros(0)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        colours = theme.colours
        self.ground.item.setPen(pg.mkPen(colours.ground))
        self.ground.fill(pg.mkBrush(colours.ground_fill))
        self.climb_ground.item.setPen(pg.mkPen(colours.ground))
        self.climb_ground.fill(pg.mkBrush(colours.climb_fill))

    def show(self, review: Review, scale: XScale) -> None:
        """Draw this review."""
        track = review.track
        self.left.show_unit(HEIGHT)
        self.caption.set_text(tr("Elevation, {unit}").format(unit=HEIGHT.unit))
        after = break_after(track)
        x = broken_x(scale.to_x(track.t_s), after)
        elevation = broken(track.elevation_m, after)
        climbing = np.where(_inside(broken_x(track.t_s, after), review.climbs), elevation, np.nan)
        lowest = float(np.nanmin(elevation)) if np.isfinite(elevation).any() else 0.0
        for line, values in ((self.ground, elevation), (self.climb_ground, climbing)):
            line.set_data(x, values, lowest - 10 * LEAST_RANGE_M)
        self.climbs.set_spans(
            [
                Span(float(scale.to_x(c.start_s)), float(scale.to_x(c.end_s)), str(number), str(number))
                for number, c in enumerate(review.climbs, start=1)
            ]
        )
        self._t_s, self._elevation_m = track.t_s, track.elevation_m
        self.fit_visible(0.0, float(track.t_s[-1]) if len(track) else 0.0)

    def fit_visible(self, start_s: float, end_s: float) -> None:
        """Fit the elevation axis to the visible stretch."""
        first, last = np.searchsorted(self._t_s, (start_s, end_s))
        self.fit_y([self._elevation_m[first : last + 1]], LEAST_RANGE_M)


def _inside(t_s: Array, climbs: tuple[Climb, ...]) -> np.ndarray:
    """Whether each time lies on a climb, foot and top included."""
    spans = Spans.from_pairs((c.start_s, c.end_s) for c in climbs)
    if not len(spans):
        return np.zeros(t_s.shape, dtype=bool)
    at = np.searchsorted(spans.start_s, t_s, side="right") - 1
    return (at >= 0) & (t_s <= spans.end_s[at])


EXPLAINED = {Rate.SPEED: "at_speed", Rate.VERTICAL: "at_vertical", Rate.RESIDUAL: "residual"}

LEAST_SPEED_MPS = 5.0 / 3.6
LEAST_VERTICAL_MPS = 200.0 / 3600.0
LEAST_RESIDUAL_BPM = 20.0

OUTER_SHARE = 0.2
"""Percent of the highest and lowest values that may run out of the panel: single outliers
would flatten the rest [project choice]."""


class RatePanel(Panel):
    """One line; the zero line is drawn for what goes both ways."""

    explained = "at_speed"

    def __init__(self) -> None:
        super().__init__("")
        self.line = self.curve()
        self.zero = pg.InfiniteLine(0, angle=0, movable=False)
        self.add(self.zero)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        self.line.item.setPen(pg.mkPen(theme.colours.accent))
        self.zero.setPen(pg.mkPen(theme.colours.doubt, style=Qt.PenStyle.DashLine))

    def show(self, review: Review, scale: XScale, rate: Rate) -> None:
        """Draw this review."""
        track = review.track
        after = break_after(track)
        caption, values, least = _shown(review, rate)
        self.line.set_data(broken_x(scale.to_x(track.t_s), after), broken(values, after))
        self.caption.set_text(caption)
        explain_part(self.plot, EXPLAINED[rate])
        from_zero = rate is Rate.SPEED
        self.zero.setVisible(not from_zero)
        known = values[np.isfinite(values)]
        ends = np.percentile(known, [OUTER_SHARE, 100 - OUTER_SHARE]) if known.size else np.zeros(0)
        self.fit_y([ends], least, from_zero=from_zero)


def _shown(review: Review, rate: Rate) -> tuple[str, Array, float]:
    """Caption, values and least range of the axis."""
    track = review.track
    if rate is Rate.SPEED:
        return _in_unit(tr("Speed, {unit}"), SPEED, track.speed_mps, LEAST_SPEED_MPS)
    if rate is Rate.VERTICAL:
        caption = tr("Vertical speed, {unit}")
        return _in_unit(caption, VERTICAL_SPEED, track.vertical_speed_mps, LEAST_VERTICAL_MPS)
    residual = review.response.residual_bpm
    if residual is None:
        why = tr("Unexplained: no fit ({why})").format(why=key_name(review.response.status))
        return why, np.full(len(track), np.nan), LEAST_RESIDUAL_BPM
    return tr("Heart rate less what work and slope explain, bpm"), residual, LEAST_RESIDUAL_BPM


def _in_unit(caption: str, measure: Measure, si: Array, least_si: float) -> tuple[str, Array, float]:
    factor = measure.scale.factor
    return caption.format(unit=measure.unit), si * factor, least_si * factor
