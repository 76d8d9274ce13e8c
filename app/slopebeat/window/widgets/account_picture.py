"""The time account as a picture: one stacked bar, its parts named and summed below."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QVBoxLayout, QWidget

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

BAR_PX = 22


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


class NamedPart(QWidget):
    """A part's sample, its name and minutes, and what of it was standing."""

    def __init__(self, part: Part) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(0)
        self._words, self._standing = label(""), label("", "caption")
        grid.addWidget(Swatch(part), 0, 0)
        grid.addWidget(self._words, 0, 1)
        grid.addWidget(self._standing, 1, 1)
        self.show_part(part)

    def show_part(self, part: Part) -> None:
        """Say what this part is now; nothing of half a second."""
        share = f" · {percent(part.share)}" if part.share is not None else ""
        split = tr("Moving {moving}, standing {standing}.")
        split = split.format(moving=clock(part.moving_s), standing=clock(part.stopped_s))
        self._words.setText(f"{part.name} {clock(part.seconds)}{share}")
        of_it = tr("of it standing {time}").format(time=minutes_seconds(part.stopped_s))
        self._standing.setText(of_it)
        self._standing.setVisible(part.stopped_s >= 1)
        for words in (self._words, self._standing):
            words.setToolTip(f"{tr(part.figure.line)} {split}")


class AccountPicture(QWidget):
    """Bar and key; every part with its minutes, and the target to be taken on the bar."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(5)
        self.bar = AccountBar()
        layout.addWidget(self.bar)
        self._key = QWidget()
        layout.addWidget(self._key)
        self._layout = layout
        self._named: dict[str, NamedPart] = {}
        self.target = TargetHandle(self.bar, self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._layout.activate()
        self.target.place()

    def show_account(self, account: TimeAccount) -> None:
        """Draw this account."""
        parts = parts_of(account)
        self.bar.show_parts(parts)
        shown = {part.figure.key: part for part in parts if part.seconds >= 0.5}
        if list(shown) == list(self._named):
            for key, named in self._named.items():
                named.show_part(shown[key])
            return
        self._named = {key: NamedPart(part) for key, part in shown.items()}
        self._layout.removeWidget(self._key)
        self._key.deleteLater()
        self._key = QWidget()
        # Side by side, or in more lines where the screen is narrow.
        self._key.setLayout(WrappingRow(*self._named.values(), spacing=10))
        self._layout.addWidget(self._key)
