"""Heart rate against the band, as shapes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.bands import Band
from slopebeat.model.language import tr
from slopebeat.model.marks import Channel
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.lines import break_after, broken, broken_x, only
from slopebeat.report.frame import Frame, runs, value_axis
from slopebeat.report.shapes import Anchor, Hatch, Path, Rect, Shape, Text, hatch, size_for
from slopebeat.review.outing import Review

Array = NDArray[np.float64]

COLUMN_PT = 0.3
"""Width of a column of the picture: a 240th of an inch, near what a printer resolves [project choice]."""

LEAST_RANGE_BPM = 30.0
"""A steadier heart rate is not blown up to look restless [project choice]."""

DOUBT_STRIP_PT = 4.0

SIDE_WORDS_PT = 28.0
"""Room for the names of the sides, to the right of the frame."""


def heart_range(review: Review) -> tuple[float, float]:
    """What the chart shows, bpm: all trusted heart rate, and the band with room for its words."""
    hr, band = review.track.hr_bpm, review.aim.band
    known = hr[np.isfinite(hr)]
    edges = [] if band is None else [band.lower_bpm - 8.0, band.upper_bpm + 8.0]
    values = np.concatenate((known, edges)) if known.size or edges else np.array([60.0, 120.0])
    low, high = float(values.min()), float(values.max())
    slack = max(LEAST_RANGE_BPM - (high - low), 0.04 * (high - low)) / 2
    return low - slack, high + slack


def heart_chart(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """Band, line by state, doubted stretches; what is above or below is filled to the edge."""
    track, band = review.track, review.aim.band
    after = break_after(track)
    x = frame.x(broken_x(track.t_s, after))
    hr = broken(track.hr_bpm, after)
    shapes = [] if band is None else _band(frame, band, colours)
    shapes += value_axis(frame, tr("Heart rate, bpm"), colours)
    shapes += _doubts(frame, review, colours, x, after)
    if band is None:
        return [*shapes, Path(_line(frame, x, hr), colours.in_band)]
    state = band_state(hr, band)
    for code, edge, ink, fill in (
        (BandState.BELOW, band.lower_bpm, colours.below, colours.below_fill),
        (BandState.ABOVE, band.upper_bpm, colours.above, colours.above_fill),
    ):
        line = _line(frame, x, only(hr, state, code))
        shapes += [_area(frame, line, edge, code, fill), Path(line, ink)]
    shapes.append(Path(_line(frame, x, only(hr, state, BandState.IN_BAND)), colours.in_band))
    return [*shapes, *_words(frame, band, colours)]


def _line(frame: Frame, x: Array, values: Array) -> tuple[Array, ...]:
    return runs(x, frame.y(values), COLUMN_PT)


def _band(frame: Frame, band: Band, colours: Colours) -> list[Shape]:
    top, bottom = float(frame.y(band.upper_bpm)), float(frame.y(band.lower_bpm))
    shapes: list[Shape] = [Rect(frame.left, top, frame.width, bottom - top, colours.band_fill)]
    for y in (top, bottom):
        line = np.array([[frame.left, y], [frame.right, y]])
        shapes.append(Path((line,), colours.in_band, 0.5, dashed=True))
    return shapes


def _area(frame: Frame, line: tuple[Array, ...], edge_bpm: float, code: BandState, fill: str) -> Path:
    """The surface between a line and the band's edge; the ends inside the band are cut off."""
    edge = float(frame.y(edge_bpm))
    cut = np.minimum if code is BandState.ABOVE else np.maximum
    parts = []
    for part in line:
        rim = np.column_stack((part[:, 0], cut(part[:, 1], edge)))
        ends = np.array([[rim[-1, 0], edge], [rim[0, 0], edge]])
        parts.append(np.vstack((rim, ends)))
    return Path(tuple(parts), fill=fill)


def _words(frame: Frame, band: Band, colours: Colours) -> list[Shape]:
    """The band's edges and the names of its sides, to the right of the frame."""
    top, bottom = float(frame.y(band.upper_bpm)), float(frame.y(band.lower_bpm))
    x = frame.right + 4
    shapes: list[Shape] = [
        Text(x, top + 2.3, f"{band.upper_bpm}", 6.5, colours.ink, bold=True),
        Text(x, bottom + 2.3, f"{band.lower_bpm}", 6.5, colours.ink, bold=True),
        _side(x, max(top - 6.0, frame.top + 5), tr("above"), colours.above),
        _side(x, min(bottom + 11.0, frame.bottom), tr("below"), colours.below),
    ]
    if bottom - top > 22.0:
        shapes.append(_side(x, (top + bottom) / 2 + 2.3, tr("in band"), colours.in_band))
    return shapes


def _side(x: float, y: float, name: str, ink: str) -> Text:
    return Text(x, y, name, size_for(name, 6.5, SIDE_WORDS_PT), ink, bold=True)


def _doubts(frame: Frame, review: Review, colours: Colours, x: Array, after: NDArray[np.intp]) -> list[Shape]:
    """Doubted heart rate dotted, and its stretches hatched at the foot of the chart."""
    recorded = review.recording.samples["hr_bpm"]
    doubted = broken(np.where(np.isnan(review.track.hr_bpm), recorded, np.nan), after)
    low, high = frame.y_range
    doubted = np.clip(doubted, low, high)
    shapes: list[Shape] = [Path(_line(frame, x, doubted), colours.doubt, 0.5, dashed=True)]
    for mark in review.marks:
        if mark.counts and mark.channel is Channel.HEART_RATE:
            span = frame.span(mark.start_s, mark.end_s, None)
            strip = Rect(
                span.x, frame.bottom - DOUBT_STRIP_PT, max(span.width, 0.8), DOUBT_STRIP_PT, colours.panel
            )
            shapes += [strip, *hatch(strip, Hatch.CROSSED, colours.muted, 2.0)]
            if span.width > 8.0:
                place = (span.x + span.width / 2, frame.bottom - DOUBT_STRIP_PT - 1.5)
                shapes.append(Text(*place, "?", 6.5, colours.muted, Anchor.MIDDLE))
    return shapes
