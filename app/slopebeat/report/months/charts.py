"""Weeks and figures over months as pictures, as the window has them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from slopebeat.analysis.months.weeks import Week
from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT
from slopebeat.report.bars import FillStyle
from slopebeat.report.frame import Frame, tick, value_axis
from slopebeat.report.shapes import PAGE_WIDTH_PT, Hatch, Path, Rect, Scene, Shape
from slopebeat.review.months.changes import change_sentence
from slopebeat.review.months.months import Months, Series, weeks_sentence

HEIGHT_PT, LEFT_PT, TOP_PT, FOOT_PT = 128.0, 30.0, 16.0, 16.0
"""Of a chart, and the room beside, over and under it [project choice]."""

BAR_SHARE, ABOVE_SHARE = 0.78, 0.32
"""Of a week its bar takes, and of that the bar of the minutes above the band [project choice]."""

LEAST_MINUTES = 60.0
"""The axis reaches at least so far [project choice]."""

MOST_MONTHS = 14
"""Names of months under a chart; of more every second, third or sixth is named [project choice]."""

POINT_PT = 1.6


def weeks_chart(weeks: Sequence[Week]) -> Scene:
    """A bar per week, hatched where the prescription was not met, beside it the minutes above the band."""
    asked = [week.minutes_asked for week in weeks]
    most = [max(week.in_band_s, week.above_s) / 60.0 for week in weeks]
    top = 1.08 * max(*most, *(each for each in asked if each is not None), LEAST_MINUTES)
    frame = _frame(weeks[0].monday, weeks[-1].monday + timedelta(days=7), (0.0, top))
    shapes = _ground(frame, tr("Minutes in band a week; narrow: above; hatched: not met"))
    for week, minutes in zip(weeks, asked, strict=True):
        shapes += _bar(frame, week)
        if minutes is not None:
            start = week.monday.toordinal()
            line = np.column_stack([frame.x([start, start + 7.0]), frame.y([minutes, minutes])])
            shapes.append(Path((line,), LIGHT.ink, 0.7, dashed=True))
    return Scene(
        PAGE_WIDTH_PT, HEIGHT_PT, tuple(shapes), tr("Minutes in band per week"), weeks_sentence(tuple(weeks))
    )


def _bar(frame: Frame, week: Week) -> list[Shape]:
    middle = week.monday.toordinal() + 3.5
    half = 3.5 * BAR_SHARE
    left, right = (float(frame.x(middle + side)) for side in (-half, half))
    top, above = float(frame.y(week.in_band_s / 60.0)), float(frame.y(week.above_s / 60.0))
    met = week.met is not False
    fill = FillStyle(
        LIGHT.accent if met else LIGHT.selected, LIGHT.accent, Hatch.NONE if met else Hatch.RISING
    )
    box = Rect(left, top, right - left, frame.bottom - top)
    shapes = [*fill.drawn(box), Rect(box.x, box.y, box.width, box.height, None, LIGHT.accent, 0.4)]
    narrow = ABOVE_SHARE * box.width
    if week.above_s > 0.0:
        shapes.append(
            Rect(right - narrow, above, narrow, frame.bottom - above, LIGHT.above_fill, LIGHT.above, 0.4)
        )
    return shapes


def series_chart(months: Months, series: Series) -> Scene:
    """One figure over time: a point with its interval for each outing, and the model's line if any."""
    days = np.array([months.outings[i].start_utc.date().toordinal() for i in series.outing], dtype=float)
    figure = series.figure
    value, low, high = (column * figure.factor for column in (series.value, series.low, series.high))
    ends = np.concatenate([value, low[np.isfinite(low)], high[np.isfinite(high)]])
    room = 0.05 * max(float(np.ptp(ends)), 1.0)
    first, last = date.fromordinal(int(days.min())), date.fromordinal(int(days.max()) + 7)
    frame = _frame(first, last, (float(ends.min()) - room, float(ends.max()) + room))
    title = f"{series.title}, {figure.shown_unit}"
    shapes = _ground(frame, title)
    bars = [
        np.column_stack([frame.x([day, day]), frame.y([a, b])])
        for day, a, b in zip(days, low, high, strict=True)
        if np.isfinite(a) and np.isfinite(b)
    ]
    if bars:
        shapes.append(Path(tuple(bars), LIGHT.line, 0.7))
    for x, y in zip(frame.x(days), frame.y(value), strict=True):
        shapes.append(Rect(x - POINT_PT, y - POINT_PT, 2 * POINT_PT, 2 * POINT_PT, LIGHT.accent))
    if series.line is not None and months.origin is not None:
        week, level = series.line
        at = months.origin.date().toordinal() + 7.0 * week
        line = np.column_stack([frame.x(at), frame.y(level * figure.factor)])
        shapes.append(Path((line,), LIGHT.fit, 1.1))
    return Scene(PAGE_WIDTH_PT, HEIGHT_PT, tuple(shapes), title, _said(months, series))


def _said(months: Months, series: Series) -> str:
    """The change that is judged by the figure, in a sentence."""
    for group in months.changes:
        for change in group.changes:
            if change is series.change:
                return change_sentence(group, change)
    return ""


def _frame(first: date, last: date, values: tuple[float, float]) -> Frame:
    span = (float(first.toordinal()), float(last.toordinal()))
    height = HEIGHT_PT - TOP_PT - FOOT_PT
    return Frame(LEFT_PT, TOP_PT, PAGE_WIDTH_PT - LEFT_PT - 2.0, height, span, values)


def _ground(frame: Frame, title: str) -> list[Shape]:
    shapes: list[Shape] = [Rect(0, 0, frame.right + 2.0, HEIGHT_PT, LIGHT.panel)]
    shapes += value_axis(frame, title, 4)
    for day, words in _months_between(*(date.fromordinal(int(end)) for end in frame.x_range)):
        shapes += tick(frame, day.toordinal(), words)
    return [*shapes, Path((frame.level(frame.bottom),), LIGHT.muted, 0.5)]


def _months_between(first: date, last: date) -> list[tuple[date, str]]:
    """The first days of months and their names, none where they are further apart than the span."""
    count = 12 * (last.year - first.year) + last.month - first.month
    step = next((s for s in (1, 2, 3, 6, 12) if count / s <= MOST_MONTHS), 24)
    found = []
    for number in range(count + 1):
        year, month = divmod(first.month - 1 + number, 12)
        day = date(first.year + year, month + 1, 1)
        if first <= day <= last and month % min(step, 12) == 0:
            found.append((day, f"{day:%Y-%m}"))
    return found
