"""Minutes in band per week against the prescription."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.months.weeks import Week
from slopebeat.model.language import tr
from slopebeat.plots.months.chart import DAYS_PER_WEEK, MonthsChart
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme
from slopebeat.review.months.months import Months

BAR_SHARE = 0.78
"""Share of a week its bar takes [project choice]."""

ABOVE_SHARE = 0.32
"""Share of a bar that the one of the minutes above the band takes [project choice]."""

LEAST_MINUTES = 60.0
"""The axis reaches at least so far [project choice]."""


class WeekBars(PixelItem):
    """A bar per week: filled where the prescription was met, hatched where not; sessions above it."""

    def __init__(self) -> None:
        super().__init__(5)
        self.weeks: tuple[Week, ...] = ()

    def show_weeks(self, weeks: tuple[Week, ...]) -> None:
        self.weeks = weeks
        self.update()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        across, up = frame.width() / view.width(), frame.height() / view.height()
        ink = QColor(theme.colours.accent)
        width = DAYS_PER_WEEK * across * BAR_SHARE
        painter.setFont(small_font())
        room = width / BAR_SHARE - 1
        has_room = room >= QFontMetricsF(painter.font()).horizontalAdvance("0")
        for week in self.weeks:
            middle = frame.left() + (week.monday.toordinal() + DAYS_PER_WEEK / 2 - view.left()) * across
            height = week.in_band_s / 60.0 * up
            # The view grows upward, the screen downward.
            box = QRectF(middle - width / 2, frame.bottom() - height + view.top() * up, width, height)
            self._bar(painter, box, ink, week.met is False)
            self._above(painter, box, week.above_s / 60.0 * up)
            if has_room:
                self._sessions(painter, box, str(week.sessions), room)
            asked = week.minutes_asked
            if asked is not None:
                y, half = frame.bottom() - (asked - view.top()) * up, width / BAR_SHARE / 2
                painter.setPen(QPen(QColor(theme.colours.ink), 1, Qt.PenStyle.DashLine))
                painter.drawLine(QPointF(middle - half, y), QPointF(middle + half, y))

    def _above(self, painter: QPainter, box: QRectF, height: float) -> None:
        """Minutes above the band as a narrow bar at the right of the week's."""
        if box.width() < 3 or height <= 0.0:
            return
        width = box.width() * ABOVE_SHARE
        narrow = QRectF(box.right() - width, box.bottom() - height, width, height)
        painter.fillRect(narrow, QColor(theme.colours.above_fill))
        painter.setPen(QPen(QColor(theme.colours.above), 1))
        painter.drawRect(narrow)

    def _sessions(self, painter: QPainter, box: QRectF, words: str, room: float) -> None:
        """The number over a bar, where it has room."""
        metrics = QFontMetricsF(painter.font())
        if metrics.horizontalAdvance(words) <= room:
            painter.setPen(QColor(theme.colours.muted))
            place = QRectF(box.center().x() - 20, box.top() - metrics.height() - 1, 40, metrics.height())
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, words)

    def _bar(self, painter: QPainter, box: QRectF, ink: QColor, short: bool) -> None:
        if box.width() < 3:
            painter.fillRect(box, ink)
            return
        if short:
            painter.fillRect(box, QColor(theme.colours.selected))
            painter.fillRect(box, QBrush(ink, Qt.BrushStyle.BDiagPattern))
        else:
            painter.fillRect(box, ink)
        painter.setPen(QPen(ink, 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)


class WeeksChart(MonthsChart):
    """The weeks of the chosen outings."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Minutes in band per week"), parent)
        self.bars = WeekBars()
        self.add(self.bars)

    def show_months(self, months: Months) -> None:
        """Draw these weeks against the prescription of each."""
        self.bars.show_weeks(months.weeks)
        asked = [week.minutes_asked for week in months.weeks if week.minutes_asked is not None]
        judged = bool(asked) or any(week.met is not None for week in months.weeks)
        self.caption.set_text(
            tr("Minutes in band a week; narrow: above; number: sessions; hatched: not met")
            if judged
            else tr("Minutes in band a week; narrow: above; number: sessions")
        )
        most = max((max(week.in_band_s, week.above_s) / 60.0 for week in months.weeks), default=0.0)
        top = max(most, *asked, LEAST_MINUTES)
        self.fit(months, 0.0, math.ceil(top * 1.1))
        met = sum(week.met is True for week in months.weeks)
        text = (
            tr("Bars for {weeks} weeks; {met} of {weeks} weeks met the prescription.")
            if judged
            else tr("Bars for {weeks} weeks.")
        )
        self.setAccessibleDescription(text.format(weeks=len(months.weeks), met=met))
