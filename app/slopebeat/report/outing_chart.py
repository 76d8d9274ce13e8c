"""Heart rate, elevation and speed on one time axis, and the way beside them: the picture of an outing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.bands import Band
from slopebeat.model.language import tr, trn
from slopebeat.model.marks import Channel
from slopebeat.model.measures import HEIGHT, SPEED
from slopebeat.model.units import duration
from slopebeat.plots.colours import LIGHT
from slopebeat.plots.outing.lines import break_after, broken, broken_x, only
from slopebeat.report.frame import TICK_SIZE, TIME_WORDS_SHARE, Frame, runs, time_axis, value_axis
from slopebeat.report.shapes import (
    PAGE_WIDTH_PT,
    Anchor,
    Hatch,
    Path,
    Rect,
    Scene,
    Shape,
    Text,
    hatch,
    size_for,
)
from slopebeat.report.way_chart import has_way, titled_way
from slopebeat.review.outing import Review
from slopebeat.review.words.names import night_words

LEFT_PT, RIGHT_PT, TOP_PT, BETWEEN_PT, BOTTOM_PT = 26.0, 34.0, 12.0, 16.0, 22.0
CHART_PT = 225.0
"""Height of the charts where there is room [project choice]."""

HEART_SHARE, GROUND_SHARE = 0.5, 0.27
"""Shares of the charts' height; the speed takes what is left [project choice]."""

WAY_PT = 138.0
"""Width of the way beside the charts [project choice]."""


def outing_chart(review: Review, width: float = PAGE_WIDTH_PT, height: float = CHART_PT) -> Scene:
    """The charts of a review with the plan of its way, in points."""
    room = height - TOP_PT - 2 * BETWEEN_PT - BOTTOM_PT
    way = WAY_PT if has_way(review) else 0.0
    inner = width - way - LEFT_PT - RIGHT_PT
    x_range = (0.0, max(review.recording.span_s, 1.0))
    heart = Frame(LEFT_PT, TOP_PT, inner, room * HEART_SHARE, x_range, heart_range(review))
    top = heart.bottom + BETWEEN_PT
    ground = Frame(LEFT_PT, top, inner, room * GROUND_SHARE, x_range, ground_range(review))
    top, left = ground.bottom + BETWEEN_PT, 1 - HEART_SHARE - GROUND_SHARE
    speed = Frame(LEFT_PT, top, inner, room * left, x_range, speed_range(review))
    shapes: list[Shape] = [Rect(0, 0, width, height, LIGHT.panel)]
    shapes += [span for frame in (heart, ground, speed) for span in _idle(frame, review)]
    shapes += heart_chart(heart, review)
    shapes += _idle_names(heart, review)
    shapes += ground_chart(ground, review)
    shapes += speed_chart(speed, review)
    shapes += [frame.box(stroke=LIGHT.line) for frame in (heart, ground, speed)]
    shapes += time_axis(speed)
    shapes += _key(speed, review)
    if way:
        box = Rect(width - way, TOP_PT, way, speed.bottom - TOP_PT, None, LIGHT.line)
        shapes += titled_way(box, review)
    return Scene(
        width, height, tuple(shapes), tr("Heart rate, elevation and speed over time"), _described(review)
    )


def _idle(frame: Frame, review: Review) -> list[Shape]:
    t = review.track.t_s
    night = [frame.span(start, end, LIGHT.band_fill) for start, end in review.nights]
    idle = [frame.span(float(t[i]), float(t[i + 1]), LIGHT.idle) for i in break_after(review.track)]
    return [*night, *idle]


def _idle_names(frame: Frame, review: Review) -> list[Shape]:
    track = review.track
    shapes: list[Shape] = []
    for i in break_after(track):
        span = frame.span(float(track.t_s[i]), float(track.t_s[i + 1]), None)
        pause, gap = float(track.pause_s[i]), float(track.gap_s[i])
        name = tr("pause {time}") if pause >= gap else tr("gap {time}")
        name = name.format(time=duration(max(pause, gap)))
        if span.width > 4.0 * len(name):
            place = (span.x + span.width / 2, frame.top + 9.0)
            shapes.append(Text(*place, name, TICK_SIZE, LIGHT.muted, Anchor.MIDDLE))
    return shapes


def _key(frame: Frame, review: Review) -> list[Shape]:
    """What is shaded and hatched, said only where something is."""
    parts = []
    parts += [night_words(review.recording, start, end) for start, end in review.nights]
    if len(break_after(review.track)):
        parts.append(tr("shaded: timer off or no records"))
    if any(mark.counts for mark in review.marks):
        parts.append(tr("?, hatched at the foot: heart rate in doubt, not counted"))
    words = "; ".join(parts)
    size = size_for(words, 6.0, (0.98 - TIME_WORDS_SHARE) * frame.width)
    return [Text(frame.left, frame.bottom + 19, words, size, LIGHT.muted)] if words else []


