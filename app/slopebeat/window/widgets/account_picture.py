"""The time account as a picture: one stacked bar, its parts named and summed below."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint
from PySide6.QtGui import QHelpEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QToolTip, QVBoxLayout, QWidget

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.model.language import tr
from slopebeat.model.units import clock, minutes_seconds, percent
from slopebeat.plots.theme import theme
from slopebeat.report.bars import look_of, strip
from slopebeat.report.paint import paint_shapes
from slopebeat.report.shapes import Rect
from slopebeat.review.present.account import Part, parts_of
from slopebeat.window.widgets.parts import label
from slopebeat.window.widgets.target_handle import TargetHandle
from slopebeat.window.widgets.wrapping import WrappingRow

BAR_PX, CLOSE_BAR_PX, FOOT_PX = 22, 15, 6
"""Height of the bar, usually and where there is little room, and of what stands under it [project choice]."""


class AccountBar(QWidget):
    """The bar, drawn as in the report: full height while moving, lower while standing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._parts: list[Part] = []
        self.setFixedHeight(BAR_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_parts(self, parts: list[Part]) -> None:
        self._parts = parts
        words = ", ".join(f"{p.name} {minutes_seconds(p.seconds)}" for p in parts if p.seconds > 0)
        self.setAccessibleName(tr("Time account: {parts}").format(parts=words))
        self.setToolTip(tr("Full height: moving. Lower: standing with the timer running."))
        self.update()

    def part_at(self, x: float) -> Part | None:
        """The part of the span that lies there on the bar."""
        left = x / max(self.width(), 1) * sum(part.seconds for part in self._parts)
        for part in self._parts:
            if 0.0 <= left < part.seconds:
                return part
            left -= part.seconds
        return None

    def hover_at(self, place: QPoint) -> str:
        """What explains the piece under the mouse."""
        part = self.part_at(place.x())
        return "" if part is None else tr(part.figure.line)

    def event(self, event: QEvent) -> bool:
        """Hovering names the piece."""
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            part = self.part_at(event.pos().x())
            said = "" if part is None else f"{part.name} {clock(part.seconds)}. {_explained(part)}\n"
            QToolTip.showText(event.globalPos(), said + self.toolTip(), self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_shapes(painter, strip(self._parts, self.width(), self.height(), theme.colours), smooth=False)
        painter.end()


class Swatch(QWidget):
    """A small sample of a part's colour and hatch."""

    def __init__(self, part: Part) -> None:
        super().__init__()
        self._part = part
        self.setFixedSize(14, 14)

    def paintEvent(self, event: QPaintEvent) -> None:
        box = Rect(0, 0, 13, 13)
        painter = QPainter(self)
        paint_shapes(painter, look_of(self._part, theme.colours).drawn(box), smooth=False)
        paint_shapes(
            painter, [Rect(box.x, box.y, box.width, box.height, None, theme.colours.doubt, 1.0)], smooth=False
        )
        painter.end()


class AccountPicture(QWidget):
    """Bar and key; every part with its minutes, and the target to be taken on the bar."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(5)
        self.bar = AccountBar()
        layout.addWidget(self.bar)
        self.key = QWidget()
        layout.addWidget(self.key)
        self._layout = layout
        self.target = TargetHandle(self.bar, self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._layout.activate()
        self.target.place()

    def set_close(self, close: bool) -> None:
        """Take less height, or the usual one; the foot of the target's sign stands under the bar."""
        self.bar.setFixedHeight(CLOSE_BAR_PX if close else BAR_PX)

    def set_key_visible(self, shown: bool) -> None:
        """Name the parts under the bar, or leave room only for the foot of the target's sign."""
        self.key.setVisible(shown)
        self._layout.setContentsMargins(0, 0, 0, 0 if shown else FOOT_PX)

    def show_account(self, account: TimeAccount) -> None:
        """Draw this account."""
        parts = parts_of(account)
        self.bar.show_parts(parts)
        self._layout.removeWidget(self.key)
        shown = not self.key.isHidden()
        self.key.deleteLater()
        self.key = key_of_parts(parts)
        self._layout.addWidget(self.key)
        self.key.setVisible(shown)


def key_of_parts(parts: list[Part]) -> QWidget:
    """Side by side, or in more lines where the screen is narrow."""
    key = QWidget()
    shown = [part for part in parts if part.seconds >= 0.5]
    key.setLayout(WrappingRow(*(_named(part) for part in shown), spacing=10))
    return key


def _named(part: Part) -> QWidget:
    """A part's sample, its name and minutes, and what of it was standing."""
    made = QWidget()
    grid = QGridLayout(made)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(6)
    grid.setVerticalSpacing(0)
    share = f" · {percent(part.share)}" if part.share is not None else ""
    grid.addWidget(Swatch(part), 0, 0)
    tip = _explained(part)
    grid.addWidget(label(f"{part.name} {clock(part.seconds)}{share}", "", tip), 0, 1)
    if part.stopped_s >= 1:
        of_it = tr("of it standing {time}").format(time=minutes_seconds(part.stopped_s))
        grid.addWidget(label(of_it, "caption", tip), 1, 1)
    return made


def _explained(part: Part) -> str:
    split = tr("Moving {moving}, standing {standing}.")
    moving, standing = clock(part.moving_s), clock(part.stopped_s)
    return f"{tr(part.figure.line)} {split.format(moving=moving, standing=standing)}"
