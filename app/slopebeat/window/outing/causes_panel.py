"""Where the time that did not count went, by cause."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from slopebeat.analysis.account.causes import Cause, Causes
from slopebeat.model.language import tr
from slopebeat.model.units import clock, percent
from slopebeat.plots.theme import theme
from slopebeat.report.bars import look
from slopebeat.report.paint import paint_shapes
from slopebeat.report.shapes import Rect
from slopebeat.review.help.explanations import hint
from slopebeat.review.present.causes import about_drift, meaning_of, side_of
from slopebeat.review.wording import begun
from slopebeat.review.words.names import key_name
from slopebeat.session.session import Session
from slopebeat.window.widgets.account_picture import CLICK, PICKING_KEYS
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label

BAR_PX, LEAST_BAR_PX = 10, 12
"""Height and least width of a bar [project choice]."""


class ShareBar(QWidget):
    """A bar as long as its share of the longest, hatched like its side of the band."""

    def __init__(self, cause: Cause, share: float) -> None:
        super().__init__()
        self._share, self._side = share, side_of(cause)
        self.setFixedHeight(BAR_PX)
        self.setMinimumWidth(LEAST_BAR_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        box = Rect(0, 0, max(1.0, self._share * self.width()), self.height())
        paint_shapes(painter, look(self._side, theme.colours).drawn(box), smooth=False)
        painter.end()


class CauseRows(QWidget):
    """A row per cause: its name, its bar, its time and its share. A click or the arrow keys pick one."""

    picked = Signal(object)

    def __init__(self, taken: Mapping[Cause, float]) -> None:
        super().__init__()
        self._causes: tuple[Cause, ...] = tuple(taken)
        self.marked: Cause | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Causes"))
        self._grid = grid = QGridLayout(self)
        grid.setContentsMargins(4, 0, 4, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(1)
        grid.setColumnStretch(1, 1)
        total, longest = sum(taken.values()), max(taken.values(), default=1.0)
        for row, (cause, seconds) in enumerate(taken.items()):
            tip = f"{begun(meaning_of(cause))}.\n{tr(CLICK)}"
            grid.addWidget(label(key_name(cause), "", tip), row, 0)
            grid.addWidget(ShareBar(cause, seconds / longest), row, 1)
            amount = label(clock(seconds), "", tip)
            amount.setAlignment(Qt.AlignmentFlag.AlignRight)
            grid.addWidget(amount, row, 2)
            share = label(percent(seconds / total), "caption", tr(hint("causes")))
            share.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(share, row, 3)

    def mark(self, cause: Cause | None) -> None:
        """Show the row of this cause as the selected one."""
        if cause is not self.marked:
            self.marked = cause
            self.update()

    def row_box(self, cause: Cause) -> QRect:
        """Where the row of a cause lies."""
        row = self._causes.index(cause)
        cells = self._grid.cellRect(row, 0).united(self._grid.cellRect(row, 3))
        return cells.adjusted(-4, 0, 4, 0)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        for cause in self._causes:
            if self.row_box(cause).contains(event.position().toPoint()):
                self.picked.emit(cause)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if step is not None and self._causes:
            here = self._causes.index(self.marked) if self.marked in self._causes else (-1 if step > 0 else 0)
            self.picked.emit(self._causes[(here + step) % len(self._causes)])
        elif event.key() in PICKING_KEYS and self.marked is not None:
            self.picked.emit(self.marked)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        if self.marked in self._causes:
            assert self.marked is not None
            painter.fillRect(self.row_box(self.marked), QColor(theme.colours.selected))
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.colours.accent), 1.0, Qt.PenStyle.DotLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class CausesPanel(QScrollArea):
    """One row per cause that took time, the longest first within each side of the band."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.rows: CauseRows | None = None
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(tr("Time out of band by cause"))
        self._fresh = FreshWhenSeen(session.steps, self, session.outing.reviewed, self._show)
        session.selection.changed.connect(self._mark)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        if review.causes is None:
            empty = label(tr("Choose a band to see why time did not count."), "caption", wrap=True)
            empty.setContentsMargins(12, 8, 12, 8)
            empty.setAlignment(Qt.AlignmentFlag.AlignTop)
            self.rows = None
            self.setWidget(empty)
            return
        # Under half a second a row would read 0:00:00.
        taken = {cause: seconds for cause, seconds in review.causes.seconds.items() if seconds >= 0.5}
        self.rows = CauseRows(taken)
        self.rows.picked.connect(self._session.pointing.cause)
        self.setWidget(_page(review.causes, self.rows, sum(taken.values())))
        self._mark()

    def _mark(self) -> None:
        if self.rows is not None:
            self.rows.mark(self._session.pointing.cause_shown)


def _page(causes: Causes, rows: CauseRows, total_s: float) -> QWidget:
    """The rows with their heading, and what is to be said of drift."""
    page = QWidget()
    outer = QVBoxLayout(page)
    outer.setContentsMargins(8, 8, 8, 8)
    why = tr("Why {time} did not count").format(time=clock(total_s))
    heading = label(why, "heading", wrap=True)
    heading.setContentsMargins(4, 0, 4, 0)
    outer.addWidget(heading)
    outer.addWidget(rows)
    if said := about_drift(causes):
        told = label(said, "caption", wrap=True)
        told.setContentsMargins(4, 0, 4, 0)
        outer.addWidget(told)
    outer.addStretch(1)
    return page
