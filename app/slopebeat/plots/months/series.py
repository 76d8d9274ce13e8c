"""Figures over months: a point per outing with its interval, and the line of the model."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor

from slopebeat.analysis.months.choice import Terrain
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.people import Ground
from slopebeat.model.track import Array
from slopebeat.plots.months.chart import DAYS_PER_WEEK, MonthsChart, day_x
from slopebeat.plots.theme import theme
from slopebeat.review.months.months import Months, Series
from slopebeat.review.words.names import key_name

POINT_PX = 8
OUTER_PERCENT = 3.0
"""Percent of the longest intervals that may run out of the chart [project choice]."""


@dataclass(frozen=True)
class SeriesStyle:
    """How a series is drawn: shape and fill say what the place in the key says in words."""

    symbol: str
    sign: str
    filled: bool
    line: Qt.PenStyle


LOOKS: dict[tuple[Ground, Terrain | None], SeriesStyle] = {
    (Ground.FOOT, None): SeriesStyle("o", "●", True, Qt.PenStyle.SolidLine),
    (Ground.BIKE, None): SeriesStyle("d", "◇", False, Qt.PenStyle.DashLine),
    (Ground.FOOT, Terrain.GENTLE): SeriesStyle("o", "●", True, Qt.PenStyle.SolidLine),
    (Ground.FOOT, Terrain.MIXED): SeriesStyle("s", "■", True, Qt.PenStyle.DashLine),
    (Ground.FOOT, Terrain.STEEP): SeriesStyle("t1", "▲", True, Qt.PenStyle.DotLine),
    (Ground.BIKE, Terrain.GENTLE): SeriesStyle("o", "○", False, Qt.PenStyle.SolidLine),
    (Ground.BIKE, Terrain.MIXED): SeriesStyle("s", "□", False, Qt.PenStyle.DashLine),
    (Ground.BIKE, Terrain.STEEP): SeriesStyle("t1", "△", False, Qt.PenStyle.DotLine),
}
"""Shape by terrain, filled on foot, hollow on a bike."""


SHORT = {
    Terrain.GENTLE: mark("gentle"),
    Terrain.MIXED: mark("mixed"),
    Terrain.STEEP: mark("steep"),
}
"""The grounds short enough for the key."""


def key_words(series: Sequence[Series]) -> str:
    """The key: sign and words of each series."""
    parts: dict[str, str] = {}
    hollow = tr("hollow:")
    for each in series:
        look = LOOKS[each.ground, each.terrain]
        if each.terrain is None:
            parts[look.sign] = key_name(each.ground)
        else:
            parts[LOOKS[Ground.FOOT, each.terrain].sign] = tr(SHORT[each.terrain])
            if not look.filled:
                parts[hollow] = key_name(each.ground)
    if hollow in parts:
        parts[hollow] = parts.pop(hollow)
    return "  ".join(f"{sign} {words}" for sign, words in parts.items())


class SeriesChart(MonthsChart):
    """One figure over time; ``picked`` tells the index of the outing whose point was clicked."""

    picked = Signal(int)

    def __init__(self, name: str, with_interval: bool = True, zero_line: bool = False) -> None:
        super().__init__(name)
        self._name = name
        self._with_interval = with_interval
        self._zero_line = zero_line
        self._drawn: list[pg.GraphicsObject] = []
        self._shown: tuple[Months, tuple[Series, ...], str] | None = None
        self._undrawn: list[Series] = []
        self.points: list[pg.ScatterPlotItem] = []
        theme.follow(self._draw_anew)

    def _draw_anew(self) -> None:
        if self._shown is not None:
            self.show_series(*self._shown)

    def show_series(self, months: Months, series: Sequence[Series], note: str = "") -> None:
        """Draw these series of the months, with a note after the key."""
        self.begin(months, series, note)
        while self.draw_more():
            pass

    def begin(self, months: Months, series: Sequence[Series], note: str = "") -> None:
        """Make room and name these series; :meth:`draw_more` draws them one by one."""
        self._shown, self._undrawn = (months, tuple(series), note), list(series)
        for item in self._drawn:
            self.plotItem.removeItem(item)
        self._drawn, self.points = [], []
        if self._zero_line and series:
            self._add(pg.InfiniteLine(0.0, angle=0, pen=pg.mkPen(theme.colours.line)))
        name = self._name if series else tr("{figure}: no outing has it").format(figure=self._name)
        self.caption.set_text(f"{name}   {key_words(series)}{note}".rstrip())
        self.fit(months, *_extent(series))
        description = " ".join(f"{each.title}: {each.value.size}" for each in series)
        self.setAccessibleDescription(description or tr("No outing has this figure."))

    def draw_more(self) -> bool:
        """Draw the next of the series; whether more are left."""
        if self._shown is not None and self._undrawn:
            self._draw(self._shown[0], self._undrawn.pop(0))
        return bool(self._undrawn)

    def _draw(self, months: Months, series: Series) -> None:
        assert months.origin is not None
        scale, look = series.figure.factor, LOOKS[series.ground, series.terrain]
        x = day_x(months.origin) + series.week * DAYS_PER_WEEK
        ink = QColor(theme.colours.accent)
        if self._with_interval:
            self._intervals(x, series.low * scale, series.high * scale)
        self._line(day_x(months.origin), series, look)
        paper = QColor(theme.colours.panel)
        points = pg.ScatterPlotItem(
            x=x,
            y=series.value * scale,
            data=series.outing,
            size=POINT_PX,
            symbol=look.symbol,
            pen=pg.mkPen(ink if not look.filled else paper),
            brush=pg.mkBrush(ink if look.filled else paper),
            hoverable=True,
            hoverPen=pg.mkPen(theme.colours.ink, width=2),
            tip=_tip_of(months, series),
        )
        points.setZValue(10)
        points.sigClicked.connect(self._clicked)
        points.setCursor(Qt.CursorShape.PointingHandCursor)
        self.points.append(points)
        self._add(points)

    def _intervals(self, x: Array, low: Array, high: Array) -> None:
        known = np.isfinite(low) & np.isfinite(high)
        bars = pg.PlotCurveItem(
            np.repeat(x[known], 2),
            np.column_stack([low[known], high[known]]).ravel(),
            connect="pairs",
            pen=pg.mkPen(theme.colours.doubt),
        )
        self._add(bars)

    def _line(self, origin_x: float, series: Series, look: SeriesStyle) -> None:
        if series.line is None:
            return
        week, value = series.line
        pen = pg.mkPen(theme.colours.ink, width=1, style=look.line)
        self._add(pg.PlotCurveItem(origin_x + week * DAYS_PER_WEEK, value * series.figure.factor, pen=pen))

    def _add(self, item: pg.GraphicsObject) -> None:
        self._drawn.append(item)
        self.plotItem.addItem(item, ignoreBounds=True)

    def _clicked(self, item: pg.ScatterPlotItem, points: Sequence[pg.SpotItem], event: object) -> None:
        if len(points):
            self.picked.emit(int(points[0].data()))


def _tip_of(months: Months, series: Series) -> Callable[[float, float, int], str]:
    """What a point says under the mouse."""
    unit = "%" if series.figure.unit == "points" else series.figure.shown_unit

    def tip(x: float, y: float, data: int) -> str:
        outing = months.outings[int(data)]
        return tr("{title}, {day}: {figure} {unit}; click to open").format(
            title=outing.title,
            day=f"{outing.start_utc:%Y-%m-%d}",
            figure=figure(y, series.figure.digits),
            unit=unit,
        )

    return tip


def _extent(series: Sequence[Series]) -> tuple[float, float]:
    """Lowest and highest of the values, and of all but the longest intervals."""
    if not series:
        return 0.0, 1.0
    scaled = [tuple(part * s.figure.factor for part in (s.value, s.low, s.high)) for s in series]
    values = np.concatenate([value for value, _, _ in scaled])
    low = np.concatenate([low[np.isfinite(low)] for _, low, _ in scaled])
    high = np.concatenate([high[np.isfinite(high)] for _, _, high in scaled])
    lows = [values.min(), *([np.percentile(low, OUTER_PERCENT)] if low.size else [])]
    highs = [values.max(), *([np.percentile(high, 100.0 - OUTER_PERCENT)] if high.size else [])]
    least, most = float(min(lows)), float(max(highs))
    room = 0.06 * (most - least) or 0.5
    return least - room, most + room
