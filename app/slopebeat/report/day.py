"""The report of a day in parts: the whole, with its drift as a picture, and after it a page of each part."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from slopebeat import __version__
from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT
from slopebeat.report.bars import parts_bar
from slopebeat.report.formats import Formats, formats
from slopebeat.report.frame import Frame, time_axis, value_axis
from slopebeat.report.html import page_parts, tag
from slopebeat.report.report import a4_report, page_on_a4
from slopebeat.report.shapes import PAGE_WIDTH_PT, Anchor, Path, Picture, Rect, Scene, Shape, Text
from slopebeat.report.sheet import Measure
from slopebeat.report.story import Part, Section, Story, story_html, story_pages
from slopebeat.report.tables import table_of
from slopebeat.review.cautions import cautions
from slopebeat.review.day.day import Day
from slopebeat.review.day.rows import PART_FIGURES, day_parts_of, part_rows
from slopebeat.review.day.words import day_answer, day_span, day_sums, day_title, drift_sentences
from slopebeat.review.present.figure import On


def day_formats(day: Day, warnings: Sequence[str] = ()) -> Formats:
    """The report in every format."""
    return formats(lambda measure: _pages(day, measure, warnings), lambda: day_html(day, warnings))


def _pages(day: Day, measure: Measure, warnings: Sequence[str]) -> list[Scene]:
    parts = [a4_report(part, notes) for part, notes in zip(day.parts, day.notes, strict=True)]
    return [*story_pages(day_story(day, warnings), measure), *parts]


def day_html(day: Day, warnings: Sequence[str] = ()) -> str:
    """The report as the text of one HTML file."""
    after: list[str] = []
    for number, (part, notes) in enumerate(zip(day.parts, day.notes, strict=True), 1):
        title = tr("Part {n} of {all}").format(n=number, all=len(day.parts))
        after += [tag("h2", title), *page_parts(page_on_a4(part, notes))]
    return story_html(day_story(day, warnings), after)


def day_story(day: Day, warnings: Sequence[str] = ()) -> Story:
    """What is told of the whole of the day."""
    answer, *detail = day_answer(day)
    parts: list[Part] = []
    if day.account is not None:
        title = tr("Where the time went: {sums}").format(sums=day_sums(day))
        parts.append(Picture(title, parts_bar(day_parts_of(day))))
    parts.append(table_of(tr("Parts"), PART_FIGURES, part_rows(day), On.REPORT))
    parts.append(Section(tr("Drift over the day"), tuple(drift_sentences(day.drift))))
    if day.drift.points.hours.size:
        parts.append(Picture("", drift_chart(day)))
    if warnings:
        parts.append(Section("", tuple(warnings)))
    foot = tr("Slopebeat {version}, from the recordings of one day.").format(version=__version__)
    told = (answer, " ".join(detail), foot)
    return Story(day_title(day), day_span(day), tuple(parts), cautions(), *told)


HEIGHT_PT, AXIS_PT, TOP_PT, FOOT_PT = 170.0, 30.0, 16.0, 24.0
NUMBER_PT = 9.0
"""Room for the number of a part [project choice]."""

LEAST_REACH_BPM = 5.0
"""The axis shows at least so much either way, so that noise does not fill it [project choice]."""


def drift_chart(day: Day) -> Scene:
    """Means of ten minutes as squares, the common drift as a line through each part, the parts numbered.

    The day must have a part that could be fitted.
    """
    points = day.drift.points
    reach = max(LEAST_REACH_BPM, 1.1 * float(np.max(np.abs(points.off_bpm))))
    hours = (0.0, max(day.span_s, 60.0))
    inner = (PAGE_WIDTH_PT - AXIS_PT, HEIGHT_PT - TOP_PT - FOOT_PT)
    frame = Frame(AXIS_PT, TOP_PT, *inner, hours, (-reach, reach))
    shapes: list[Shape] = [Rect(0, 0, PAGE_WIDTH_PT, HEIGHT_PT, LIGHT.panel)]
    shapes += [frame.span(*each, LIGHT.idle) for each in _gaps(day)]
    title = tr("bpm off the part's own level, at its usual work")
    shapes += value_axis(frame, title)
    shapes += time_axis(frame)
    shapes += _numbers(day, frame)
    for hours, off in zip(points.hours, points.off_bpm, strict=True):
        x, y = float(frame.x(hours * 3600.0)), float(frame.y(off))
        shapes.append(Rect(x - 1.3, y - 1.3, 2.6, 2.6, LIGHT.muted))
    shapes += _lines(day, frame)
    sentence = " ".join(drift_sentences(day.drift))
    return Scene(PAGE_WIDTH_PT, HEIGHT_PT, tuple(shapes), tr("Drift over the day"), sentence)


def _gaps(day: Day) -> list[tuple[float, float]]:
    ends = [start + part.recording.span_s for start, part in zip(day.start_s, day.parts, strict=True)]
    return list(zip(ends, day.start_s[1:], strict=False))


def _numbers(day: Day, frame: Frame) -> list[Shape]:
    """The number of each part at its top where it has room, and a line where it begins."""
    shapes: list[Shape] = []
    for number, (start, part) in enumerate(zip(day.start_s, day.parts, strict=True), 1):
        x, end = float(frame.x(start)), float(frame.x(start + part.recording.span_s))
        shapes.append(Path((frame.upright(x),), LIGHT.line, 0.5))
        if end - x >= NUMBER_PT:
            shapes.append(Text(x + 2.0, frame.top + 8.0, f"{number}", 6.5, LIGHT.ink, Anchor.START, True))
    return shapes


def _lines(day: Day, frame: Frame) -> list[Shape]:
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
        shapes.append(Path((line,), LIGHT.ink, 1.2))
    return shapes
