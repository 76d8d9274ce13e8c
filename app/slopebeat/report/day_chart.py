"""Heart rate at usual work over a day, part by part, with the drift all parts share."""

from __future__ import annotations

import numpy as np

from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.report.frame import Frame, time_axis, value_axis
from slopebeat.report.shapes import PAGE_WIDTH_PT, Anchor, Path, Rect, Scene, Shape, Text
from slopebeat.review.day.day import Day
from slopebeat.review.day.words import drift_sentences

HEIGHT_PT, AXIS_PT, TOP_PT, FOOT_PT = 170.0, 30.0, 16.0, 24.0
NUMBER_PT = 9.0
"""Room for the number of a part [project choice]."""

LEAST_REACH_BPM = 5.0
"""The axis shows at least so much either way, so that noise does not fill it [project choice]."""


def drift_chart(day: Day, width: float = PAGE_WIDTH_PT, colours: Colours = LIGHT) -> Scene:
    """Means of ten minutes as squares, the common drift as a line through each part, the parts numbered.

    The day must have a part that could be fitted.
    """
    points = day.drift.points
    reach = max(LEAST_REACH_BPM, 1.1 * float(np.max(np.abs(points.off_bpm))))
    hours = (0.0, max(day.span_s, 60.0))
    inner = (width - AXIS_PT, HEIGHT_PT - TOP_PT - FOOT_PT)
    frame = Frame(AXIS_PT, TOP_PT, *inner, hours, (-reach, reach))
    shapes: list[Shape] = [Rect(0, 0, width, HEIGHT_PT, colours.panel)]
    shapes += [_between(frame, *each, colours) for each in _gaps(day)]
    title = tr("bpm off the part's own level, at its usual work")
    shapes += value_axis(frame, title, colours)
    shapes += time_axis(frame, colours)
    shapes += _numbers(day, frame, colours)
    for hours, off in zip(points.hours, points.off_bpm, strict=True):
        x, y = float(frame.x(hours * 3600.0)), float(frame.y(off))
        shapes.append(Rect(x - 1.3, y - 1.3, 2.6, 2.6, colours.muted))
    shapes += _lines(day, frame, colours)
    sentence = " ".join(drift_sentences(day.drift))
    return Scene(width, HEIGHT_PT, tuple(shapes), tr("Drift over the day"), sentence)


def _gaps(day: Day) -> list[tuple[float, float]]:
    ends = [start + part.recording.span_s for start, part in zip(day.start_s, day.parts, strict=True)]
    return list(zip(ends, day.start_s[1:], strict=False))


def _between(frame: Frame, start_s: float, end_s: float, colours: Colours) -> Rect:
    return frame.span(start_s, end_s, colours.idle)


def _numbers(day: Day, frame: Frame, colours: Colours) -> list[Shape]:
    """The number of each part at its top where it has room, and a line where it begins."""
    shapes: list[Shape] = []
    for number, (start, part) in enumerate(zip(day.start_s, day.parts, strict=True), 1):
        x, end = float(frame.x(start)), float(frame.x(start + part.recording.span_s))
        shapes.append(Path((np.array([[x, frame.top], [x, frame.bottom]]),), colours.line, 0.5))
        if end - x >= NUMBER_PT:
            shapes.append(Text(x + 2.0, frame.top + 8.0, f"{number}", 6.5, colours.ink, Anchor.START, True))
    return shapes


def _lines(day: Day, frame: Frame, colours: Colours) -> list[Shape]:
    drift, points = day.drift.bpm_per_h, day.drift.points
    if drift is None:
        return []
    shapes: list[Shape] = []
    for number in np.unique(points.part):
        here = points.part == number
        middle = float(np.average(points.hours[here], weights=points.seconds[here]))
        level = float(np.average(points.off_bpm[here], weights=points.seconds[here]))
        hours = np.array([points.hours[here].min(), points.hours[here].max()])
        line = np.column_stack([frame.x(hours * 3600.0), frame.y(level + drift * (hours - middle))])
        shapes.append(Path((line,), colours.ink, 1.2))
    return shapes
