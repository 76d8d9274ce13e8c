"""The middle of an outing's page: answer, charts and tables, and how they share the height."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHeaderView, QTabWidget, QWidget

from slopebeat.plots.outing.heart_panel import HeartPanel
from slopebeat.plots.outing.outing_charts import OutingCharts
from slopebeat.plots.outing.panels import GroundPanel, RatePanel
from slopebeat.plots.theme import theme
from slopebeat.session.session import Session
from slopebeat.window.notes.mode import DragModeSwitch
from slopebeat.window.outing.answer_card import AnswerCard
from slopebeat.window.outing.chart_bar import ChartBar
from slopebeat.window.outing.day_card import DayCard
from slopebeat.window.outing.readout import Readout
from slopebeat.window.widgets.parts import card, explained_by, row, stacked
from slopebeat.window.widgets.splitter import Splitter
from slopebeat.window.widgets.table import row_height

LOW_PX, NARROW_PX = 900, 1060
"""A column lower than this is laid out close, a narrower one has no room for every word above the charts;
both at the usual text size [project choice]."""

TABLES_SHARE, LEAST_ROWS = 0.27, 2
"""Most of the column's height for the tables, and the rows they show at the least [project choice]."""

RIM_PX = 14
"""Of the tables: their frame and a bar to scroll sideways [project choice]."""

GAP_PX, CLOSE_PX = 8, 5
"""Between the answer and the charts, usually and on a low page [project choice]."""


class OutingColumn(QWidget):
    """Shares its height so that the heart rate gets its part of the window.

    First the tables give way, down to two rows, then the answer, piece by piece. Once the handle was moved by
    hand the shares are the user's.
    """

    def __init__(self, session: Session, tabs: QTabWidget, parent: QWidget | None = None) -> None:
        """Empty; :meth:`fill` makes what is seen."""
        super().__init__(parent)
        self._session, self.tabs = session, tabs
        self.shares = Splitter(Qt.Orientation.Vertical)
        self.shares.splitterMoved.connect(self._keep_shares)
        self._shared = self._whole = False
        self._column = stacked(of=self)

    def fill(self) -> Iterator[None]:
        """Make every view, each in its place; between them the window may take clicks."""
        self.day = DayCard(self._session)
        self._column.addWidget(self.day)
        yield
        self.answer = AnswerCard(self._session)
        self._column.addWidget(self.answer)
        yield
        self._column.addWidget(self.shares, 1)
        frame, inside = card(0, 0)
        self.shares.addWidget(frame)
        inside.setContentsMargins(1, 1, 1, 2)
        self.bar, self.readout = ChartBar(self._session), Readout(self._session)
        bar = row((self.bar, 1), spacing=0)
        inside.addLayout(bar)
        inside.addWidget(self.readout)
        yield
        heart = HeartPanel()
        yield
        ground = GroundPanel()
        yield
        rate = RatePanel()
        yield
        self.charts = explained_by("at_heart_rate", OutingCharts(self._session, (heart, ground, rate)))
        yield
        inside.addWidget(self.charts, 1)
        self.drag_mode = DragModeSwitch(self.charts.notes.mode)
        bar.addWidget(self.drag_mode)
        self.shares.addWidget(self.tabs)
        self.shares.setStretchFactor(0, 1)
        yield

    def whole(self) -> None:
        """All is made, the tables too: from now on the height is shared."""
        self._whole = True
        self.answer.changed.connect(self._answer_changed)
        self.day.changed.connect(self.fit)
        theme.follow(self.fit)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()

    def _answer_changed(self) -> None:
        """Other words need other room; while a hand holds an edge or the target nothing moves under it."""
        if not self._session.aim.trying:
            self.fit()

    def fit(self) -> None:
        """Share the height anew."""
        if not self._whole:
            return
        share = max(theme.text_share, 1.0)
        low = self.height() < LOW_PX * theme.text_share
        self._column.setSpacing(CLOSE_PX if low else GAP_PX)
        self.readout.set_low(low)
        self.bar.set_low(low)
        self.drag_mode.set_low(low)
        self.drag_mode.set_compact(self.width() < NARROW_PX * share)
        self.bar.fit_text()
        below = self._column.spacing() + self.shares.handleWidth()
        tables = self._least_tables_px()
        height = self.height() - self._day_px()
        most = height - below - tables - self._above_charts_px() - self._charts_px(0.0)
        # While the card tries how much of it fits, the charts below it are not drawn to each height.
        self._column.setEnabled(False)
        self.answer.fit(self.width(), most)
        self._column.setEnabled(True)
        if self._shared:
            return
        room = height - below - self.answer.height_px(self.width())
        roomy = self._above_charts_px() + self._charts_px(1.0)
        tables = max(tables, min(round(TABLES_SHARE * self.height()), room - roomy))
        self.shares.setSizes([max(room - tables, 1), tables])

    def _day_px(self) -> int:
        """What the card of the day takes; nothing for most outings."""
        if self.day.isHidden():
            return 0
        return self.day.heightForWidth(self.width()) + self._column.spacing()

    def _above_charts_px(self) -> int:
        """What stands in the card of the charts beside them."""
        bar = max(self.bar.sizeHint().height(), self.drag_mode.sizeHint().height())
        return bar + self.readout.sizeHint().height() + 3

    def _charts_px(self, comfort: float) -> int:
        return self.charts.wanted_px(self.window().height(), comfort)

    def _least_tables_px(self) -> int:
        """The heads of the tabs and of a table, and two rows."""
        # Heads have two lines everywhere: what is not made or shown yet is as high as what is.
        heads = [head.sizeHint().height() for head in self.tabs.findChildren(QHeaderView)]
        rows = LEAST_ROWS * row_height(self.tabs)
        return self.tabs.tabBar().sizeHint().height() + max(heads, default=0) + rows + RIM_PX

    def _keep_shares(self) -> None:
        self._shared = True

    def share_as(self, shares_px: Sequence[int]) -> None:
        """Share the height as it was left; nothing for what was never moved."""
        if len(shares_px) == self.shares.count():
            self.shares.setSizes(list(shares_px))
            self._keep_shares()

    def shared_px(self) -> tuple[int, ...]:
        """How the height is shared; empty while it follows the window."""
        return tuple(self.shares.sizes()) if self._shared else ()