def _described(review: Review) -> str:
    names = {"time": duration(review.recording.span_s), "n": len(review.climbs), "band": review.aim.band}
    if review.aim.band is None:
        return trn(
            "Heart rate, elevation and speed over {time}, with {n} climb.",
            "Heart rate, elevation and speed over {time}, with {n} climbs.",
            len(review.climbs),
        ).format(**names)
    return trn(
        "Heart rate against the band {band}, elevation and speed over {time}, with {n} climb.",
        "Heart rate against the band {band}, elevation and speed over {time}, with {n} climbs.",
        len(review.climbs),
    ).format(**names)


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


def heart_chart(frame: Frame, review: Review) -> list[Shape]:
    """Band, line by state, doubted stretches; what is above or below is filled to the edge."""
    track, band = review.track, review.aim.band
    after = break_after(track)
    x = frame.x(broken_x(track.t_s, after))
    hr = broken(track.hr_bpm, after)
    shapes = [] if band is None else _band(frame, band)
    shapes += value_axis(frame, tr("Heart rate, bpm"))
    shapes += _doubts(frame, review, x, after)
    if band is None:
        return [*shapes, Path(_line(frame, x, hr), LIGHT.in_band)]
    state = band_state(hr, band)
    for code, edge, ink, fill in (
        (BandState.BELOW, band.lower_bpm, LIGHT.below, LIGHT.below_fill),
        (BandState.ABOVE, band.upper_bpm, LIGHT.above, LIGHT.above_fill),
    ):
        line = _line(frame, x, only(hr, state, code))
        shapes += [_area(frame, line, edge, code, fill), Path(line, ink)]
    shapes.append(Path(_line(frame, x, only(hr, state, BandState.IN_BAND)), LIGHT.in_band))
    return [*shapes, *_words(frame, band)]


def _line(frame: Frame, x: Array, values: Array) -> tuple[Array, ...]:
    return runs(x, frame.y(values), COLUMN_PT)


def _band(frame: Frame, band: Band) -> list[Shape]:
    top, bottom = float(frame.y(band.upper_bpm)), float(frame.y(band.lower_bpm))
    shapes: list[Shape] = [Rect(frame.left, top, frame.width, bottom - top, LIGHT.band_fill)]
    for y in (top, bottom):
        shapes.append(Path((frame.level(y),), LIGHT.in_band, 0.5, dashed=True))
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


def _words(frame: Frame, band: Band) -> list[Shape]:
    """The band's edges and the names of its sides, to the right of the frame."""
    top, bottom = float(frame.y(band.upper_bpm)), float(frame.y(band.lower_bpm))
    x = frame.right + 4
    shapes: list[Shape] = [
        Text(x, top + 2.3, f"{band.upper_bpm}", 6.5, LIGHT.ink, bold=True),
        Text(x, bottom + 2.3, f"{band.lower_bpm}", 6.5, LIGHT.ink, bold=True),
        _side(x, max(top - 6.0, frame.top + 5), tr("above"), LIGHT.above),
        _side(x, min(bottom + 11.0, frame.bottom), tr("below"), LIGHT.below),
    ]
    if bottom - top > 22.0:
        shapes.append(_side(x, (top + bottom) / 2 + 2.3, tr("in band"), LIGHT.in_band))
    return shapes


def _side(x: float, y: float, name: str, ink: str) -> Text:
    return Text(x, y, name, size_for(name, 6.5, SIDE_WORDS_PT), ink, bold=True)


def _doubts(frame: Frame, review: Review, x: Array, after: NDArray[np.intp]) -> list[Shape]:
    """Doubted heart rate dotted, and its stretches hatched at the foot of the chart."""
    recorded = review.recording.samples["hr_bpm"]
    doubted = broken(np.where(np.isnan(review.track.hr_bpm), recorded, np.nan), after)
    low, high = frame.y_range
    doubted = np.clip(doubted, low, high)
    shapes: list[Shape] = [Path(_line(frame, x, doubted), LIGHT.doubt, 0.5, dashed=True)]
    for mark in review.marks:
        if mark.counts and mark.channel is Channel.HEART_RATE:
            span = frame.span(mark.start_s, mark.end_s, None)
            strip = Rect(
                span.x, frame.bottom - DOUBT_STRIP_PT, max(span.width, 0.8), DOUBT_STRIP_PT, LIGHT.panel
            )
            shapes += [strip, *hatch(strip, Hatch.CROSSED, LIGHT.muted, 2.0)]
            if span.width > 8.0:
                place = (span.x + span.width / 2, frame.bottom - DOUBT_STRIP_PT - 1.5)
                shapes.append(Text(*place, "?", 6.5, LIGHT.muted, Anchor.MIDDLE))
    return shapes


