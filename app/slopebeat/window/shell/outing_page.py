"""The page of one outing: answer, charts, tables, aim and plan."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from slopebeat.model.language import tr
from slopebeat.plots.outing.outing_charts import OutingCharts
from slopebeat.plots.theme import theme
from slopebeat.review.notes.place import WHOLE, Place
from slopebeat.review.present.episodes import episode_rows
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.acts import ChartMenu, Noting
from slopebeat.window.notes.mode import HandSwitch
from slopebeat.window.notes.panel import NotesPanel
from slopebeat.window.outing.aim_editor import AimEditor
from slopebeat.window.outing.answer_card import AnswerCard
from slopebeat.window.outing.causes_panel import CausesPanel
from slopebeat.window.outing.ceiling_panel import CeilingPanel
from slopebeat.window.outing.chart_bar import ChartBar
from slopebeat.window.outing.decoupling_panel import DecouplingPanel
from slopebeat.window.outing.measure_panel import MeasurePanel
from slopebeat.window.outing.next_time_panel import NextTimePanel
from slopebeat.window.outing.plan_card import PlanCard
from slopebeat.window.outing.readout import Readout
from slopebeat.window.outing.recording_panel import RecordingPanel
from slopebeat.window.outing.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS, StretchTable
from slopebeat.window.widgets.parts import card
from slopebeat.window.widgets.splitter import Splitter

SIDE_PX = 292
"""Width of the side column [project choice]."""


LOW_PX = 760
"""A page lower than this leaves the charts too little room beside everything else [project choice]."""

NARROW_PX = 1360
"""A page narrower than this has no room for every word above the charts [project choice]."""

TABLES_SHARE, LEAST_TABLES_PX = 0.27, 172
"""Share of the page's height for the tables, and the least that shows three rows [project choice]."""

CAUSES_PX = 284
"""Width of the causes beside the episodes [project choice]."""


