"""The page of one outing: answer, charts, tables, aim and plan."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.outing_charts import OutingCharts
from slopebeat.plots.plan import Plan
from slopebeat.session.session import Session
from slopebeat.session.view_state import Picked
from slopebeat.window.aim_editor import AimEditor
from slopebeat.window.answer_card import AnswerCard
from slopebeat.window.causes_panel import CausesPanel
from slopebeat.window.ceiling_panel import CeilingPanel
from slopebeat.window.chart_bar import ChartBar
from slopebeat.window.decoupling_panel import DecouplingPanel
from slopebeat.window.parts import card, label, row
from slopebeat.window.readout import Readout
from slopebeat.window.recording_panel import RecordingPanel
from slopebeat.window.splitter import Splitter
from slopebeat.window.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS, StretchTable, episode_rows

SIDE_PX = 292
"""Width of the side column [project choice]."""


LOW_PX = 760
"""A page lower than this leaves the charts too little room beside everything else [project choice]."""

TABLES_SHARE, LEAST_TABLES_PX = 0.27, 172
"""Share of the page's height for the tables, and the least that shows three rows [project choice]."""

CAUSES_PX = 270
"""Width of the causes beside the episodes [project choice]."""


class OutingPage(QWidget):
    """Places the views; each reads the session by itself."""

    def __init__(self, session: Session, colours: Colours = LIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._session = session
        self.answer = AnswerCard(session, colours)
        self.charts = OutingCharts(session, colours)
        self.plan = Plan(session, colours)
        self.aim = AimEditor(session)
        self.climbs = StretchTable(
            session, Picked.CLIMB, CLIMB_COLUMNS, "Climbs", lambda review: review.climbs
        )
        self.episodes = StretchTable(
            session, Picked.EPISODE, EPISODE_COLUMNS, "Episodes out of band", episode_rows
        )
        self.causes = CausesPanel(session, colours)
        self.ceiling = CeilingPanel(session, colours)
        self.decoupling = DecouplingPanel(session)
        self.recording = RecordingPanel(session)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName("Tables")
        self.tabs.setDocumentMode(False)
        for view, name in (
            (self.climbs, "Climbs"),
            (self._out_of_band(), "Out of band"),
            (self.ceiling, "Speed to hold"),
            (self.decoupling, "Decoupling"),
            (self.recording, "Recording"),
        ):
            self.tabs.addTab(view, name)
        self.shares = Splitter(Qt.Orientation.Vertical)
        self._shared = False
        self._lay_out()
        self.answer.band_wanted.connect(self.ask_for_band)
        session.outing.reviewed.connect(self._count_rows)

    def apply(self, colours: Colours) -> None:
        """Hand these colours to everything that paints by itself."""
        self.answer.apply(colours)
        self.charts.apply(colours)
        self.plan.apply(colours)
        self.causes.apply(colours)
        self.ceiling.apply(colours)

    def ask_for_band(self) -> None:
        """Put the keyboard where a band is entered."""
        self.aim.band.method.setFocus(Qt.FocusReason.OtherFocusReason)
        if self.aim.band.lower_edge.isVisible():
            self.aim.band.lower_edge.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        charts_card, charts = card(0, 0)
        charts.setContentsMargins(1, 1, 1, 6)
        charts.addWidget(ChartBar(self._session))
        charts.addWidget(Readout(self._session))
        charts.addWidget(self.charts, 1)
        lower = self.shares
        lower.addWidget(charts_card)
        lower.addWidget(self.tabs)
        lower.setStretchFactor(0, 1)
        lower.splitterMoved.connect(self._keep_shares)
        main = QWidget()
        column = QVBoxLayout(main)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(self.answer)
        column.addWidget(lower, 1)
        across = Splitter(Qt.Orientation.Horizontal)
        across.addWidget(main)
        across.addWidget(self._side())
        across.setStretchFactor(0, 1)
        across.setSizes([1100, SIDE_PX])
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 10, 12, 12)
        outer.addWidget(across)

    def _out_of_band(self) -> QWidget:
        both = QWidget()
        layout = QHBoxLayout(both)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.episodes, 1)
        self.causes.setFixedWidth(CAUSES_PX)
        layout.addWidget(self.causes)
        return both

    def _side(self) -> QWidget:
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setMinimumWidth(SIDE_PX - 20)
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(self.aim)
        plan_card, plan = card(1, 2)
        heading = label("Plan  ·  click to move the cursor", "heading")
        heading.setContentsMargins(11, 8, 11, 0)
        plan.addWidget(heading)
        plan.addWidget(self.plan, 1)
        plan.addWidget(self._plan_key())
        self.plan.setMinimumSize(120, 150)
        self.plan.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        column.addWidget(plan_card, 1)
        scroll.setWidget(side)
        return scroll

    def _plan_key(self) -> QWidget:
        key = QWidget()
        words = (("above", "wide: above"), ("inside", "thin: in band"), ("below", "dotted: below"))
        layout = row(*(label(text, name) for name, text in words), spacing=10)
        layout.setContentsMargins(11, 0, 11, 6)
        key.setLayout(layout)
        return key

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.answer.set_compact(self.height() < LOW_PX)
        if not self._shared:
            tables = max(LEAST_TABLES_PX, round(TABLES_SHARE * self.height()))
            self.shares.setSizes([max(self.shares.height() - tables, 1), tables])

    def _keep_shares(self) -> None:
        """Once the handle was moved by hand the shares are the user's."""
        self._shared = True

    def _count_rows(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.tabs.setTabText(0, f"Climbs ({len(review.climbs)})")
            self.tabs.setTabText(1, f"Out of band ({len(review.episodes)})")
