"""The time account as a picture: one stacked bar, its parts named and summed below."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QVBoxLayout, QWidget

from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.model.language import mark, tr
from slopebeat.model.units import clock, minutes_seconds, percent
from slopebeat.plots.theme import theme
from slopebeat.review.help.explanations import hint
from slopebeat.window.widgets.parts import label
from slopebeat.window.widgets.target_handle import TargetHandle
from slopebeat.window.widgets.wrapping import WrappingRow

BAR_PX = 22
STOP_SHARE = 0.42
"""Standing time is drawn this much lower than moving time [project choice]."""


@dataclass(frozen=True)
class Part:
    """One named share of the span: seconds moving and standing, and how it is painted.

    ``fill`` and ``ink`` are names of the theme's colours.
    """

    name: str
    moving_s: float
    stopped_s: float
    fill: str
    pattern: Qt.BrushStyle
    ink: str
    tip: str
    share: float | None = None

    @property
    def seconds(self) -> float:
        return self.moving_s + self.stopped_s


SOLID, RISING, FALLING, DOTS, GRID = (
    Qt.BrushStyle.SolidPattern,
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.FDiagPattern,
    Qt.BrushStyle.Dense6Pattern,
    Qt.BrushStyle.CrossPattern,
)

STATES = (
    (
        BandState.IN_BAND,
        mark("In band"),
        "in_band",
        SOLID,
        "in_band",
        hint("in_band"),
    ),
    (BandState.ABOVE, mark("Above"), "above_fill", FALLING, "above", hint("above")),
    (BandState.BELOW, mark("Below"), "below_fill", RISING, "below", hint("below")),
    (
        BandState.NO_HEART_RATE,
        mark("No heart rate"),
        "panel",
        DOTS,
        "doubt",
        hint("no_heart_rate"),
    ),
)
"""State, name, colour of the fill, hatch, colour of the hatch, explanation."""


def parts_of(account: TimeAccount) -> list[Part]:
    """The parts in the order of the bar; they sum to the span."""
    parts = [
        Part(
            tr(name),
            account.moving[state],
            account.stopped[state],
            fill,
            pattern,
            ink,
            tr(tip),
            account.share_of(state),
        )
        for state, name, fill, pattern, ink, tip in STATES
    ]
    for name, seconds, pattern, tip in (
        (tr("Pause"), account.pause_s, SOLID, tr("Timer off.")),
        (tr("Gap"), account.gap_s, GRID, tr("No records.")),
    ):
        parts.append(Part(name, seconds, 0.0, "idle", pattern, "doubt", tip))
    return parts


def paint_part(painter: QPainter, box: QRectF, part: Part) -> None:
    """Fill with the part's colour, its hatch over it."""
    colours = vars(theme.colours)
    solid = part.pattern is Qt.BrushStyle.SolidPattern
    painter.fillRect(box, QColor(colours[part.fill]))
    if not solid:
        painter.fillRect(box, QBrush(QColor(colours[part.ink]), part.pattern))
    painter.setPen(QPen(QColor(theme.colours.panel), 1))
    painter.drawRect(box)


class AccountBar(QWidget):
    """The bar: full height while moving, lower while standing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._parts: list[Part] = []
        self.setFixedHeight(BAR_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_parts(self, parts: list[Part]) -> None:
        self._parts = parts
        words = ", ".join(f"{p.name.lower()} {minutes_seconds(p.seconds)}" for p in parts if p.seconds > 0)
        self.setAccessibleName(tr("Time account: {parts}").format(parts=words))
        self.setToolTip(tr("Full height: moving. Lower: standing with the timer running."))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        total = sum(part.seconds for part in self._parts)
        if total <= 0:
            return
        painter = QPainter(self)
        scale, x = self.width() / total, 0.0
        for part in self._parts:
            for seconds, share in ((part.moving_s, 1.0), (part.stopped_s, STOP_SHARE)):
                if seconds > 0:
                    height = self.height() * share
                    box = QRectF(x, self.height() - height, seconds * scale, height)
                    paint_part(painter, box, part)
                    x += seconds * scale
        painter.end()


class Swatch(QWidget):
    """A small sample of a part's colour and hatch."""

    def __init__(self, part: Part) -> None:
        super().__init__()
        self._part = part
        self.setFixedSize(14, 14)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_part(painter, QRectF(0, 0, 13, 13), self._part)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QColor(theme.colours.doubt))
        painter.drawRect(QRectF(0, 0, 13, 13))
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
        self._key = QWidget()
        layout.addWidget(self._key)
        self._layout = layout
        self.target = TargetHandle(self.bar, self)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._layout.activate()
        self.target.place()

    def show_account(self, account: TimeAccount) -> None:
        """Draw this account."""
        parts = parts_of(account)
        self.bar.show_parts(parts)
        self._layout.removeWidget(self._key)
        self._key.deleteLater()
        self._key = _key(account, parts)
        self._layout.addWidget(self._key)


def _key(account: TimeAccount, parts: list[Part]) -> QWidget:
    """Side by side, or in more lines where the screen is narrow."""
    key = QWidget()
    shown = [part for part in parts if part.seconds >= 0.5]
    key.setLayout(WrappingRow(*(_named(account, part) for part in shown), spacing=10))
    return key


def _named(account: TimeAccount, part: Part) -> QWidget:
    """A part's sample, its name and minutes, and what of it was standing."""
    made = QWidget()
    grid = QGridLayout(made)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setHorizontalSpacing(6)
    grid.setVerticalSpacing(0)
    share = f" · {percent(part.share)}" if part.share is not None else ""
    grid.addWidget(Swatch(part), 0, 0)
    split = tr("Moving {moving}, standing {standing}.")
    tip = f"{part.tip} {split.format(moving=clock(part.moving_s), standing=clock(part.stopped_s))}"
    grid.addWidget(label(f"{part.name} {clock(part.seconds)}{share}", "", tip), 0, 1)
    if part.stopped_s >= 1:
        of_it = tr("of it standing {time}").format(time=minutes_seconds(part.stopped_s))
        grid.addWidget(label(of_it, "caption", tip), 1, 1)
    return made


def sums(account: TimeAccount) -> str:
    """How the parts add up to the span."""
    parts = [tr("{time} recorded").format(time=clock(account.recorded_s))]
    for words, seconds in ((tr("{time} pause"), account.pause_s), (tr("{time} gap"), account.gap_s)):
        if seconds:
            parts.append(words.format(time=clock(seconds)))
    return " + ".join(parts) + (f" = {clock(account.span_s)}" if len(parts) > 1 else "")
