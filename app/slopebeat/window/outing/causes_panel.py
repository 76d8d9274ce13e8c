"""Where the time that did not count went, by cause."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
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
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.parts import label

LEAST_SECONDS = 0.5

BAR_PX, LEAST_BAR_PX = 10, 12
"""Height and least width of a bar [project choice]."""


class ShareBar(QWidget):
    """A bar as long as its share of the longest, hatched like its side of the band."""

    def __init__(self, cause: Cause) -> None:
        super().__init__()
        self._share, self._side = 0.0, side_of(cause)
        self.setFixedHeight(BAR_PX)
        self.setMinimumWidth(LEAST_BAR_PX)

    def show_share(self, share: float) -> None:
        if share != self._share:
            self._share = share
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        box = Rect(0, 0, max(1.0, self._share * self.width()), self.height())
        paint_shapes(painter, look(self._side, theme.colours).drawn(box), smooth=False)
        painter.end()


class CauseRow:
    """The widgets of one cause, kept from review to review: making them costs more than counting."""

    def __init__(self, cause: Cause, grid: QGridLayout, row: int) -> None:
        tip = f"{begun(meaning_of(cause))}."
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


class CausesTable(QWidget):
    """One row per cause that took time, under how much did not count."""

    def __init__(self, causes: Causes) -> None:
        super().__init__()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 8, 12, 8)
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(1)
        grid.setColumnStretch(1, 1)
        self._why, self._drift = label("", "heading", wrap=True), label("", "caption", wrap=True)
        outer.addWidget(self._why)
        outer.addLayout(grid)
        outer.addWidget(self._drift)
        outer.addStretch(1)
        self._rows = {cause: CauseRow(cause, grid, row) for row, cause in enumerate(causes.seconds)}
        self.show_causes(causes)

    def show_causes(self, causes: Causes) -> None:
        """Show these in the rows that are there."""
        taken = [seconds for seconds in causes.seconds.values() if seconds >= LEAST_SECONDS]
        total, longest = sum(taken), max(taken, default=1.0)
        self._why.setText(tr("Why {time} did not count").format(time=clock(total)))
        for cause, seconds in causes.seconds.items():
            self._rows[cause].show(seconds, total, longest)
        said = about_drift(causes)
        self._drift.setText(said)
        self._drift.setVisible(bool(said))


class CausesPanel(QScrollArea):
    """One row per cause that took time, those above the band first."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._table: CausesTable | None = None
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(tr("Time out of band by cause"))
        self._fresh = FreshWhenSeen(session.steps, self, session.outing.reviewed, self._show)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        if review.causes is None:
            empty = label(tr("Choose a band to see why time did not count."), "caption", wrap=True)
            empty.setContentsMargins(12, 8, 12, 8)
            empty.setAlignment(Qt.AlignmentFlag.AlignTop)
            self._table = None
            self.setWidget(empty)
        elif self._table is None:
            self._table = CausesTable(review.causes)
            self.setWidget(self._table)
        else:
            self._table.show_causes(review.causes)
