"""A place gone again: how fast against the heart rate, a dot for each pass, later ones darker."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QWidget

from slopebeat.analysis.ground.equal_speed import SPEED as BY_SPEED
from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED, Measure
from slopebeat.model.track import Array
from slopebeat.plots.chart import Chart, ValueAxis, name_view
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme
from slopebeat.review.ground.ground import GroupLevels, PassRow, PlaceRow
from slopebeat.review.present.ground import is_climb

POINT_PX = 10
PALEST = 0.28
"""Share of the ink in the dot of the first day; that of the last is all ink [project choice]."""

ROOM = 0.12
"""Share of the range left free on each side [project choice]."""

LEAST_SHARE, LEAST_RANGE_BPM = 0.1, 12.0
"""Shorter axes, as a share of the speed and in beats, would blow up what is nothing [project choice]."""

CAPTION_PX = 26
"""Height kept free above the dots for the caption [project choice]."""


class MeasureAxis(ValueAxis):
    """Bottom axis of a quantity, in the unit in force."""

    def __init__(self) -> None:
        super().__init__("bottom", maxTickLength=-4)

    def _fit_text(self) -> None:
        self.setHeight(round(22 * max(theme.text_share, 1.0)))


class DatesKey(PixelItem):
    """Lower right: from the first day, pale, to the last, dark."""

    def __init__(self) -> None:
        super().__init__(30)
        self.words = ("", "")

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        first, last = self.words
        if not first:
            return
        painter.setFont(small_font())
        metrics = painter.fontMetrics()
        widths = [metrics.horizontalAdvance(words) for words in (first, last)]
        bar, gap, height = 60.0, 6.0, 7.0
        left = frame.right() - 10 - sum(widths) - bar - 2 * gap
        base = frame.bottom() - 9
        painter.setPen(QColor(theme.colours.muted))
        painter.drawText(round(left), round(base), first)
        painter.drawText(round(left + widths[0] + bar + 2 * gap), round(base), last)
        for step in range(12):
            x = left + widths[0] + gap + bar * step / 12
            painter.fillRect(QRectF(x, base - height, bar / 12 + 0.5, height), shade(step / 11))


def shade(share: float) -> QColor:
    """The colour of a day by how late it is, from 0 to 1: mixed from paper and ink."""
    paper, ink = QColor(theme.colours.panel), QColor(theme.colours.accent)
    part = PALEST + (1.0 - PALEST) * share
    red, green, blue = (
        round(getattr(paper, name)() * (1.0 - part) + getattr(ink, name)() * part)
        for name in ("red", "green", "blue")
    )
    return QColor(red, green, blue)


class SpeedHeartChart(Chart):
    """The passes of one place that are compared, with the slope between days through their middle."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self._across = MeasureAxis()
        super().__init__(tr("Speed and heart rate at the place"), self._across, parent)
        self.setMinimumSize(QSize(220, 120))
        self._row: PlaceRow | None = None
        self._levels: GroupLevels | None = None
        self._slope = pg.PlotCurveItem(connect="finite", antialias=True)
        self._dots = pg.ScatterPlotItem(size=POINT_PX, hoverable=True, tip=None)
        self._key = DatesKey()
        self._dots.setZValue(10)
        for item in (self._slope, self._dots, self._key):
            self.add(item)
        theme.follow(self._draw)

    def show_place(self, row: PlaceRow | None, levels: Sequence[GroupLevels]) -> None:
        """Draw a place; ``levels`` are of all groups."""
        self._row = row
        group = None if row is None or not row.groups else row.groups[0].group
        self._levels = next((each for each in levels if each.group == group), None)
        self._draw()

    def _draw(self) -> None:
        passes = _compared(self._row)
        measure, values = _how_fast(self._row, passes)
        name = (
            tr("Speed, {unit}, and heart rate there, bpm")
            if measure is SPEED
            else tr("Vertical speed, {unit}, and heart rate there, bpm")
        )
        words = name.format(unit=measure.unit)
        self.caption.set_text(words if passes else f"{words}: {tr('no pass can be compared')}")
        name_view(self, words)
        self._across.show_unit(measure)
        hr = np.array([row.kept.figures.hr_bpm for row in passes], dtype=float)
        days = np.array([row.day.toordinal() for row in passes], dtype=float)
        late = (days - days.min()) / max(float(np.ptp(days)), 1.0) if passes else days
        brushes = [pg.mkBrush(shade(share)) for share in late.tolist()]
        self._dots.setData(
            x=values,
            y=hr,
            brush=brushes,
            pen=pg.mkPen(theme.colours.panel),
            hoverPen=pg.mkPen(theme.colours.ink, width=2),
            data=[row.day.isoformat() for row in passes],
        )
        self._dots.opts["tip"] = _tip
        self._key.words = (passes[0].day.isoformat(), passes[-1].day.isoformat()) if passes else ("", "")
        self._key.update()
        self._draw_slope(values, hr)
        self._fit(values, hr)
        description = "; ".join(
            f"{row.day.isoformat()}: {measure.text(value)}, {beats:.0f} bpm"
            for row, value, beats in zip(passes, values.tolist(), hr.tolist(), strict=True)
        )
        self.setAccessibleDescription(description or tr("No pass can be compared."))

    def _draw_slope(self, values: Array, hr: Array) -> None:
        """The slope between days, through the middle, where speed tells how fast a place was gone."""
        self._slope.setPen(pg.mkPen(theme.colours.doubt, width=1))
        if (
            self._levels is None
            or self._levels.group.effort_from != BY_SPEED
            or values.size < 2
            or values.min() <= 0.0
        ):
            self._slope.setData([], [])
            return
        x = np.linspace(values.min(), values.max(), 30)
        middle = float(np.median(np.log(values)))
        level = float(np.mean(hr - self._levels.slope.bpm * (np.log(values) - middle)))
        self._slope.setData(x, level + self._levels.slope.bpm * (np.log(x) - middle))

    def _fit(self, values: Array, hr: Array) -> None:
        if not values.size:
            values, hr = np.array([0.0, 1.0]), np.array([100.0, 140.0])
        low, high = _ends(values, LEAST_SHARE * float(np.abs(values).max()))
        self.plotItem.setXRange(low, high, padding=0)
        low, high = _ends(hr, LEAST_RANGE_BPM)
        room = (high - low) * CAPTION_PX / max(self.height() - 60, 60)
        self.plotItem.setYRange(low, high + room, padding=0)


def _ends(values: Array, least: float) -> tuple[float, float]:
    """From where to where an axis goes for these values, over ``least`` at the least."""
    low, high = float(values.min()), float(values.max())
    room = ROOM * (high - low) + max(0.0, least - (high - low)) / 2.0
    return low - room, high + room


def _compared(row: PlaceRow | None) -> list[PassRow]:
    """The passes of the group with most days that have a heart rate at equal speed."""
    if row is None or not row.groups:
        return []
    group = row.groups[0].group
    return [each for each in row.passes if each.group == group and each.equal_bpm is not None]


def _how_fast(row: PlaceRow | None, passes: Sequence[PassRow]) -> tuple[Measure, Array]:
    """How fast each pass was, in SI: height an hour on climbs, else along the way."""
    if row is not None and is_climb(row):
        rises = [(each.kept.figures.climb_m_per_h or 0.0) / 3600.0 for each in passes]
        return VERTICAL_SPEED, np.array(rises, dtype=float)
    return SPEED, np.array([each.kept.figures.speed_mps or 0.0 for each in passes], dtype=float)


def _tip(x: float, y: float, data: str) -> str:
    return tr("{day}: {bpm} bpm").format(day=data, bpm=f"{y:.0f}")
