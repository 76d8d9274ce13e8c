"""The time account as a picture: one stacked bar, its parts named and summed below."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QPoint, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from slopebeat.analysis.account.time_account import TimeAccount
from slopebeat.model.language import mark, tr
from slopebeat.model.units import clock, minutes_seconds, percent
from slopebeat.plots.kept_picture import KeptPicture
from slopebeat.plots.theme import theme
from slopebeat.report.bars import Piece, bar_pieces, look_of
from slopebeat.report.paint import paint_shapes
from slopebeat.report.shapes import Rect
from slopebeat.review.present.account import AccountPart, parts_of
from slopebeat.window.widgets.parts import explained_by, grid_layout, holder, label, stacked
from slopebeat.window.widgets.target_handle import TargetHandle
from slopebeat.window.widgets.wrapping_row import WrappingRow

BAR_PX, CLOSE_BAR_PX, FOOT_PX = 22, 15, 6
"""Height of the bar, usually and where there is little room, and of what stands under it [project choice]."""

PICKING_KEYS = frozenset({Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter})

HEIGHTS = mark("Full height: moving. Lower: standing with the timer running.")
CLICK = mark("A click marks all its stretches on charts and track, another one shows the next.")


class AccountBar(QWidget):
    """The bar, drawn as in the report: full height while moving, lower while standing.

    ``picked`` tells the key of the part whose piece was clicked, and whether that piece is standing.
    """

    picked = Signal(str, bool)

    def __init__(self, parent: QWidget | None = None, pickable: bool = False) -> None:
        super().__init__(parent)
        self.pickable = pickable
        self._parts: list[AccountPart] = []
        self._picture = KeptPicture()
        self._kept: dict[tuple[str, bool], KeptPicture] = {}
        self._marked = ""
        theme.follow(self.update)
        self.setFixedHeight(BAR_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_parts(self, parts: list[AccountPart]) -> None:
        self._parts = parts
        self._picture.forget()
        words = ", ".join(f"{p.name} {minutes_seconds(p.seconds)}" for p in parts if p.seconds > 0)
        self.setAccessibleName(tr("Time account: {parts}").format(parts=words))
        self.setToolTip(tr(HEIGHTS))
        self.update()

    def mark(self, part: str) -> None:
        """Frame the pieces of a part, by its key; "" frames none."""
        if part != self._marked:
            self._marked = part
            self.update()

    def piece_at(self, x: float) -> Piece | None:
        """The piece so far from the left end."""
        pieces = bar_pieces(self._parts, self.width(), self.height())
        return next((each for each in pieces if each.box.x <= x < each.box.x + each.box.width), None)

    def words_at(self, x: float) -> str:
        """What the piece there is, for how long, and what a click does."""
        piece = self.piece_at(x)
        if piece is None:
            return ""
        part = piece.part
        name = tr("{part}, standing").format(part=part.name) if piece.standing else part.name
        time = clock(part.stopped_s if piece.standing else part.moving_s)
        lines = [f"{name} {time}", tr(part.figure.line), tr(HEIGHTS)]
        return "\n".join([*lines, tr(CLICK)] if self.pickable else lines)

    def figure_at(self, place: QPoint) -> str | None:
        """The key of what explains the piece at a place."""
        piece = self.piece_at(place.x())
        return None if piece is None else piece.part.figure.key

    def mousePressEvent(self, event: QMouseEvent) -> None:
        piece = self.piece_at(event.position().x())
        if piece is not None and self.pickable and event.button() is Qt.MouseButton.LeftButton:
            self.picked.emit(piece.part.figure.key, piece.standing)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() is QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.words_at(event.pos().x()), self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._picture.of(painter, QRectF(self.rect()), (), self._draw))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for piece in bar_pieces(self._parts, self.width(), self.height()):
            if piece.part.figure.key == self._marked:
                box = QRectF(piece.box.x, piece.box.y, piece.box.width, piece.box.height)
                for ink, inset in ((theme.colours.accent, 1.0), (theme.colours.panel, 2.5)):
                    painter.setPen(QPen(QColor(ink), 2.0 if inset == 1.0 else 1.0))
                    painter.drawRect(box.adjusted(inset, inset, -inset, -inset))
        painter.end()

    def _draw(self, painter: QPainter) -> None:
        """The bar without its marks: kept, because the target's sign over it is moved again and again."""
        for piece in bar_pieces(self._parts, self.width(), self.height()):
            box = piece.box
            painter.setClipRect(QRectF(box.x, box.y, box.width, box.height))
            painter.drawPixmap(0, 0, self._longest(painter, piece))

    def _longest(self, painter: QPainter, piece: Piece) -> QPixmap:
        """A piece as long as the bar: of another band it is only cut elsewhere."""
        kept = self._kept.setdefault((piece.part.figure.key, piece.standing), KeptPicture())
        box = Rect(0, piece.box.y, self.width(), piece.box.height)
        shapes = look_of(piece.part, theme.colours).drawn
        return kept.of(
            painter, QRectF(self.rect()), (), lambda inside: paint_shapes(inside, shapes(box), smooth=False)
        )


