"""The lowest chart: speed over ground, vertical speed, or the heart rate the fit does not explain."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt

from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED, Measure
from slopebeat.model.track import Array
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.lines import break_after, broken, broken_x
from slopebeat.plots.outing.panel import Panel
from slopebeat.plots.outing.x_scale import XScale
from slopebeat.review.outing import Review
from slopebeat.review.present.names import key_name
from slopebeat.session.outing.view_state import Rate

LEAST_SPEED_MPS = 5.0 / 3.6
LEAST_VERTICAL_MPS = 200.0 / 3600.0
LEAST_RESIDUAL_BPM = 20.0

OUTER_SHARE = 0.2
"""Percent of the highest and lowest values that may run out of the panel: single outliers
would flatten the rest [project choice]."""


class RatePanel(Panel):
    """One line; the zero line is drawn for what goes both ways."""

    def __init__(self, colours: Colours) -> None:
        super().__init__("", colours)
        self.line = self.curve()
        self.zero = pg.InfiniteLine(0, angle=0, movable=False)
        self.add(self.zero)
        self.apply(colours)

    def apply(self, colours: Colours) -> None:
        super().apply(colours)
        self.line.item.setPen(pg.mkPen(colours.accent))
        self.zero.setPen(pg.mkPen(colours.doubt, style=Qt.PenStyle.DashLine))

    def show(self, review: Review, scale: XScale, rate: Rate) -> None:
        """Draw this review."""
        track = review.track
        after = break_after(track)
        caption, values, least = _shown(review, rate)
        self.line.set_data(broken_x(scale.to_x(track.t_s), after), broken(values, after))
        self.caption.set_text(caption)
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
        why = tr("Residual: no fit ({why})").format(why=key_name(review.response.status))
        return why, np.full(len(track), np.nan), LEAST_RESIDUAL_BPM
    return tr("Heart rate less what work and slope explain, bpm"), residual, LEAST_RESIDUAL_BPM


def _in_unit(caption: str, measure: Measure, si: Array, least_si: float) -> tuple[str, Array, float]:
    factor = measure.scale.factor
    return caption.format(unit=measure.unit), si * factor, least_si * factor