class OutingPage(QWidget):
    """Places the views; each reads the session by itself."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("page")
        self._session = session
        self.answer = AnswerCard(session)
        self.charts = OutingCharts(session)
        self.plan_card = PlanCard(session)
        self.plan = self.plan_card.plan
        self.aim = AimEditor(session)
        self.climbs = StretchTable(
            session, Picked.CLIMB, CLIMB_COLUMNS, tr("Climbs"), lambda review: review.climbs
        )
        self.episodes = StretchTable(
            session, Picked.EPISODE, EPISODE_COLUMNS, tr("Episodes out of band"), episode_rows
        )
        self.climbs.nothing = tr("No climb in this outing.")
        self.episodes.nothing = tr("No episode out of band, or no band chosen yet.")
        self.causes = CausesPanel(session)
        self.out_of_band = self._out_of_band()
        self.next_time = NextTimePanel(session)
        self.ceiling = CeilingPanel(session)
        self.decoupling = DecouplingPanel(session)
        self.recording = RecordingPanel(session)
        self.notes = NotesPanel(session)
        self.measure = MeasurePanel(session)
        self.hand = HandSwitch(self.charts.notes.hand)
        self.noting = Noting(session, self)
        self.menu = ChartMenu(self.charts, self.charts.notes, session, self.noting)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("Tables"))
        self.tabs.setDocumentMode(False)
        self._fill_tabs()
        self.shares, self.across = Splitter(Qt.Orientation.Vertical), Splitter(Qt.Orientation.Horizontal)
        self._shared = False
        self._lay_out()
        self._connect()
        theme.follow(self._fit_text)

    def _fill_tabs(self) -> None:
        for view, name in (
            (self.climbs, tr("Climbs")),
            (self.out_of_band, tr("Out of band")),
            (self.next_time, tr("Next time")),
            (self.ceiling, tr("Speed to hold")),
            (self.decoupling, tr("Decoupling")),
            (self.measure, tr("Measure")),
            (self.notes, tr("Notes")),
            (self.recording, tr("Recording")),
        ):
            self.tabs.addTab(view, name)

    def _connect(self) -> None:
        self.answer.band_wanted.connect(self.ask_for_band)
        self.noting.wanted.connect(self._write_note)
        self.noting.begun.connect(self.charts.notes.begin)
        self.charts.notes.wanted.connect(self._write_at_draft)
        self.charts.notes.picked.connect(self.notes.pick)
        self.charts.notes.picked.connect(self._show_notes)
        self.charts.notes.opened.connect(self._show_notes)
        self.charts.notes.opened.connect(self.notes.open)
        self._session.measuring.changed.connect(self._show_measured)
        self._session.selection.changed.connect(self._show_selected)
        self._session.outing.reviewed.connect(self._count_rows)
        self._session.notes.changed.connect(self._count_rows)

    def _fit_text(self) -> None:
        """Leave the room that the size of the texts needs."""
        self._side_column.setMinimumWidth(round((SIDE_PX - 20) * max(theme.text_share, 1.0)))
        self.bar.fit_text()
        self._fit_answer()

    def ask_for_band(self) -> None:
        """Put the keyboard where a band is entered."""
        self.aim.band.method.setFocus(Qt.FocusReason.OtherFocusReason)
        if self.aim.band.lower_edge.isVisible():
            self.aim.band.lower_edge.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        charts_card, charts = card(0, 0)
        charts.setContentsMargins(1, 1, 1, 6)
        bar = QHBoxLayout()
        bar.setSpacing(0)
        self.bar = ChartBar(self._session)
        bar.addWidget(self.bar, 1)
        bar.addWidget(self.hand)
        charts.addLayout(bar)
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
        across = self.across
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
        scroll.setAccessibleName(tr("Band, target and plan"))
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._side_column = scroll
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        column.addWidget(self.aim)
        column.addWidget(self.plan_card, 1)
        scroll.setWidget(side)
        return scroll

    def _fit_answer(self) -> None:
        self.answer.set_compact(self.height() < LOW_PX * theme.text_share)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_answer()
        self.hand.set_compact(self.width() < NARROW_PX)
        if not self._shared:
            low = self.height() < LOW_PX * theme.text_share
            tables = LEAST_TABLES_PX if low else max(LEAST_TABLES_PX, round(TABLES_SHARE * self.height()))
            self.shares.setSizes([max(self.shares.height() - tables, 1), tables])

    def share_as(self, across_px: Sequence[int], shares_px: Sequence[int]) -> None:
        """Share the room as it was left; nothing for what was never moved."""
        if len(across_px) == self.across.count():
            self.across.setSizes(list(across_px))
        if len(shares_px) == self.shares.count():
            self.shares.setSizes(list(shares_px))
            self._keep_shares()

    def shared_px(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """How the room is shared across and down; the second is empty while it follows the window."""
        return tuple(self.across.sizes()), tuple(self.shares.sizes()) if self._shared else ()

    def _keep_shares(self) -> None:
        """Once the handle was moved by hand the shares are the user's."""
        self._shared = True

    def _show_notes(self, _identity: str = "") -> None:
        self.tabs.setCurrentWidget(self.notes)

    def _show_measured(self) -> None:
        """What is being measured is read while the hand still moves."""
        if self._session.measuring.latest is not None:
            self.measure.show_drawn()
            self.tabs.setCurrentWidget(self.measure)

    def _show_selected(self) -> None:
        """What was picked on charts, plan or bar is shown in its table, where none that is open has it."""
        having = {
            Picked.CLIMB: (self.climbs, self.next_time),
            Picked.EPISODE: (self.out_of_band,),
            Picked.CAUSE: (self.out_of_band,),
        }
        kind = self._session.selection.kind
        if kind in having and self.tabs.currentWidget() not in having[kind]:
            self.tabs.setCurrentWidget(having[kind][0])

    def _write_at_draft(self) -> None:
        self._write_note(self._session.notes.draft or WHOLE)

    def _write_note(self, place: Place) -> None:
        """A place was chosen: put the keyboard where its words are written."""
        self._show_notes()
        self.notes.card.write_at(place)

    def _count_rows(self) -> None:
        review = self._session.outing.review
        if review is not None:
            self.tabs.setTabText(0, tr("Climbs ({count})").format(count=len(review.climbs)))
            self.tabs.setTabText(1, tr("Out of band ({count})").format(count=len(review.episodes)))
            lost = bool(review.recording.damage)
            at = self.tabs.indexOf(self.recording)
            self.tabs.setTabText(at, tr("Recording (damaged)") if lost else tr("Recording"))
        notes = len(self._session.notes.all)
        at = self.tabs.indexOf(self.notes)
        self.tabs.setTabText(at, tr("Notes ({count})").format(count=notes) if notes else tr("Notes"))
