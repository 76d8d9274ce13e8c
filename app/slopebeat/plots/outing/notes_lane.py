"""Notes over the outing: bars and flags in lanes above the heart rate, and thin lines down from the flags."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QGraphicsSceneResizeEvent, QStyleOptionGraphicsItem, QWidget

from slopebeat.model.notes import Note
from slopebeat.plots.outing.lines import XScale
from slopebeat.plots.outing.notes_signs import SIGN_PX, sign_pixmap
from slopebeat.plots.overlay import PixelItem
from slopebeat.plots.theme import theme

MOST_LANES, LANES_SHARE = 4, 0.18
"""Lanes take no more than this, and no more of the height of all charts [project choice]."""

LANE_PX = SIGN_PX + 5
FLAG_PX = SIGN_PX + 5
"""Height of a lane and width of a flag: the sign and a rim [project choice]."""

LINE_OPACITY, MOST_LINES, STUB_PX = 0.5, 20, 9.0
"""Of the lines at moments; with more of them in view each is but this long [project choice]."""

NEAR_PX = 4.0
"""A line is pointed at from this near [project choice]."""


@dataclass(frozen=True)
class Placed:
    """A note with its place along the chart; a moment starts where it ends."""

    note: Note
    start_x: float
    end_x: float
    lane: int = 0

    @property
    def is_moment(self) -> bool:
        return self.note.end_s is None


def lanes_of(extents: Sequence[tuple[float, float]], most: int = MOST_LANES) -> list[int]:
    """A lane for each stretch, given in order of their starts, so that none lies on another.

    The first free lane is taken; where all are taken the one that becomes free first, and there stretches
    do lie on each other.
    """
    free_from = [float("-inf")] * most
    lanes = []
    for start, end in extents:
        lane = next((i for i in range(most) if free_from[i] <= start), None)
        if lane is None:
            lane = min(range(most), key=lambda i: free_from[i])
        free_from[lane] = max(free_from[lane], end)
        lanes.append(lane)
    return lanes


class NotesLane(pg.AxisItem):
    """The room above the heart rate; as high as its lanes, nothing without notes.

    Lanes are dealt out for the whole outing in view, so a note stays in its lane while one zooms.
    """

    def __init__(self) -> None:
        super().__init__("top")
        self.setStyle(showValues=False, tickLength=0)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.placed: tuple[Placed, ...] = ()
        self.selected: str | None = None
        self._full_x = (0.0, 1.0)
        self._most = MOST_LANES
        self.setHeight(0)

    def set_notes(self, notes: Iterable[Note], scale: XScale, full_s: float) -> None:
        """Show these notes; those on the whole outing have no place of their own here."""
        self._full_x = (float(scale.to_x(0.0)), float(scale.to_x(full_s)))
        found = []
        for note in notes:
            if note.start_s is None:
                continue
            start = float(scale.to_x(note.start_s))
            found.append(Placed(note, start, start if note.end_s is None else float(scale.to_x(note.end_s))))
        self.placed = tuple(sorted(found, key=lambda each: each.start_x))
        self._deal()

    def fit(self, charts_px: int) -> None:
        """Take a fair share of the height of all charts, one lane at least."""
        most = min(max(int(LANES_SHARE * charts_px / LANE_PX), 1), MOST_LANES)
        if most != self._most:
            self._most = most
            self._deal()

    def select(self, identity: str | None) -> None:
        self.selected = identity
        self.update()

    def at(self, place: QPointF) -> list[Note]:
        """Notes whose flag or bar is at a place in the scene, the uppermost first."""
        here = self.mapFromScene(place)
        found = [p.note for p, box in zip(self.placed, self._boxes(), strict=True) if box.contains(here)]
        return found[::-1]

    def place_of(self, identity: str) -> QPointF:
        """The middle of a note's flag or bar in the scene."""
        at = next(i for i, placed in enumerate(self.placed) if placed.note.identity == identity)
        place: QPointF = self.mapToScene(self._boxes()[at].center())
        return place

    def near_line(self, x: float, per_px: float) -> list[Note]:
        """Moments whose line is pointed at, where a pixel is ``per_px`` of x."""
        return [p.note for p in self.placed if p.is_moment and abs(p.start_x - x) <= NEAR_PX * per_px]

    def resizeEvent(self, event: QGraphicsSceneResizeEvent | None = None) -> None:
        super().resizeEvent(event)
        if getattr(self, "placed", ()) and (
            event is None or event.oldSize().width() != event.newSize().width()
        ):
            self._deal()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        if not self.placed:
            return
        colours = theme.colours
        frame = self._frame()
        painter.save()
        painter.setClipRect(frame)
        painter.setPen(QPen(QColor(colours.accent), 1))
        brushes = QColor(colours.selected), QColor(colours.panel)
        taken = [float("-inf")] * MOST_LANES
        chosen = None
        for each, box in zip(self.placed, self._boxes(), strict=True):
            if each.note.identity == self.selected:
                chosen = (each, box)
            elif box.right() < 0.0 or box.left() > frame.right():
                continue
            elif box.left() < taken[each.lane]:
                # Where flags would lie on each other only the first is drawn in full; zooming parts them.
                painter.drawLine(box.topLeft(), box.bottomLeft())
            else:
                taken[each.lane] = box.left() + FLAG_PX
                painter.setBrush(brushes[each.is_moment])
                self._paint_one(painter, each, box, colours.ink)
        if chosen is not None:
            painter.setBrush(QColor(colours.accent))
            self._paint_one(painter, *chosen, colours.accent_ink)
        painter.restore()

    def _paint_one(self, painter: QPainter, each: Placed, box: QRectF, ink: str) -> None:
        painter.drawRect(box)
        if each.is_moment:
            painter.drawLine(box.topLeft(), QPointF(box.left(), self.size().height()))
        # The sign of a bar stays in sight while its beginning is out of view.
        left = min(max(box.left(), 0.0), box.right() - FLAG_PX) + 3.0
        painter.drawPixmap(QPointF(left, box.top() + 1.5), sign_pixmap(each.note.kind, ink))

    def _frame(self) -> QRectF:
        return QRectF(0.0, 0.0, self.size().width(), self.size().height())

    def _boxes(self) -> list[QRectF]:
        first, last = self.range
        scale = self.size().width() / max(last - first, 1e-9)
        return [
            QRectF(
                (each.start_x - first) * scale,
                1.0 + each.lane * LANE_PX,
                max((each.end_x - each.start_x) * scale, FLAG_PX),
                LANE_PX - 2.0,
            )
            for each in self.placed
        ]

    def _deal(self) -> None:
        first, last = self._full_x
        flag = FLAG_PX * (last - first) / max(self.size().width(), 1.0)
        lanes = lanes_of([(p.start_x, max(p.end_x, p.start_x + flag)) for p in self.placed], self._most)
        self.placed = tuple(
            Placed(p.note, p.start_x, p.end_x, lane) for p, lane in zip(self.placed, lanes, strict=True)
        )
        self.setHeight(1 + LANE_PX * (max(lanes) + 1) if lanes else 0)
        self.update()


class MomentLines(PixelItem):
    """Thin lines at the moments of notes, over the height of a panel."""

    def __init__(self) -> None:
        super().__init__(-6)
        self._at: tuple[float, ...] = ()

    def set_notes(self, placed: Iterable[Placed]) -> None:
        self._at = tuple(each.start_x for each in placed if each.is_moment)
        self.update()

    def paint_pixels(self, painter: QPainter, frame: QRectF, view: QRectF) -> None:
        scale = frame.width() / view.width()
        ink = QColor(theme.colours.accent)
        # Fainter than the cursor; a dotted pen would cost more than everything else together.
        ink.setAlphaF(LINE_OPACITY)
        seen = [
            frame.left() + (x - view.left()) * scale for x in self._at if view.left() <= x <= view.right()
        ]
        # Where many stand they would hide the heart rate: they only begin, and zooming lets them grow.
        height = frame.height() if len(seen) <= MOST_LINES else STUB_PX
        for place in seen:
            painter.fillRect(QRectF(round(place), frame.top(), 1.0, height), ink)
