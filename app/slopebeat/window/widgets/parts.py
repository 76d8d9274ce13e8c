"""Small building blocks of the window."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QBoxLayout,
    QButtonGroup,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from slopebeat.window.widgets.wrapping_row import WrappingRow

T = TypeVar("T")

QWIDGETSIZE_MAX = 16777215
"""Qt's own value for no limit."""


def label(text: str, name: str = "", tip: str = "", wrap: bool = False) -> QLabel:
    """A label with a look named in the style sheet."""
    made = QLabel(text)
    made.setObjectName(name)
    made.setToolTip(tip)
    made.setWordWrap(wrap)
    made.setTextFormat(Qt.TextFormat.PlainText)
    return made


def button(text: str, name: str = "", tip: str = "") -> QPushButton:
    made = QPushButton(text)
    made.setObjectName(name)
    made.setToolTip(tip)
    made.setAccessibleName(text.rstrip("…") or tip)
    made.setCheckable(name == "segment")
    return made


def segments(of: QWidget, words: Mapping[T, str], choose: Callable[[T], None]) -> dict[T, QPushButton]:
    """Buttons of which one is down, by what each stands for; a click chooses that."""
    group, made = QButtonGroup(of), {}
    for value, text in words.items():
        made[value] = button(text, "segment")
        made[value].clicked.connect(lambda _checked=True, value=value: choose(value))
        group.addButton(made[value])
    return made


def show_words(shown: QLabel, words: str) -> None:
    """Say something in a label that takes no room while it says nothing."""
    shown.setText(words)
    shown.setVisible(bool(words))


class FactLine(QWidget):
    """Short facts side by side, each explained on hovering; they go on in the next line between two facts."""

    def __init__(self) -> None:
        super().__init__()
        self.facts: list[tuple[str, str]] = []
        self.row = WrappingRow(spacing=14)
        self.setLayout(self.row)

    def text(self) -> str:
        """All facts as one text."""
        return "  ·  ".join(words for words, _ in self.facts)

    def show_facts(self, facts: list[tuple[str, str]]) -> None:
        """Show these words, each with its hover."""
        if facts == self.facts:
            return
        self.facts = facts
        while (item := self.row.takeAt(0)) is not None:
            shown = item.widget()
            if shown is not None:
                shown.deleteLater()
        for words, tip in facts:
            self.row.addWidget(label(words, "caption", tip))


