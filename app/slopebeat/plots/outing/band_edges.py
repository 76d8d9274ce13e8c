"""The edges of the band on the heart rate, as lines a hand can move."""

from __future__ import annotations

import pyqtgraph as pg
from PySide6.QtCore import QObject, QPointF, Qt, QTimer, Signal

from slopebeat.plots.outing.drag_mode import DragMode, RangeBox
from slopebeat.plots.outing.panels import Panel
from slopebeat.plots.theme import theme

LEAST_WIDTH_BPM = 1
"""A band is never narrower than this."""

GRASP_PX = 10
"""Height of the unseen line that is taken hold of [project choice]."""

EDGE_BPM = (30, 230)
"""Heart rates an edge may be moved to, those that are not doubted as impossible [project choice]."""

WAIT_MS = 40
"""A line in the hand is drawn with what its place leads to, if that is there so soon [project choice]."""


class EdgeLine(pg.InfiniteLine):
    """A level line taken by a drag up or down of a hand that looks.

    Drags along the outing, which move the view, and those for notes and doubts go through it. While it
    ``waits`` it has its value, but is drawn there only once it is told to :meth:`settle`.
    """

    waits = False

    def __init__(self, box: RangeBox) -> None:
        super().__init__(angle=0, movable=True)
        self._box = box
        self.setZValue(15)
        self.setCursor(Qt.CursorShape.SizeVerCursor)

    def hoverEvent(self, ev: pg.GraphicsScene.mouseEvents.HoverEvent) -> None:
        self.setMouseHover(not ev.isExit() and self._box.mode_of(ev.modifiers()) is DragMode.LOOK)

    def setPos(self, pos: QPointF | float) -> None:
        if self.waits:
            self.p = [0.0, pos.y() if isinstance(pos, QPointF) else float(pos)]
        else:
            super().setPos(pos)

    def settle(self) -> None:
        """Be drawn where it lies."""
        if self.waits:
            place, self.p = self.p, [0.0, 0.0]
            super().setPos(place)

    def mouseDragEvent(self, ev: pg.GraphicsScene.mouseEvents.MouseDragEvent) -> None:
        if ev.isStart():
            way = ev.scenePos() - ev.buttonDownScenePos()
            if abs(way.x()) >= abs(way.y()) or self._box.mode_of(ev.modifiers()) is not DragMode.LOOK:
                ev.ignore()
                return
        super().mouseDragEvent(ev)


class BandEdges(QObject):
    """Two lines over the drawn edges; each keeps its distance from the other.

    ``taken`` tells that a drag begins, ``moved`` both edges in whole bpm while one is dragged, ``released``
    that the drag has ended.
    """

    taken = Signal()
    moved = Signal(int, int)
    released = Signal()

    def __init__(self, panel: Panel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.lower, self.upper = EdgeLine(panel.range_box), EdgeLine(panel.range_box)
        self.dragging = False
        self._late = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._late.timeout.connect(self._settle)
        for line in (self.lower, self.upper):
            line.hide()
            panel.add(line)
            line.sigDragged.connect(self._drag)
            line.sigPositionChangeFinished.connect(self._release)
        theme.follow(self._take_colours)

    def _take_colours(self) -> None:
        """Unseen at rest, where the band is drawn; seen under the mouse."""
        for line in (self.lower, self.upper):
            line.setPen(pg.mkPen(color=(0, 0, 0, 0), width=GRASP_PX))
            line.setHoverPen(pg.mkPen(theme.colours.accent, width=2))

    def show_band(self, edges_bpm: tuple[float, float] | None) -> None:
        """Lie on these edges; a line that is being dragged stays in the hand."""
        for line in (self.lower, self.upper):
            line.setVisible(edges_bpm is not None)
        if self.dragging:
            self._settle()
        if edges_bpm is None or self.dragging:
            return
        for line, bpm in zip((self.lower, self.upper), edges_bpm, strict=True):
            line.blockSignals(True)
            line.setValue(bpm)
            line.blockSignals(False)

    def _drag(self, line: pg.InfiniteLine) -> None:
        if not self.dragging:
            self.dragging = True
            self.taken.emit()
        line.waits = True
        if not self._late.isActive():
            self._late.start()
        least, most = EDGE_BPM
        lower, upper = round(self.lower.value()), round(self.upper.value())
        if line is self.lower:
            lower = min(max(lower, least), upper - LEAST_WIDTH_BPM)
        else:
            upper = max(min(upper, most), lower + LEAST_WIDTH_BPM)
        self.moved.emit(lower, upper)

    def _settle(self) -> None:
        """Draw the lines where they lie."""
        self._late.stop()
        self.lower.settle()
        self.upper.settle()

    def _release(self, line: pg.InfiniteLine) -> None:
        self._settle()
        self.dragging = line.waits = False
        self.released.emit()
