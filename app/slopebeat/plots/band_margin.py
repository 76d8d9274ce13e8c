"""The margin right of the charts, where the heart-rate panel says what lies on either side of the band."""

from __future__ import annotations

from math import ceil

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.plots.overlay import small_font
from slopebeat.plots.theme import theme

MARGIN_PX, BESIDE_PX = 70, 6
"""Least width of the margin, and room left and right of its words [project choice]."""

WIDEST_BPM = 188.0
"""Stands for any heart rate: no figures of three digits are wider."""


def margin_words(lower_bpm: float, upper_bpm: float) -> tuple[str, str, str]:
    """What is said in band, above and below."""
    return (
        tr("in band"),
        tr("above {bpm}").format(bpm=figure(upper_bpm)),
        tr("below {bpm}").format(bpm=figure(lower_bpm)),
    )


def margin_px() -> int:
    """Room for the longest of the words in the language in force; one width for all panels,
    or their x would not line up."""
    metrics = QFontMetricsF(small_font(bold=True))
    longest = max(metrics.horizontalAdvance(words) for words in margin_words(WIDEST_BPM, WIDEST_BPM))
    return max(round(MARGIN_PX * max(theme.text_share, 1.0)), ceil(longest) + 2 * BESIDE_PX)


class Margin(pg.AxisItem):
    """An axis that only takes room."""

    def __init__(self) -> None:
        super().__init__("right")
        theme.follow(self._fit_text)
        self.setStyle(showValues=False, tickLength=0)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def _fit_text(self) -> None:
        self.setWidth(margin_px())

    def boundingRect(self) -> QRectF:
        """No words of ticks stick out over its ends: what lies there is not painted with it."""
        return QRectF(self.mapRectFromParent(self.geometry()))

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Nothing is drawn."""


class BandMargin(Margin):
    """Words beside the band, at its height, clear of every line."""

    def __init__(self) -> None:
        super().__init__()
        self.edges_bpm: tuple[float, float] | None = None

    def set_band(self, edges_bpm: tuple[float, float] | None) -> None:
        if edges_bpm != self.edges_bpm:
            self.edges_bpm = edges_bpm
            self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        if self.edges_bpm is None:
            return
        painter.setFont(small_font(bold=True))
        line = QFontMetricsF(painter.font()).height()
        frame = self.boundingRect()
        colours = theme.colours
        inks = (colours.in_band, colours.above, colours.below)
        for ink, top, words in zip(inks, self._tops(frame, line), self.words(), strict=True):
            place = QRectF(frame.left() + BESIDE_PX, top, frame.width() - BESIDE_PX, line)
            painter.setPen(QColor(ink))
            painter.drawText(place, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)

    def words(self) -> tuple[str, str, str]:
        """In band, above, below."""
        assert self.edges_bpm is not None
        return margin_words(*self.edges_bpm)

    def _tops(self, frame: QRectF, line: float) -> tuple[float, float, float]:
        """Where each word starts: outside the edges, yet never on each other."""
        assert self.edges_bpm is not None
        first, last = self.range
        scale = frame.height() / max(last - first, 1e-9)
        low, high = (frame.bottom() - (bpm - first) * scale for bpm in self.edges_bpm)
        middle = (low + high - line) / 2
        above = max(min(high - line - 2, middle - line), frame.top())
        below = min(max(low + 2, middle + line), frame.bottom() - line)
        # A band at an edge of the chart, or beyond it while it is dragged, leaves each word its own line.
        above = max(min(above, frame.bottom() - 3 * line), frame.top())
        middle = min(max(middle, above + line), max(frame.bottom() - 2 * line, above + line))
        return middle, above, min(max(below, middle + line), frame.bottom() - line)
