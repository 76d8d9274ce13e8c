"""What is written along the track on the plan: its ends, its direction, round distances and the climbs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from slopebeat.model.language import tr
from slopebeat.model.measures import GROUND, figure
from slopebeat.model.numerics import round_step
from slopebeat.model.track import Array
from slopebeat.plots.kept_picture import KeptPicture, whole_dots
from slopebeat.plots.overlay import PixelItem, small_font
from slopebeat.plots.theme import theme

APART_PX = 46.0
"""Round distances closer than this on the screen, along the way, get larger steps [project choice]."""

ARROW_PX = 5.0
AHEAD_PX = 14.0
"""Size of an arrow of direction, and the piece of way it points along [project choice]."""

END_PX = 5.0
"""Half the side of the marks of both ends, with their line [project choice]."""

BESIDE_PX = 8.0
"""From a place to what is written beside it [project choice]."""

ROOM_PX = 3.0
"""Kept free around what is written [project choice]."""


@dataclass(frozen=True, eq=False)
class DrawnWay:
    """The places of a track: metres east, north and along it, rising; and where its numbered climbs begin."""

    east_m: Array
    north_m: Array
    along_m: Array
    climbs_at: tuple[int, ...]

    @property
    def empty(self) -> bool:
        return self.east_m.size == 0


NO_WAY = DrawnWay(np.zeros(0), np.zeros(0), np.zeros(0), ())


def turning_into(angle_rad: float) -> QPolygonF:
    """An arrow head round the origin that points along an angle, counted counter-clockwise from the right."""
    corners = [(ARROW_PX, 0.0), (-ARROW_PX, ARROW_PX * 0.8), (-ARROW_PX, -ARROW_PX * 0.8)]
    c, s = math.cos(angle_rad), -math.sin(angle_rad)
    return QPolygonF([QPointF(x * c - y * s, x * s + y * c) for x, y in corners])


class WayMarks(PixelItem):
    """Writes what has room, the ends first; nothing covers anything that was written before it."""

    def __init__(self) -> None:
        super().__init__(25)
        self._way = NO_WAY
        self._badges: list[tuple[int, QRectF]] = []
        self.written: list[str] = []
        self.taken: list[QRectF] = []
        self.kept = KeptPicture()

    def set_way(self, way: DrawnWay) -> None:
        # What stays as it was is not painted again, nor are all places looked for.
        if way is not self._way:
            self._way = way
            self.update()

    def climb_at(self, place: QPointF) -> int | None:
        """Number, from 0, of the climb whose badge was painted at a place of the scene."""
        return next((number for number, box in self._badges if box.contains(place)), None)

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        key = (self._way, view.getRect(), GROUND.unit)
        picture = self.kept.of(painter, frame, key, lambda inside: self._draw(inside, frame, view))
        painter.drawPixmap(whole_dots(frame).topLeft(), picture)

    def _draw(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        self.written, self._badges = [], []
        if self._way.empty:
            return
        x = frame.left() + (self._way.east_m - view.left()) / view.width() * frame.width()
        y = frame.bottom() - (self._way.north_m - view.top()) / view.height() * frame.height()
        taken: list[QRectF] = []
        self.taken = taken
        painter.setFont(small_font(bold=True))
        self._ends(painter, frame, x, y, taken)
        self._climbs(painter, frame, x, y, taken)
        painter.setFont(small_font())
        self._distances(painter, frame, x, y, taken)

    def _ends(self, painter: QPainter, frame: QRectF, x: Array, y: Array, taken: list[QRectF]) -> None:
        """A ring where the way begins, a square where it ends; one word where that is one place."""
        round_trip = math.hypot(x[-1] - x[0], y[-1] - y[0]) < APART_PX / 2
        painter.setPen(QPen(QColor(theme.colours.muted), 2))
        painter.setBrush(QColor(theme.colours.panel))
        painter.drawRect(QRectF(x[-1] - 4, y[-1] - 4, 8, 8))
        painter.drawEllipse(QPointF(x[0], y[0]), 4, 4)
        taken += [QRectF(x[at] - END_PX, y[at] - END_PX, 2 * END_PX, 2 * END_PX) for at in (0, -1)]
        words = ((0, tr("start and end")),) if round_trip else ((0, tr("start")), (-1, tr("end")))
        for at, text in words:
            self._write(painter, frame, QPointF(x[at], y[at]), text, taken)

    def _climbs(self, painter: QPainter, frame: QRectF, x: Array, y: Array, taken: list[QRectF]) -> None:
        """Each climb's number at its foot, as the profile writes it."""
        for number, at in enumerate(self._way.climbs_at):
            place = QPointF(x[at], y[at])
            box = self._write(painter, frame, place, str(number + 1), taken, badge=True)
            if box is not None:
                self._badges.append((number, box))

    def _distances(self, painter: QPainter, frame: QRectF, x: Array, y: Array, taken: list[QRectF]) -> None:
        """Round distances with an arrow along the way."""
        pixels = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
        for at, shown in round_distances(self._way.along_m, pixels):
            ahead = int(np.searchsorted(pixels, pixels[at] + AHEAD_PX))
            ahead = min(max(ahead, at + 1), x.size - 1)
            sign = QRectF(x[at] - ARROW_PX, y[at] - ARROW_PX, 2 * ARROW_PX, 2 * ARROW_PX)
            if any(sign.intersects(other) for other in taken):
                continue
            if ahead > at and frame.contains(QPointF(x[at], y[at])):
                arrow = turning_into(math.atan2(y[at] - y[ahead], x[ahead] - x[at]))
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(theme.colours.muted))
                painter.drawPolygon(arrow.translated(x[at], y[at]))
                taken.append(sign)
            self._write(painter, frame, QPointF(x[at], y[at]), figure(shown), taken)

    def _write(
        self,
        painter: QPainter,
        frame: QRectF,
        place: QPointF,
        text: str,
        taken: list[QRectF],
        badge: bool = False,
    ) -> QRectF | None:
        """Write beside a place, on the first side that has room; None where none has."""
        metrics = QFontMetricsF(painter.font())
        wide, high = metrics.horizontalAdvance(text) + 6, metrics.height()
        for right, down in _sides(wide, high):
            box = QRectF(place.x() + right, place.y() + down, wide, high)
            near = box.adjusted(-ROOM_PX, -ROOM_PX, ROOM_PX, ROOM_PX)
            if not frame.contains(box) or any(near.intersects(other) for other in taken):
                continue
            taken.append(box)
            self.written.append(text)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(theme.colours.ground if badge else theme.colours.panel))
            painter.setOpacity(1.0 if badge else 0.75)
            painter.drawRoundedRect(box, 3, 3)
            painter.setOpacity(1.0)
            painter.setPen(QColor(theme.colours.panel if badge else theme.colours.muted))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
            return box
        return None


def _sides(wide: float, high: float) -> Iterator[tuple[float, float]]:
    """Where a box may lie from its place: to the sides, over and under it, then askew, then farther off."""
    for off in (BESIDE_PX, 2.5 * BESIDE_PX):
        middle, over = (-wide / 2, -high / 2), (off, -off - wide, -off - high)
        yield from ((over[0], middle[1]), (over[1], middle[1]), (middle[0], over[2]), (middle[0], off))
        yield from ((x, y) for x in (off, over[1]) for y in (over[2], off))


def round_distances(along_m: Array, pixels: Array) -> Iterator[tuple[int, float]]:
    """Indices of a way at round distances in the unit in force, far enough apart, and those distances.

    ``along_m`` and ``pixels`` (n,) are the way's length so far on the ground and on the screen.
    """
    whole = GROUND.shown(float(along_m[-1] - along_m[0]))
    if whole < 1.0 or pixels[-1] <= 0.0:
        return
    step = round_step(max(APART_PX * whole / float(pixels[-1]), 1.0))
    for number in range(1, math.floor(whole / step + 1e-9) + 1):
        at = int(np.searchsorted(along_m, along_m[0] + GROUND.si(number * step)))
        if at < along_m.size - 1:
            yield at, number * step
