"""What all charts of the months share: days along x with months written under them, no zoom, one look."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.people import Phase
from slopebeat.plots.chart import Chart, ThemedAxis
from slopebeat.plots.overlay import Span, SpanItem, SpanStyle
from slopebeat.plots.theme import theme
from slopebeat.review.months.months import Months
from slopebeat.review.words.names import key_name

DAYS_PER_WEEK = 7.0
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)
"""Distances between labels that read well on a calendar, in months."""

FIRST_DAY = date(1900, 1, 1).toordinal()
"""No outing is older: an axis that ends before it belongs to a chart without any, and names no month."""

ROOM_FOR_LABEL_PX = 62
"""Least room from one label to the next [project choice]."""

CAPTION_PX, AXIS_PX = 24, 22
"""Height kept free above the data for the caption, and of the labels under them [project choice]."""

MONTH_NAMES = (
    mark("Jan"),
    mark("Feb"),
    mark("Mar"),
    mark("Apr"),
    mark("May"),
    mark("Jun"),
    mark("Jul"),
    mark("Aug"),
    mark("Sep"),
    mark("Oct"),
    mark("Nov"),
    mark("Dec"),
)


def day_x(moment: datetime) -> float:
    """x of a moment: days since year 1, the time of day as a fraction, in UTC."""
    utc = moment.astimezone(UTC)
    return utc.toordinal() + (utc.hour * 3600 + utc.minute * 60 + utc.second) / 86400.0


def months_between(start: date, end: date, step: int) -> list[date]:
    """First days of every ``step``-th month inside, counted from January."""
    found = []
    year, month = start.year, 1
    while (first := date(year, month, 1)) <= end:
        if first >= start:
            found.append(first)
        month += step
        year, month = year + (month - 1) // 12, (month - 1) % 12 + 1
    return found


class MonthAxis(ThemedAxis):
    """Bottom axis whose x is :func:`day_x`; labels are names of months, with the year in January."""

    def __init__(self) -> None:
        super().__init__("bottom", maxTickLength=-4)
        theme.follow(self._fit_text)

    def _fit_text(self) -> None:
        # Left to itself the axis learns its height only from being painted, too late for the first picture.
        self.setHeight(round(AXIS_PX * max(theme.text_share, 1.0)))

    def tickValues(self, minVal: float, maxVal: float, size: float) -> list[tuple[float, list[float]]]:
        if maxVal < FIRST_DAY:
            return []
        lowest, highest = date.min.toordinal(), date.max.toordinal()
        start, end = (date.fromordinal(int(min(max(v, lowest), highest))) for v in (minVal, maxVal))
        wanted = (maxVal - minVal) / 30.4 * ROOM_FOR_LABEL_PX / max(size, 1.0)
        step = next((s for s in MONTH_STEPS if s >= wanted), MONTH_STEPS[-1])
        firsts = months_between(start, end, step) if step <= 12 else _years(start, end, step // 12)
        # A label centred on the very edge would be cut off, and left out for it.
        edge = minVal + (maxVal - minVal) * ROOM_FOR_LABEL_PX / 2 / max(size, 1.0)
        return [(step * 30.4, [float(day.toordinal()) for day in firsts if day.toordinal() >= edge])]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        words = []
        for at, value in enumerate(values):
            day = date.fromordinal(int(value))
            name = tr(MONTH_NAMES[day.month - 1])
            words.append(f"{name} {day.year}" if at == 0 or day.month == 1 else name)
        return words


def _years(start: date, end: date, step: int) -> list[date]:
    return [
        date(year, 1, 1) for year in range(start.year, end.year + 1) if year % step == 0 and year > start.year
    ]


def whole_weeks(months: Months) -> tuple[float, float]:
    """x from the first Monday to the end of the last week; a stretch of one week when there is none.

    A break up to today is folded here as it is among the weeks: it would leave no room for what was done.
    """
    if not months.weeks:
        return 0.0, DAYS_PER_WEEK
    shown = list(months.weeks)
    while len(shown) > 1 and shown[-1].break_weeks and not shown[-1].outings:
        shown.pop()
    first, last = shown[0].monday, shown[-1].monday + timedelta(days=7)
    return float(first.toordinal()), float(last.toordinal())


PHASE_STYLE = SpanStyle("ground_fill", "muted", opacity=0.8)
"""Neutral: a phase is neither good nor bad."""


class MonthsChart(Chart):
    """A chart over months; subclasses add what they show."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(name, MonthAxis(), parent)
        self.caption.set_text(name)
        self.phases = SpanItem(PHASE_STYLE, z=-30, label_row=1)
        self.add(self.phases)
        self.setMinimumSize(QSize(220, 120))

    def show_phases(self, phases: Sequence[Phase]) -> None:
        """Shade the days of these; one that goes on is shaded up to the last week."""
        today = date.today()
        self.phases.set_spans(
            [
                Span(
                    float(each.first_day.toordinal()),
                    float((each.last_day or today).toordinal() + 1),
                    each.text or key_name(each.kind),
                    key_name(each.kind),
                )
                for each in phases
            ]
        )

    def fit(self, months: Months, low: float, high: float) -> None:
        """Show all weeks, and values from low to high with the caption above them."""
        self.plotItem.setXRange(*whole_weeks(months), padding=0.01)
        height = max(self.height() - 40, 60)
        room = (high - low) * CAPTION_PX / max(height - CAPTION_PX, 20)
        self.plotItem.setYRange(low, high + room, padding=0)
