"""The ground: elevation with its numbered climbs."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg

from slopebeat.analysis.account.climbs import Climb
from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT
from slopebeat.model.spans import Spans
from slopebeat.model.track import Array
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.lines import break_after, broken, broken_x
from slopebeat.plots.outing.overlay import Span, SpanItem, SpanLook
from slopebeat.plots.outing.panel import Panel
from slopebeat.plots.outing.x_scale import XScale
from slopebeat.review.outing import Review

LEAST_RANGE_M = 40.0
"""Flatter ground is not blown up to look hilly [project choice]."""


class GroundPanel(Panel):
    """Elevation as a line over filled ground, climbs in a darker fill with their numbers."""

    def __init__(self, colours: Colours) -> None:
        super().__init__("", colours)
        self.climbs = SpanItem(SpanLook(colours.panel, colours.ground), -12)
        self.add(self.climbs)
        self.ground = self.curve()
        self.climb_ground = self.curve()
        self._t_s: Array = np.zeros(0)
        self._elevation_m: Array = np.zeros(0)
        self.apply(colours)

    def apply(self, colours: Colours) -> None:
        super().apply(colours)
        self.climbs.set_look(SpanLook(colours.panel, colours.ground, opacity=0.0, badge=True))
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
