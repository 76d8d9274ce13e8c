"""The band under the hand: its edge moves at once, the band and what it means follow with each review."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QGraphicsItem

from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.panels import Panel
from slopebeat.session.session import Session


class BandOnCharts(QObject):
    """Tries the band of an edge that is dragged, and keeps what lies under it as pictures meanwhile.

    At rest all is drawn at each frame, which is less work while the charts themselves are moved or zoomed.
    """

    def __init__(self, heart: HeartPanel, panels: Sequence[Panel], session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._heart, self._panels, self._session = heart, panels, session
        edges = heart.edges
        edges.taken.connect(self._take)
        edges.moved.connect(session.try_band)
        edges.released.connect(self._release)

    def _take(self) -> None:
        self._keep(QGraphicsItem.CacheMode.DeviceCoordinateCache)

    def _release(self) -> None:
        self._session.keep_tried()
        self._keep(QGraphicsItem.CacheMode.NoCache)
        if (review := self._session.outing.review) is not None:
            self._heart.let_go(review)

    def _keep(self, how: QGraphicsItem.CacheMode) -> None:
        for panel in self._panels:
            for curve in panel.curves:
                curve.keep_picture(how)
            for shaded in panel.shaded:
                shaded.setCacheMode(how)