LEAST_RANGE_M = 40.0
"""Flatter ground is not blown up to look hilly [project choice]."""

LEAST_SPEED_MPS, OUTER_SPEED = 2.0, 99.5
"""A slower outing is not blown up, and the percentile above which single records leave the frame
[project choice]."""

LABEL_ROOM = 0.22
"""Share of the range left free above the ground for the numbers of climbs."""


def ground_range(review: Review) -> tuple[float, float]:
    """What the chart shows, in the unit of heights in force."""
    known = review.track.elevation_m[np.isfinite(review.track.elevation_m)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, LEAST_RANGE_M)
    slack = max(LEAST_RANGE_M - (high - low), 0.0) / 2
    low, high = low - slack, high + slack
    return HEIGHT.shown(low - 0.04 * (high - low)), HEIGHT.shown(high + LABEL_ROOM * (high - low))


def ground_chart(frame: Frame, review: Review) -> list[Shape]:
    """Filled ground, climbs darker with their numbers."""
    track = review.track
    after = break_after(track)
    t_s = broken_x(track.t_s, after)
    x, y = frame.x(t_s), frame.y(_shown(broken(track.elevation_m, after)))
    shapes = value_axis(frame, _title(), most=4)
    if not np.isfinite(y).any():
        middle = (frame.left + frame.width / 2, frame.top + frame.height / 2)
        return [*shapes, Text(*middle, tr("no elevation recorded"), 7.0, LIGHT.muted, Anchor.MIDDLE)]
    line = runs(x, y, COLUMN_PT)
    shapes.append(Path(_down_to(frame.bottom, line), fill=LIGHT.ground_fill))
    for climb in review.climbs:
        here = (t_s >= climb.start_s) & (t_s <= climb.end_s)
        part = runs(x, np.where(here, y, np.nan), COLUMN_PT)
        shapes.append(Path(_down_to(frame.bottom, part), fill=LIGHT.climb_fill))
    shapes.append(Path(line, LIGHT.ground, 0.8))
    return [*shapes, *_numbers(frame, review)]


def _shown(elevation_m: Array) -> Array:
    return elevation_m * HEIGHT.scale.factor + HEIGHT.scale.offset


def _title() -> str:
    return tr("Elevation, {unit}; climbs are numbered").format(unit=HEIGHT.unit)


def _down_to(bottom: float, line: tuple[Array, ...]) -> tuple[Array, ...]:
    return tuple(np.vstack((p, [[p[-1, 0], bottom], [p[0, 0], bottom]])) for p in line)


def _numbers(frame: Frame, review: Review) -> list[Shape]:
    """The number of each climb over its middle; one that would touch the last is left out."""
    shapes: list[Shape] = []
    track, free_from = review.track, -np.inf
    known = np.isfinite(track.elevation_m)
    for number, climb in enumerate(review.climbs, start=1):
        middle_s = (climb.start_s + climb.end_s) / 2
        x = float(frame.x(middle_s))
        if x - 4.0 < free_from:
            continue
        top_m = float(np.interp(middle_s, track.t_s[known], track.elevation_m[known]))
        y = float(frame.y(HEIGHT.shown(top_m))) - 5.0
        shapes.append(Text(x, y, str(number), 7.0, LIGHT.ink, Anchor.MIDDLE, bold=True))
        free_from = x + 4.0 * len(str(number))
    return shapes


def speed_range(review: Review) -> tuple[float, float]:
    """What the chart of speed shows, in the unit in force; from standing still."""
    known = review.track.speed_mps[np.isfinite(review.track.speed_mps)]
    fastest = float(np.percentile(known, OUTER_SPEED)) if known.size else 0.0
    return 0.0, SPEED.shown(1.08 * max(fastest, LEAST_SPEED_MPS))


def speed_chart(frame: Frame, review: Review) -> list[Shape]:
    """Speed over time; what lies outside the frame is drawn at its edge."""
    after = break_after(review.track)
    x = frame.x(broken_x(review.track.t_s, after))
    speed = broken(review.track.speed_mps, after) * SPEED.scale.factor
    shapes = value_axis(frame, tr("Speed, {unit}").format(unit=SPEED.unit), most=3)
    if not np.isfinite(speed).any():
        middle = (frame.left + frame.width / 2, frame.top + frame.height / 2)
        return [*shapes, Text(*middle, tr("no speed recorded"), 7.0, LIGHT.muted, Anchor.MIDDLE)]
    y = frame.y(np.clip(speed, *frame.y_range))
    return [*shapes, Path(runs(x, y, COLUMN_PT), LIGHT.in_band, 0.6)]
