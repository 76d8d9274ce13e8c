"""Behind the plan: tiles of a map, light and shade of the ground, and own outings as faint trails."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter

from slopebeat.model.way import Box
from slopebeat.plots.outing.lines import local_metres, middle_of
from slopebeat.plots.overlay import PixelItem
from slopebeat.plots.theme import theme
from slopebeat.review.ground.backdrop import Relief
from slopebeat.session.session import Session

TILES_DEPTH, RELIEF_DEPTH, TRAILS_DEPTH = -30, -25, -20

TILES_OPACITY, DIMMED, DARKEST, BRIGHTEST, TRAIL_OPACITY = 0.55, 0.5, 0.42, 0.22, 0.75
"""Of tiles, and how much less on dark paper; of the deepest shade on light paper and the full light on dark;
and of a trail: the way stays what is seen first [project choice]."""

FEW_TRAILS, FAINTEST = 10, 0.3
"""Trails up to which each is drawn at full strength, and what share of it is left with very many
[project choice]."""

Middle = tuple[float, float]


def rect_of(box: Box, about: Middle) -> QRectF:
    """Where a box of degrees lies on the plan, in metres; its top is the south, as y goes north there."""
    lat = np.array([box.south_deg, box.north_deg])
    east, north = local_metres(lat, np.array([box.west_deg, box.east_deg]), about)
    return QRectF(east[0], north[0], east[1] - east[0], north[1] - north[0])


def shaded(relief: Relief, ink: QColor, dark: bool) -> QImage:
    """The ground as a picture to see through: dark ink in the shade, on dark paper light ink in the light."""
    light = relief.light
    amount = light * BRIGHTEST if dark else (1.0 - light) * DARKEST
    pixels = np.empty((*light.shape, 4), dtype=np.uint8)
    pixels[..., 0], pixels[..., 1], pixels[..., 2] = ink.blue(), ink.green(), ink.red()
    pixels[..., 3] = np.round(255 * np.nan_to_num(amount))
    high, wide = light.shape
    # The copy owns its pixels; the array goes at the end of this function.
    return QImage(pixels.tobytes(), wide, high, 4 * wide, QImage.Format.Format_ARGB32).copy()


class PicturesItem(PixelItem):
    """Pictures at their places of the plan."""

    def __init__(self, z: float, opacity: float) -> None:
        super().__init__(z)
        self._opacity = opacity
        self.pictures: list[tuple[QRectF, QImage]] = []

    def opacity_now(self) -> float:
        """Pictures are made for light paper: on dark they let more of it through."""
        return self._opacity * (DIMMED if theme.colours.dark and self._opacity < 1.0 else 1.0)

    def show_pictures(self, pictures: list[tuple[QRectF, QImage]]) -> None:
        self.pictures = pictures
        self.update()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        across, up = frame.width() / view.width(), frame.height() / view.height()
        painter.setOpacity(self.opacity_now())
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for place, picture in self.pictures:
            left = frame.left() + (place.left() - view.left()) * across
            top = frame.bottom() - (place.bottom() - view.top()) * up
            target = QRectF(left, top, place.width() * across, place.height() * up)
            if target.intersects(frame):
                painter.drawImage(target, picture)


class BackdropOnPlan(QObject):
    """Follows what the session reads for the plan."""

    def __init__(self, plan: pg.PlotWidget, session: Session) -> None:
        super().__init__(plan)
        self._session = session
        self.tiles = PicturesItem(TILES_DEPTH, TILES_OPACITY)
        self.relief = PicturesItem(RELIEF_DEPTH, 1.0)
        self.trails = pg.PlotCurveItem(connect="finite", antialias=True)
        self.trails.setZValue(TRAILS_DEPTH)
        for item in (self.tiles, self.relief, self.trails):
            plan.addItem(item, ignoreBounds=True)
        session.backdrop.changed.connect(self._show)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        self._take_pen()
        self._show_relief()

    def _take_pen(self) -> None:
        """The fainter the more there are: together they are to weigh no more than the way itself."""
        outings = max(self._session.backdrop.behind.trails.outings, 1)
        ink = pg.mkColor(theme.colours.doubt)
        ink.setAlphaF(TRAIL_OPACITY * max(FAINTEST, min(1.0, FEW_TRAILS / outings)))
        # One pixel wide: Qt needs fifty times as long for smooth lines that are any wider.
        self.trails.setPen(pg.mkPen(ink, width=1, style=Qt.PenStyle.SolidLine))

    def _about(self) -> Middle | None:
        review = self._session.outing.review
        if review is None:
            return None
        samples = review.recording.samples
        return middle_of(samples["lat_deg"], samples["lon_deg"])

    def _show(self) -> None:
        about, behind = self._about(), self._session.backdrop.behind
        tiles = [] if about is None else [(rect_of(box, about), picture) for box, picture in behind.tiles]
        self.tiles.show_pictures(tiles)
        self._show_relief()
        self._take_pen()
        found = behind.trails
        lines = local_metres(found.lat_deg, found.lon_deg, about or (0.0, 0.0))
        self.trails.setData(*lines)

    def _show_relief(self) -> None:
        about, relief = self._about(), self._session.backdrop.behind.ground.relief
        if about is None or relief is None:
            self.relief.show_pictures([])
            return
        colours = theme.colours
        picture = shaded(relief, QColor(colours.ink), colours.dark)
        self.relief.show_pictures([(rect_of(relief.box, about), picture)])
