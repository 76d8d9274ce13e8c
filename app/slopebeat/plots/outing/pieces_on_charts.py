"""What is selected, marked on the charts; what is coloured tells its name and is selected by a click."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from pyqtgraph.GraphicsScene.mouseEvents import MouseClickEvent
from PySide6.QtCore import QObject, QPointF, Qt
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QToolTip, QWidget

from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.panels import GroundPanel, Panel
from slopebeat.plots.overlay import Span
from slopebeat.review.pieces import climb_at, episode_at
from slopebeat.session.session import Session


class PiecesOnCharts(QObject):
    """Follows the session's selection, and makes it where a piece is clicked."""

    def __init__(
        self,
        view: QWidget,
        panels: Sequence[Panel],
        session: Session,
        scale: Callable[[], XScale | None],
    ) -> None:
        super().__init__(view)
        self._view, self._panels, self._session, self._scale = view, panels, session, scale
        session.selection.changed.connect(self.show)

    def show(self) -> None:
        """Mark every stretch of what is selected; its name stands in the uppermost panel."""
        picked, scale, words = self._session.selection, self._scale(), self._session.piece_selection.words
        shown = (picked.start_s, picked.end_s) if picked.index >= 0 else None
        for panel in self._panels:
            named = isinstance(panel, HeartPanel)
            spans = []
            for start_s, end_s in picked.stretches if scale is not None else ():
                assert scale is not None
                caption = words if named and shown in (None, (start_s, end_s)) else ""
                spans.append(Span(float(scale.to_x(start_s)), float(scale.to_x(end_s)), caption))
            panel.highlight.set_spans([Span(span.start_x, span.end_x) for span in spans])
            panel.name.set_spans([span for span in spans if span.text])

    def clicked(self, event: MouseClickEvent) -> None:
        """Select the climb or the episode under the mouse."""
        if event.button() != Qt.MouseButton.LeftButton or event.double():
            return
        found = self._found(event.scenePos())
        if found is None:
            return
        climb, t_s = found
        if climb is not None:
            self._session.piece_selection.climb(climb)
        else:
            self._session.piece_selection.episode_at(t_s)

    def tell(self, event: QHelpEvent, place: QPointF) -> bool:
        """Show what the piece under the mouse is called; whether there is one."""
        found = self._found(place)
        if found is None:
            return False
        QToolTip.showText(event.globalPos(), self._session.piece_selection.words_at(found[1]), self._view)
        return True

    def _found(self, place: QPointF) -> tuple[int | None, float] | None:
        """The number of the climb at a place in the scene, or None for an episode, and a second in it."""
        review, scale = self._session.outing.review, self._scale()
        if review is None or scale is None:
            return None
        for panel in self._panels:
            if not panel.box.sceneBoundingRect().contains(place):
                continue
            here = panel.box.mapSceneToView(place)
            t_s = scale.to_seconds(here.x())
            if isinstance(panel, HeartPanel):
                band, number = review.aim.band, episode_at(review, t_s)
                outside = band is not None and not band.lower_bpm <= here.y() <= band.upper_bpm
                return (None, t_s) if number is not None and outside else None
            if isinstance(panel, GroundPanel):
                badge = panel.climbs.badge_at(place)
                if badge is not None:
                    return badge, review.climbs[badge].start_s
                climb = climb_at(review, t_s)
                ground = float(np.interp(t_s, review.track.t_s, review.track.elevation_m))
                return (climb, t_s) if climb is not None and here.y() <= ground else None
        return None
