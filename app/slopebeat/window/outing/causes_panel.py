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


class CausesPanel(QScrollArea):
    """One row per cause that took time, the longest first within each side of the band."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
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
            self.setWidget(empty)
        else:
            self.setWidget(_rows(review.causes))


def _rows(causes: Causes) -> QWidget:
    page = QWidget()
    outer = QVBoxLayout(page)
    outer.setContentsMargins(12, 8, 12, 8)
    grid = QGridLayout()
    grid.setHorizontalSpacing(8)
    grid.setVerticalSpacing(1)
    grid.setColumnStretch(1, 1)
    outer.addLayout(grid)
    outer.addStretch(1)
    # Under half a second a row would read 0:00:00.
    taken = [(cause, seconds) for cause, seconds in causes.seconds.items() if seconds >= 0.5]
    total = sum(seconds for _, seconds in taken)
    longest = max((seconds for _, seconds in taken), default=1.0)
    why = tr("Why {time} did not count").format(time=clock(total))
    outer.insertWidget(0, label(why, "heading", wrap=True))
    for row, (cause, seconds) in enumerate(taken):
        tip = f"{begun(meaning_of(cause))}."
        grid.addWidget(label(key_name(cause), "", tip), row, 0)
        grid.addWidget(ShareBar(cause, seconds / longest), row, 1)
        amount = label(clock(seconds), "", tip)
        amount.setAlignment(Qt.AlignmentFlag.AlignRight)
        grid.addWidget(amount, row, 2)
        share = label(percent(seconds / total), "caption", tr(hint("causes")))
        share.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        grid.addWidget(share, row, 3)
    if said := about_drift(causes):
        outer.insertWidget(2, label(said, "caption", wrap=True))
    return page
