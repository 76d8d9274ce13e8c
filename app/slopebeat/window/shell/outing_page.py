"""The page of one outing: answer, charts, tables, aim and plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QWidget

from slopebeat.model.language import tr
from slopebeat.plots.theme import theme
from slopebeat.review.notes.place import WHOLE, Place
from slopebeat.review.present.episodes import episode_rows
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.window.notes.acts import ChartMenu, NoteActions
from slopebeat.window.notes.card import NoteCard
from slopebeat.window.notes.panel import NotesPanel
from slopebeat.window.notes.table import NotesTable
from slopebeat.window.outing.aim_editor import AimEditor
from slopebeat.window.outing.causes_panel import CausesPanel
from slopebeat.window.outing.decoupling_panel import DecouplingPanel
from slopebeat.window.outing.measure_panel import MeasurePanel
from slopebeat.window.outing.next_time_panel import CeilingPanel, NextTimePanel
from slopebeat.window.outing.plan_card import PlanCard
from slopebeat.window.outing.recording_panel import RecordingPanel
from slopebeat.window.outing.stretches import (
    CLIMB_COLUMNS,
    EPISODE_COLUMNS,
    StretchTable,
    TabOfSelection,
    repeats_column,
)
from slopebeat.window.shell.outing_column import OutingColumn
from slopebeat.window.widgets.parts import holder, row, scroll_down, stacked
from slopebeat.window.widgets.splitter import Splitter
from slopebeat.window.widgets.tabs import AllSeenTabs

SIDE_PX = 292
"""Width of the side column [project choice]."""

MARGIN_PX = 6
"""Around all of the page [project choice]."""

CAUSES_PX = 304
"""Width of the causes beside the episodes [project choice]."""


class OutingPage(QWidget):
    """Places the views; each reads the session by itself."""

    def __init__(self, session: Session, note_actions: NoteActions, parent: QWidget | None = None) -> None:
        """Empty; :meth:`fill` makes what is seen."""
        super().__init__(parent)
        self.setObjectName("page")
        self._session = session
        self.note_actions = note_actions
        self.tabs = AllSeenTabs()
        self.tabs.setAccessibleName(tr("Tables"))
        self.tabs.setDocumentMode(False)
        self.column = OutingColumn(session, self.tabs)
        self.shares, self.across = self.column.shares, Splitter(Qt.Orientation.Horizontal)

    def fill(self) -> Iterator[None]:
        """Make every view, each in its place; between them the window may take clicks.

        From the outside in: what is put into another place takes the look again, with all that is in it.
        """
        self._lay_out()
        yield
        yield from self.column.fill()
        self.answer, self.bar, self.charts = self.column.answer, self.column.bar, self.column.charts
        self.drag_mode = self.column.drag_mode
        self.menu = ChartMenu(self.charts, self.charts.notes, self._session, self.note_actions)
        yield
        # In the order of the keyboard: from the tabs to what they show, and to the side after that.
        yield from self._fill_tabs()
        yield from self._fill_side()
        for view in filter(None, map(self.tabs.widget, range(self.tabs.count()))):
            # The highest page decides for all of them; what is higher than its place scrolls.
            view.setMinimumHeight(1)
        self._connect()
        theme.follow(self._fit_text)
        self.column.whole()

    def _fill_tabs(self) -> Iterator[None]:
        session, tabs = self._session, self.tabs
        columns = (*CLIMB_COLUMNS, repeats_column(session.outing_ground))
        self.climbs = StretchTable(session, Picked.CLIMB, columns, tr("Climbs"), lambda review: review.climbs)
        session.outing_ground.changed.connect(self.climbs.show_rows)
        self.climbs.nothing = tr("No climb in this outing.")
        tabs.add(self.climbs, tr("Climbs"))
        self.episodes = StretchTable(
            session, Picked.EPISODE, EPISODE_COLUMNS, tr("Episodes out of band"), episode_rows
        )
        self.episodes.nothing = tr("No episode out of band, or no band chosen yet.")
        yield
        self.causes = CausesPanel(session)
        self.out_of_band = self._out_of_band()
        tabs.add(self.out_of_band, tr("Out of band"), tr("Out"))
        yield
        self.next_time = NextTimePanel(session)
        tabs.add(self.next_time, tr("Next time"), tr("Next"))
        yield
        self.ceiling = CeilingPanel(session)
        tabs.add(self.ceiling, tr("Speed to hold"), tr("Hold"))
        yield
        self.decoupling = DecouplingPanel(session)
        tabs.add(self.decoupling, tr("Decoupling"))
        yield
        self.measure = MeasurePanel(session)
        tabs.add(self.measure, tr("Measure"))
        yield
        table = NotesTable(session)
        yield
        card = NoteCard(session)
        yield
        self.notes = NotesPanel(session, table, card)
        yield
        tabs.add(self.notes, tr("Notes"))
        yield
        self.recording = RecordingPanel(session)
        tabs.add(self.recording, tr("Recording"), tr("File"))
        yield

    def _connect(self) -> None:
        self.answer.band_wanted.connect(self.ask_for_band)
        self.note_actions.wanted.connect(self._write_note)
        self.note_actions.started.connect(self.charts.notes.begin)
        self.charts.notes.wanted.connect(self._write_at_draft)
        self.charts.notes.picked.connect(self.notes.pick)
        self.charts.notes.picked.connect(self._show_notes)
        self.charts.notes.opened.connect(self._show_notes)
        self.charts.notes.opened.connect(self.notes.open)
        self._session.measuring.changed.connect(self._show_measured)
        having = {Picked.CLIMB: (self.climbs, self.next_time), Picked.EPISODE: (self.out_of_band,)}
        TabOfSelection(self._session, self.tabs, having)
        self._session.steps.follow(self._count_rows, self._session.outing.reviewed, seldom=True)
        self._session.notes.changed.connect(self._count_rows)

    def _fit_text(self) -> None:
        """Leave the room that the size of the texts needs."""
        self.tabs.fit()
        self.causes.setFixedWidth(round(CAUSES_PX * max(theme.text_share, 1.0)))
        self._side_column.setMinimumWidth(round((SIDE_PX - 20) * max(theme.text_share, 1.0)))

    def ask_for_band(self) -> None:
        """Put the keyboard where a band is entered."""
        self.aim.band.method.setFocus(Qt.FocusReason.OtherFocusReason)
        if self.aim.band.lower_edge.isVisible():
            self.aim.band.lower_edge.setFocus(Qt.FocusReason.OtherFocusReason)

    def _lay_out(self) -> None:
        stacked(self.across, of=self, margins=(12, MARGIN_PX, 12, MARGIN_PX))
        self.across.addWidget(self.column)

    def _out_of_band(self) -> QWidget:
        self._beside = holder(row((self.episodes, 1), self.causes, spacing=0))
        return self._beside

    def _fill_side(self) -> Iterator[None]:
        scroll = QScrollArea()
        self.across.addWidget(scroll)
        self.across.setStretchFactor(0, 1)
        self.across.setSizes([1100, SIDE_PX])
        self._side_column = scroll
        column = stacked(spacing=10)
        scroll_down(scroll, tr("Band, target and track"), holder(column))
        yield
        plan = PlanCard(self._session)
        self.plan = plan.plan
        yield
        self.aim = AimEditor(self._session)
        yield
        column.addWidget(self.aim)
        column.addWidget(plan, 1)
        yield

    def share_as(self, across_px: Sequence[int], shares_px: Sequence[int]) -> None:
        """Share the room as it was left; nothing for what was never moved."""
        if len(across_px) == self.across.count():
            self.across.setSizes(list(across_px))
        self.column.share_as(shares_px)

    def shared_px(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """How the room is shared across and down; the second is empty while it follows the window."""
        return tuple(self.across.sizes()), self.column.shared_px()

    def _show_notes(self, _identity: str = "") -> None:
        self.tabs.setCurrentWidget(self.notes)

    def _show_measured(self) -> None:
        """What is being measured is read while the hand still moves."""
        if self._session.measuring.latest is not None:
            self.measure.show_drawn()
            self.tabs.setCurrentWidget(self.measure)

    def _write_at_draft(self) -> None:
        self._write_note(self._session.notes.draft or WHOLE)

    def _write_note(self, place: Place) -> None:
        """A place was chosen: put the keyboard where its words are written."""
        self._show_notes()
        self.notes.card.write_at(place)

    def _count_rows(self) -> None:
        review = self._session.outing.review
        if review is not None:
            tabs, counted = self.tabs, len(review.episodes)
            tabs.name(self.climbs, tr("Climbs ({count})").format(count=len(review.climbs)))
            tabs.name(
                self._beside,
                tr("Out of band ({count})").format(count=counted),
                tr("Out ({count})").format(count=counted),
            )
            lost = bool(review.recording.damage)
            tabs.name(
                self.recording,
                tr("Recording (damaged)") if lost else tr("Recording"),
                tr("File (damaged)") if lost else tr("File"),
            )
        notes = len(self._session.notes.all)
        self.tabs.name(self.notes, tr("Notes ({count})").format(count=notes) if notes else tr("Notes"))
