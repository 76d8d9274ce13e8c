"""The ground and the speed on it: elevation with its numbered climbs, and speed, as shapes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.model.language import tr
from slopebeat.model.measures import HEIGHT, SPEED
from slopebeat.plots.colours import Colours
from slopebeat.plots.outing.lines import break_after, broken, broken_x
from slopebeat.report.frame import Frame, runs, value_axis
from slopebeat.report.heart_chart import COLUMN_PT
from slopebeat.report.shapes import Anchor, Path, Shape, Text
from slopebeat.review.outing import Review

Array = NDArray[np.float64]

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


def ground_chart(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """Filled ground, climbs darker with their numbers."""
    track = review.track
    after = break_after(track)
    t_s = broken_x(track.t_s, after)
    x, y = frame.x(t_s), frame.y(_shown(broken(track.elevation_m, after)))
    shapes = value_axis(frame, _title(), colours, most=4)
    if not np.isfinite(y).any():
        middle = (frame.left + frame.width / 2, frame.top + frame.height / 2)
        return [*shapes, Text(*middle, tr("no elevation recorded"), 7.0, colours.muted, Anchor.MIDDLE)]
    line = runs(x, y, COLUMN_PT)
    shapes.append(Path(_down_to(frame.bottom, line), fill=colours.ground_fill))
    for climb in review.climbs:
        here = (t_s >= climb.start_s) & (t_s <= climb.end_s)
        part = runs(x, np.where(here, y, np.nan), COLUMN_PT)
        shapes.append(Path(_down_to(frame.bottom, part), fill=colours.climb_fill))
    shapes.append(Path(line, colours.ground, 0.8))
    return [*shapes, *_numbers(frame, review, colours)]


def _shown(elevation_m: Array) -> Array:
    return elevation_m * HEIGHT.scale.factor + HEIGHT.scale.offset


def _title() -> str:
    return tr("Elevation, {unit}; climbs are numbered").format(unit=HEIGHT.unit)


def _down_to(bottom: float, line: tuple[Array, ...]) -> tuple[Array, ...]:
    return tuple(np.vstack((p, [[p[-1, 0], bottom], [p[0, 0], bottom]])) for p in line)


def _numbers(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
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
        shapes.append(Text(x, y, str(number), 7.0, colours.ink, Anchor.MIDDLE, bold=True))
        free_from = x + 4.0 * len(str(number))
    return shapes


def speed_range(review: Review) -> tuple[float, float]:
    """What the chart of speed shows, in the unit in force; from standing still."""
    known = review.track.speed_mps[np.isfinite(review.track.speed_mps)]
    fastest = float(np.percentile(known, OUTER_SPEED)) if known.size else 0.0
    return 0.0, SPEED.shown(1.08 * max(fastest, LEAST_SPEED_MPS))


def speed_chart(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """Speed over time; what lies outside the frame is drawn at its edge."""
    after = break_after(review.track)
    x = frame.x(broken_x(review.track.t_s, after))
    speed = broken(review.track.speed_mps, after) * SPEED.scale.factor
    shapes = value_axis(frame, tr("Speed, {unit}").format(unit=SPEED.unit), colours, most=3)
    if not np.isfinite(speed).any():
        middle = (frame.left + frame.width / 2, frame.top + frame.height / 2)
        return [*shapes, Text(*middle, tr("no speed recorded"), 7.0, colours.muted, Anchor.MIDDLE)]
    y = frame.y(np.clip(speed, *frame.y_range))
    return [*shapes, Path(runs(x, y, COLUMN_PT), colours.in_band, 0.6)]