class GrowingPage(QWidget):
    """A page in an area that scrolls: as high as its wrapped words need where it is so wide, and no lower."""

    def fit(self) -> None:
        """Take the height the words need."""
        inside = self.layout()
        if inside is not None and inside.hasHeightForWidth():
            self.setMinimumHeight(inside.totalMinimumHeightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()

    def event(self, event: QEvent) -> bool:
        if event.type() is QEvent.Type.LayoutRequest:
            self.fit()
        return super().event(event)


Shown = TypeVar("Shown", bound=QWidget)

EXPLAINED_BY = "explained_by"
"""Property of a widget: the key of what explains it and what lies in it."""


def explained_by(key: str, widget: Shown) -> Shown:
    """Let the help explain a widget, and what lies in it, by this entry."""
    widget.setProperty(EXPLAINED_BY, key)
    return widget


SpinBox = TypeVar("SpinBox", bound=QAbstractSpinBox)
Area = TypeVar("Area", bound=QScrollArea)


ENTRY_PX = 26
"""Least height of a number box: the style alone makes it lower than its text needs [project choice]."""


def compact(box: SpinBox) -> SpinBox:
    """Let a number box be as narrow as the side column needs, but never cut in height."""
    box.setMinimumWidth(64)
    box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    box.setMinimumHeight(ENTRY_PX)
    return box


def entries(*named: tuple[str, QWidget]) -> QGridLayout:
    """Entries side by side, each under its name."""
    grid = grid_layout(6, 1, shares=(1,) * len(named))
    for column, (words, box) in enumerate(named):
        grid.addWidget(label(words, "caption", box.toolTip()), 0, column)
        grid.addWidget(box, 1, column)
    return grid


def grid_layout(
    across: int,
    down: int,
    of: QWidget | None = None,
    margins: Margins = (0, 0, 0, 0),
    shares: Sequence[int] = (),
) -> QGridLayout:
    """A grid with so much room between its columns and rows, and the shares of the width its columns take."""
    grid = QGridLayout(of)
    grid.setContentsMargins(*margins)
    grid.setHorizontalSpacing(across)
    grid.setVerticalSpacing(down)
    for column, share in enumerate(shares):
        grid.setColumnStretch(column, share)
    return grid


REST = None
"""In a row or a column: the room that is left over."""

Part = QWidget | QLayout | int | None | tuple[QWidget | QLayout, int]
"""What a row or a column is made of: a widget or a layout, which a number gives a share of the room there is,
pixels left free, or :data:`REST`."""

Margins = tuple[int, int, int, int]
Box = TypeVar("Box", bound=QBoxLayout)


def _fill(layout: Box, parts: tuple[Part, ...], margins: Margins | None, spacing: int | None) -> Box:
    if margins is not None:
        layout.setContentsMargins(*margins)
    if spacing is not None:
        layout.setSpacing(spacing)
    for part in parts:
        thing, share = part if isinstance(part, tuple) else (part, 0)
        if thing is REST:
            layout.addStretch(1)
        elif isinstance(thing, int):
            layout.addSpacing(thing)
        elif isinstance(thing, QLayout):
            layout.addLayout(thing, share)
        else:
            layout.addWidget(thing, share)
    return layout


def row(
    *parts: Part,
    of: QWidget | None = None,
    margins: Margins | None = (0, 0, 0, 0),
    spacing: int | None = 8,
    stretch_last: bool = False,
) -> QHBoxLayout:
    """Parts side by side, laid out in ``of`` where it is given; None leaves margins and spacing to the style.

    Where none has a share the room behind them stays free, but for ``stretch_last``.
    """
    made = _fill(QHBoxLayout() if of is None else QHBoxLayout(of), parts, margins, spacing)
    if not stretch_last and not any(made.stretch(at) for at in range(made.count())):
        made.addStretch(1)
    return made


def stacked(
    *parts: Part,
    of: QWidget | None = None,
    margins: Margins | None = (0, 0, 0, 0),
    spacing: int | None = None,
) -> QVBoxLayout:
    """Parts one below the other, like :func:`row`."""
    return _fill(QVBoxLayout() if of is None else QVBoxLayout(of), parts, margins, spacing)


def holder(layout: QLayout) -> QWidget:
    """A widget that holds a layout and nothing else."""
    made = QWidget()
    made.setLayout(layout)
    return made


def in_the_middle(frame: QWidget, page: QWidget) -> None:
    """Lay a frame on a page, a little over its middle."""
    outer = stacked(row(REST, frame, REST, spacing=None), of=page, margins=None)
    outer.insertStretch(0, 2)
    outer.addStretch(3)


def card(margin: int = 12, spacing: int = 6, name: str = "card") -> tuple[QFrame, QVBoxLayout]:
    """A framed area and its layout."""
    frame = QFrame()
    frame.setObjectName(name)
    return frame, stacked(of=frame, margins=(margin, margin - 2, margin, margin), spacing=spacing)


def framed(view: QWidget) -> QFrame:
    """A chart in a frame of its own."""
    frame, inside = card(0, 0)
    inside.setContentsMargins(1, 1, 1, 1)
    inside.addWidget(view)
    return frame


def scroll_down(area: Area, name: str = "", inside: QWidget | None = None) -> Area:
    """Let an area scroll up and down only, and hold this."""
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setAccessibleName(name)
    if inside is not None:
        area.setWidget(inside)
    return area


def scrolling(widget: QWidget) -> QScrollArea:
    """The widget at its own width, scrolled where it is higher than its place."""
    area = scroll_down(QScrollArea(), widget.accessibleName(), widget)
    least = max(widget.minimumSizeHint().width(), widget.minimumWidth())
    area.setMinimumWidth(least + area.verticalScrollBar().sizeHint().width())
    area.setMinimumHeight(1)
    return area


def rename(made: QLabel, name: str) -> None:
    """Give a label another look of the style sheet."""
    if made.objectName() != name:
        made.setObjectName(name)
        made.style().unpolish(made)
        made.style().polish(made)
