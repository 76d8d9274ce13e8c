"""The choice above the charts of what a drag does."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QWidget

from slopebeat.model.language import mark, tr
from slopebeat.model.notes import NoteKind
from slopebeat.plots.outing.drag_mode import MODE_NAMES, DragMode, DragModeChoice
from slopebeat.plots.outing.notes_signs import paint_sign
from slopebeat.plots.theme import theme
from slopebeat.window.widgets.parts import QWIDGETSIZE_MAX, label, row, segments

TIPS = {
    DragMode.LOOK: mark("Dragging moves the charts"),
    DragMode.NOTE: mark("Dragging marks a stretch for a note, a click a moment (with Ctrl held, for once)"),
    DragMode.DOUBT: mark("Dragging marks doubtful heart rate (with Shift held, for once)"),
    DragMode.MEASURE: mark("Dragging measures a stretch (with Ctrl and Shift held, for once)"),
}
SIDE, FINE, COMPACT_PX = 14, 3, 32
"""Side of a sign, how many times as fine it is drawn, and width of its button [project choice]."""


class DragModeSwitch(QWidget):
    """One button per hand, the one in force pressed; signs instead of words where there is little room."""

    def __init__(self, choice: DragModeChoice) -> None:
        super().__init__()
        self._choice = choice
        self._compact = False
        self.caption = label(tr("Drag to") + "  ", "caption")
        layout = row(self.caption, of=self, margins=(0, 8, 8, 0), spacing=0, stretch_last=True)
        self.buttons = segments(self, {mode: tr(MODE_NAMES[mode]) for mode in DragMode}, choice.choose)
        for mode, one in self.buttons.items():
            one.setToolTip(tr(TIPS[mode]))
            one.setIconSize(QSize(SIDE, SIDE))
            layout.addWidget(one)
        theme.follow(self._dress)
        choice.changed.connect(self._show)
        self._show()

    def set_low(self, low: bool) -> None:
        """Leave less room above on a low page."""
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(0, 4 if low else 8, 8, 0)

    def set_compact(self, compact: bool) -> None:
        """Show signs instead of words, or words."""
        if compact != self._compact:
            self._compact = compact
            self._dress()

    def _dress(self) -> None:
        self.caption.setVisible(not self._compact)
        for mode, one in self.buttons.items():
            one.setText("" if self._compact else tr(MODE_NAMES[mode]))
            one.setIcon(_icon(mode) if self._compact else QIcon())
            one.setMaximumWidth(COMPACT_PX if self._compact else QWIDGETSIZE_MAX)

    def _show(self) -> None:
        self.buttons[self._choice.mode].setChecked(True)


def _icon(mode: DragMode) -> QIcon:
    """The sign of a hand, in other ink while its button is pressed."""
    icon = QIcon()
    for state, ink in ((QIcon.State.Off, theme.colours.ink), (QIcon.State.On, theme.colours.accent_ink)):
        pixmap = QPixmap(SIDE * FINE, SIDE * FINE)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.scale(FINE, FINE)
        _paint(painter, mode, QColor(ink))
        painter.end()
        pixmap.setDevicePixelRatio(FINE)
        icon.addPixmap(pixmap, QIcon.Mode.Normal, state)
    return icon


def _paint(painter: QPainter, mode: DragMode, ink: QColor) -> None:
    """Arrows to both sides, a speech sign, a hatched field, a rule."""
    if mode is DragMode.NOTE:
        paint_sign(painter, NoteKind.REMARK, 1.0, 1.0, ink, SIDE - 2.0)
        return
    painter.setPen(ink)
    if mode is DragMode.DOUBT:
        field = QRectF(1, 1, SIDE - 2, SIDE - 2)
        painter.fillRect(field, QBrush(ink, Qt.BrushStyle.BDiagPattern))
        painter.drawRect(field)
        return
    middle = SIDE // 2
    if mode is DragMode.MEASURE:
        painter.drawRect(QRectF(1, middle - 3, SIDE - 2, 6))
        for x in range(4, SIDE - 2, 3):
            painter.drawLine(x, middle - 3, x, middle)
        return
    painter.drawLine(1, middle, SIDE - 1, middle)
    for tip, back in ((1, 4), (SIDE - 1, SIDE - 4)):
        painter.drawLine(tip, middle, back, middle - 3)
        painter.drawLine(tip, middle, back, middle + 3)
