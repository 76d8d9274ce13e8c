"""The way on the plan, each piece in the style of where it lies to the band."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPainterPath
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from slopebeat.analysis.account.time_account import BandState
from slopebeat.model.track import Array
from slopebeat.plots.outing.curve import dense
from slopebeat.plots.outing.lines import only
from slopebeat.plots.overlay import PixelItem
from slopebeat.plots.theme import theme

IN_ORDER = (BandState.ABOVE, BandState.NO_HEART_RATE, BandState.BELOW, BandState.IN_BAND)
"""What is drawn first: on the way back over the same ground the wide line must not hide the others."""

WIDTHS_PX = {BandState.BELOW: 2, BandState.IN_BAND: 2, BandState.ABOVE: 5, BandState.NO_HEART_RATE: 1}
"""Line widths: above is wide, below is dotted, so that the plan reads without colour."""

STYLES = {
    BandState.BELOW: Qt.PenStyle.DotLine,
    BandState.IN_BAND: Qt.PenStyle.SolidLine,
    BandState.ABOVE: Qt.PenStyle.SolidLine,
    BandState.NO_HEART_RATE: Qt.PenStyle.DashLine,
}


class WayLines(PixelItem):
    """All of the way in one item: a hand that moves the band has it drawn many times a second."""

    def __init__(self, z: float) -> None:
        super().__init__(z)
        self._paths: dict[BandState, QPainterPath] = {}

    def set_way(self, east_m: Array, north_m: Array, state: NDArray[np.int8]) -> None:
        """Draw a way, NaN where it breaks, by the state each piece starts from."""
        self._paths = {
            wanted: pg.arrayToQPath(*dense(east_m, only(north_m, state, wanted)), connect="finite")
            for wanted in IN_ORDER
        }
        self.update()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        colours = theme.colours
        by_state = (colours.below, colours.in_band, colours.above, colours.doubt)
        inks = dict(zip(BandState, by_state, strict=True))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for state, path in self._paths.items():
            painter.setPen(pg.mkPen(inks[state], width=WIDTHS_PX[state], style=STYLES[state]))
            painter.drawPath(path)
