"""Levels of days on ground gone before, over months: a dot a day with its bar."""

from __future__ import annotations

from datetime import date

import numpy as np
import pyqtgraph as pg
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.model.track import Array
from slopebeat.plots.months.chart import CAPTION_PX, MonthsChart
from slopebeat.plots.theme import theme
from slopebeat.review.ground.ground import GroupLevels
from slopebeat.review.ground.words import group_name

POINT_PX = 8
LEAST_RANGE_BPM = 16.0
"""Less is not blown up to look like much: two days at one place differ by half of it [project choice]."""

EDGE_DAYS = 4.0
"""Room before the first day and after the last [project choice]."""


class DayLevelsChart(MonthsChart):
    """The days of one group; larger dots rest on more passes, the line at none is what is usual."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(tr("Heart rate at equal speed, bpm off the usual"), parent)
        self._levels: GroupLevels | None = None
        self._none = pg.InfiniteLine(0.0, angle=0)
        self._bars = pg.PlotCurveItem(connect="pairs")
        self._halves = pg.PlotCurveItem(connect="pairs")
        self._dots = pg.ScatterPlotItem(size=POINT_PX, hoverable=True, tip=None)
        self._dots.setZValue(10)
        for item in (self._none, self._bars, self._halves, self._dots):
            self.add(item)
        theme.follow(self._draw)

    def show_levels(self, levels: GroupLevels | None) -> None:
        """Draw the days of a group; None where there is none."""
        self._levels = levels
        self._draw()

    def _draw(self) -> None:
        name, levels = tr("Heart rate at equal speed, bpm off the usual"), self._levels
        self._none.setPen(pg.mkPen(theme.colours.line))
        self._bars.setPen(pg.mkPen(theme.colours.doubt))
        self._halves.setPen(pg.mkPen(theme.colours.ink, width=1))
        if levels is None or not levels.days:
            self.caption.set_text(tr("{figure}: no days to compare yet").format(figure=name))
            for curve in (self._bars, self._halves):
                curve.setData([], [])
            self._dots.setData([])
            self.setAccessibleDescription(tr("No days to compare yet."))
            return
        group = group_name(levels.group)
        self.caption.set_text(f"{name}   {group}")
        x = np.array([float(day.toordinal()) for day in levels.days])
        level, sd = levels.levels.level_bpm, levels.levels.sd_bpm
        self._bars.setData(np.repeat(x, 2), np.column_stack([level - sd, level + sd]).ravel())
        self._draw_halves(x, levels)
        self._dots.setData(
            x=x,
            y=level,
            size=np.clip(5.0 + 1.2 * np.sqrt(levels.levels.passes), 6.0, 12.0),
            brush=pg.mkBrush(theme.colours.accent),
            pen=pg.mkPen(QColor(theme.colours.panel)),
            hoverPen=pg.mkPen(theme.colours.ink, width=2),
            data=levels.levels.passes.tolist(),
        )
        self._dots.opts["tip"] = _tip
        self._fit_levels(x, level, sd)
        description = "; ".join(
            f"{day.isoformat()}: {value:+.0f}" for day, value in zip(levels.days, level, strict=True)
        )
        self.setAccessibleDescription(description)

    def _draw_halves(self, x: Array, levels: GroupLevels) -> None:
        """The means of the two halves that are compared in words."""
        if levels.change is None:
            self._halves.setData([], [])
            return
        half, found = x.size // 2, levels.levels
        parts = (slice(0, half), slice(x.size - half, x.size))
        means = [np.average(found.level_bpm[part], weights=found.sd_bpm[part] ** -2.0) for part in parts]
        ends = np.concatenate([x[part][[0, -1]] + np.array([-1.0, 1.0]) for part in parts])
        self._halves.setData(ends, np.repeat(means, 2))

    def _fit_levels(self, x: Array, level: Array, sd: Array) -> None:
        self.plotItem.setXRange(x[0] - EDGE_DAYS, x[-1] + EDGE_DAYS, padding=0.01)
        low, high = float(np.min(level - sd)), float(np.max(level + sd))
        extra = max(0.0, LEAST_RANGE_BPM - (high - low)) / 2.0
        low, high = low - extra - 0.5, high + extra + 0.5
        room = (high - low) * CAPTION_PX / max(self.height() - 40 - CAPTION_PX, 20)
        self.plotItem.setYRange(low, high + room, padding=0)


def _tip(x: float, y: float, data: int) -> str:
    day = date.fromordinal(int(x)).isoformat()
    return tr("{day}: {bpm} bpm off the usual, over {n} passes").format(day=day, bpm=figure(y), n=data)
