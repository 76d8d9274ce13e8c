"""Where the time that did not count went, by cause."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QScrollArea, QWidget

from slopebeat.analysis.account.causes import Cause, Causes
from slopebeat.model.language import tr
from slopebeat.model.units import clock, percent
from slopebeat.plots.kept_picture import KeptPicture
from slopebeat.plots.theme import theme
from slopebeat.report.bars import fill_style
from slopebeat.report.paint import paint_shapes
from slopebeat.report.shapes import Rect
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.review.words.causes import about_drift, meaning_of, side_of
from slopebeat.review.words.names import key_name, sentence_start
from slopebeat.session.session import Session
from slopebeat.window.widgets.account_picture import CLICK, PICKING_KEYS
from slopebeat.window.widgets.parts import (
    REST,
    explained_by,
    grid_layout,
    label,
    scroll_down,
    show_words,
    stacked,
)
from slopebeat.window.widgets.refresh import show_review_when_seen

LEAST_SECONDS = 0.5

BAR_PX, LEAST_BAR_PX = 10, 12
"""Height and least width of a bar [project choice]."""


class ShareBar(QWidget):
    """A bar as long as its share of the longest, hatched like its side of the band."""

    def __init__(self, cause: Cause) -> None:
        super().__init__()
        self._share, self._side = 0.0, side_of(cause)
        self._longest = KeptPicture()
        self.setFixedHeight(BAR_PX)
        self.setMinimumWidth(LEAST_BAR_PX)

    def show_share(self, share: float) -> None:
        if share != self._share:
            self._share = share
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setClipRect(QRectF(0.0, 0.0, max(1.0, self._share * self.width()), self.height()))
        painter.drawPixmap(0, 0, self._longest.of(painter, QRectF(self.rect()), (), self._draw))
        painter.end()

    def _draw(self, painter: QPainter) -> None:
        """The longest bar, of which its share is shown: it is another for every band that is tried."""
        whole = Rect(0, 0, self.width(), self.height())
        paint_shapes(painter, fill_style(self._side, theme.colours).drawn(whole), smooth=False)


class CauseRow:
    """The widgets of one cause, kept from review to review: making them costs more than counting."""

    def __init__(self, cause: Cause, grid: QGridLayout, row: int) -> None:
        tip = f"{sentence_start(meaning_of(cause))}.\n{tr(CLICK)}"
        self._bar = ShareBar(cause)
        self._amount, self._share = label("", "", tip), label("", "caption", tr(hint("causes")))
        self._amount.setAlignment(Qt.AlignmentFlag.AlignRight)
        self._share.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._widgets = (label(key_name(cause), "", tip), self._bar, self._amount, self._share)
        for column, widget in enumerate(self._widgets):
            grid.addWidget(widget, row, column)

    def show(self, seconds: float, total: float, longest: float) -> None:
        """Under half a second a row would read 0:00:00."""
        for widget in self._widgets:
            widget.setVisible(seconds >= LEAST_SECONDS)
        if seconds >= LEAST_SECONDS:
            self._bar.show_share(seconds / longest)
            self._amount.setText(clock(seconds))
            self._share.setText(percent(seconds / total))

    @property
    def shown(self) -> bool:
        return not self._bar.isHidden()

    @property
    def box(self) -> QRect:
        """Where the row lies in its table."""
        first, last = self._widgets[0].geometry(), self._widgets[-1].geometry()
        return first.united(last).adjusted(-4, 0, 4, 0)


class CausesTable(QWidget):
    """One row per cause that took time, under how much did not count. A click or the arrow keys pick one."""

    picked = Signal(object)

    def __init__(self, causes: Causes) -> None:
        super().__init__()
        self.marked: Cause | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Causes"))
        explained_by("causes", self)
        grid = grid_layout(8, 1, shares=(0, 1))
        self._why, self._drift = label("", "heading", wrap=True), label("", "caption", wrap=True)
        stacked(self._why, grid, self._drift, REST, of=self, margins=(12, 8, 12, 8))
        self._rows = {cause: CauseRow(cause, grid, row) for row, cause in enumerate(causes.seconds)}
        self.show_causes(causes)

    def show_causes(self, causes: Causes) -> None:
        """Show these in the rows that are there."""
        taken = [seconds for seconds in causes.seconds.values() if seconds >= LEAST_SECONDS]
        total, longest = sum(taken), max(taken, default=1.0)
        self._why.setText(tr("Why {time} did not count").format(time=clock(total)))
        for cause, seconds in causes.seconds.items():
            self._rows[cause].show(seconds, total, longest)
        show_words(self._drift, about_drift(causes))

    @property
    def rows(self) -> dict[Cause, CauseRow]:
        """The rows that are shown."""
        return {cause: row for cause, row in self._rows.items() if row.shown}

    def mark(self, cause: Cause | None) -> None:
        """Show the row of this cause as the selected one."""
        if cause is not self.marked:
            self.marked = cause
            self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        for cause, row in self.rows.items():
            if row.box.contains(event.position().toPoint()):
                self.picked.emit(cause)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step, causes = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key())), list(self.rows)
        if step is not None and causes:
            here = causes.index(self.marked) if self.marked in causes else (-1 if step > 0 else 0)
            self.picked.emit(causes[(here + step) % len(causes)])
        elif event.key() in PICKING_KEYS and self.marked is not None:
            self.picked.emit(self.marked)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter, marked = QPainter(self), None if self.marked is None else self.rows.get(self.marked)
        if marked is not None:
            painter.fillRect(marked.box, QColor(theme.colours.selected))
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.colours.accent), 1.0, Qt.PenStyle.DotLine))
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()


class CausesPanel(QScrollArea):
    """One row per cause that took time, those above the band first."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.table: CausesTable | None = None
        scroll_down(self, tr("Time out of band by cause"))
        self._refresh = show_review_when_seen(session, self, self._show, watched=True)
        session.selection.changed.connect(self._mark)

    def _show(self, review: Review) -> None:
        if review.causes is None:
            empty = label(tr("Choose a band to see why time did not count."), "caption", wrap=True)
            empty.setContentsMargins(12, 8, 12, 8)
            empty.setAlignment(Qt.AlignmentFlag.AlignTop)
            self.table = None
            self.setWidget(empty)
        elif self.table is None:
            self.table = CausesTable(review.causes)
            self.table.picked.connect(self._session.piece_selection.cause)
            self._mark()
            self.setWidget(self.table)
        else:
            self.table.show_causes(review.causes)

    def _mark(self) -> None:
        if self.table is not None:
            self.table.mark(self._session.piece_selection.cause_shown)