class Swatch(QWidget):
    """A small sample of a part's colour and hatch."""

    def __init__(self, part: AccountPart) -> None:
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
    """A part's sample, its name and minutes, and what of it was standing; a click or a key picks it."""

    picked = Signal(str, bool)

    def __init__(self, part: AccountPart, pickable: bool) -> None:
        super().__init__()
        self._part, self._pickable = part.figure.key, pickable
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus if pickable else Qt.FocusPolicy.NoFocus)
        grid = grid_layout(6, 0, self)
        self._words, self._standing = label(""), label("", "caption")
        grid.addWidget(Swatch(part), 0, 0)
        grid.addWidget(self._words, 0, 1)
        grid.addWidget(self._standing, 1, 1)
        self.show_part(part)

    def show_part(self, part: AccountPart) -> None:
        """Say what this part is now; nothing of half a second."""
        share = f" · {percent(part.share)}" if part.share is not None else ""
        split = tr("Moving {moving}, standing {standing}.")
        split = split.format(moving=clock(part.moving_s), standing=clock(part.stopped_s))
        self._words.setText(f"{part.name} {clock(part.seconds)}{share}")
        of_it = tr("of it standing {time}").format(time=minutes_seconds(part.stopped_s))
        self._standing.setText(of_it)
        self._standing.setVisible(part.stopped_s >= 1)
        for words in (self._words, self._standing):
            words.setToolTip(f"{tr(part.figure.line)} {split}" + f"\n{tr(CLICK)}" * self._pickable)
        self.setAccessibleName(self._words.text())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._pickable and event.button() is Qt.MouseButton.LeftButton:
            self.picked.emit(self._part, False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in PICKING_KEYS:
            self.picked.emit(self._part, False)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.hasFocus():
            painter = QPainter(self)
            painter.setPen(QPen(QColor(theme.colours.accent), 1.0, Qt.PenStyle.DotLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
            painter.end()


class AccountPicture(QWidget):
    """Bar and key; every part with its minutes, and the target to be taken on the bar."""

    picked = Signal(str, bool)
    """Key of the part that was clicked, and whether only its standing time is meant."""

    def __init__(self, pickable: bool = False) -> None:
        super().__init__()
        self.bar, self.key = AccountBar(pickable=pickable), QWidget()
        self.bar.picked.connect(self.picked)
        self._layout = stacked(self.bar, self.key, of=self, spacing=5)
        self._named: dict[str, NamedPart] = {}
        self.target = explained_by("target", TargetHandle(self.bar, self))

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
        shown = {part.figure.key: part for part in parts if part.seconds >= 0.5}
        if list(shown) == list(self._named):
            for key, named in self._named.items():
                named.show_part(shown[key])
            return
        self._named = {key: NamedPart(part, self.bar.pickable) for key, part in shown.items()}
        for named in self._named.values():
            named.picked.connect(self.picked)
        visible = not self.key.isHidden()
        fresh = _side_by_side(self._named.values())
        self._layout.replaceWidget(self.key, fresh)
        self.key.deleteLater()
        self.key = fresh
        self.key.setVisible(visible)


def _side_by_side(named: Iterable[NamedPart]) -> QWidget:
    """Or in more lines where the screen is narrow."""
    return holder(WrappingRow(*named, spacing=10))


def key_of_parts(parts: list[AccountPart]) -> QWidget:
    """The parts of half a second and more, by name and time."""
    return _side_by_side([NamedPart(part, False) for part in parts if part.seconds >= 0.5])
