"""The page of a planned route: entries, profile, both ways to go, climbs, and what to know."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QMenu, QScrollArea, QTabWidget, QWidget

from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.model.language import tr
from slopebeat.plots.route.profile import RouteProfile
from slopebeat.review.planning.words import PLAN_CAUTIONS, heading, what_to_expect
from slopebeat.review.present.way import WAY_FIGURES, climb_rows
from slopebeat.review.words.messages import say
from slopebeat.session.route.route import RoutePlanning
from slopebeat.window.route.entry import LoopEntry, RouteEntry
from slopebeat.window.route.outings_panel import RouteOutingsPanel
from slopebeat.window.route.strategies import Strategies
from slopebeat.window.widgets.notices import WaitingBar
from slopebeat.window.widgets.parts import (
    REST,
    button,
    explained_by,
    framed,
    holder,
    label,
    row,
    scroll_down,
    show_words,
    stacked,
)
from slopebeat.window.widgets.rows import columns_of
from slopebeat.window.widgets.splitter import Splitter
from slopebeat.window.widgets.table import RowsTable

SHOW_AFTER_MS = 300
"""A plan made faster than this shows no progress [project choice]."""

SIDE_PX, RIGHT_PX = 284, 318
"""Widths of the entries and of the strategies [project choice]."""

LOWER_SHARE = 0.32
"""Share of the middle column for the tables [project choice]."""


class PlanningBar(WaitingBar):
    """Progress of reading, learning and planning, with a button to stop."""

    def __init__(self, planning: RoutePlanning) -> None:
        super().__init__(tr("Progress of planning"), tr("Stop planning; the plan shown stays."))
        self._late.setInterval(SHOW_AFTER_MS)
        self.progress.setRange(0, 100)
        self.stop.clicked.connect(planning.cancel)
        planning.busy_changed.connect(self._busy)
        planning.progressed.connect(self._progress)

    def _busy(self, busy: bool) -> None:
        if busy:
            self.progress.setValue(0)
            self.text.setText(tr("Planning…"))
            self._late.start()
        else:
            self._end()

    def _progress(self, share: float, words: str) -> None:
        self.progress.setValue(round(share * 100))
        self.text.setText(words)


class RoutePage(QWidget):
    """Reads the planning of the session and redraws; who owns the page gives its buttons their acts."""

    def __init__(self, planning: RoutePlanning) -> None:
        super().__init__()
        self.setObjectName("page")
        self._planning = planning

    def fill(self) -> Iterator[None]:
        """Make what lies on it, a piece in each step."""
        planning = self._planning
        self.title = explained_by("plan.time", label("", "figure"))
        self.answer = explained_by("plan.in_band", label("", "", wrap=True))
        self.problem = label("", "problem", wrap=True)
        self.again = button(tr("Plan again"), "", tr("The plan shown is of the entries before"))
        self.other = button(tr("Another route…"), "", tr("Open another GPX file"))
        self.export_button = button(tr("Save or copy…"), "primary", tr("Pocket card, map file, text"))
        self.bar = PlanningBar(planning)
        yield
        self.profile = RouteProfile()
        yield
        self.entry, self.loop = RouteEntry(planning), LoopEntry(planning)
        yield
        self.strategies = Strategies()
        self.climbs = RowsTable(tr("Climbs of the route"), columns_of(WAY_FIGURES))
        self.outings_panel = RouteOutingsPanel(planning)
        self.notes = label("", wrap=True)
        self.tabs = QTabWidget()
        self.shares = Splitter(Qt.Orientation.Vertical)
        yield
        self._lay_out()
        yield
        self._connect()
        self._show_route()
        self._show_plan()

    def _lay_out(self) -> None:
        self._fill_menu()
        self.tabs.setAccessibleName(tr("Climbs, outings learnt from, and what to know"))
        inside = QScrollArea()
        self.notes.setContentsMargins(10, 8, 10, 8)
        scroll_down(inside, "", holder(stacked(self.notes, REST)))
        for view, name in (
            (self.climbs, tr("Climbs")),
            (self.outings_panel, tr("Learnt from")),
            (inside, tr("What to know")),
        ):
            self.tabs.addTab(view, name)
        self.shares.addWidget(framed(self.profile))
        self.shares.addWidget(self.tabs)
        self.shares.setStretchFactor(0, 1)
        self.shares.setSizes([round(600 * (1 - LOWER_SHARE)), round(600 * LOWER_SHARE)])
        middle = stacked(self.bar, self.answer, (self.shares, 1), spacing=6)
        left, right = _column(SIDE_PX, self.entry, self.loop), _column(RIGHT_PX, self.strategies)
        columns = row(left, (middle, 1), right, spacing=10)
        head = row((self.title, 1), self.again, self.other, self.export_button)
        parts = (head, self._cautions(), self.problem, (columns, 1))
        stacked(*parts, of=self, margins=(12, 8, 12, 10), spacing=7)

    @staticmethod
    def _cautions() -> QFrame:
        strip = QFrame()
        strip.setObjectName("notice")
        words = label(" ".join(tr(each) for each in PLAN_CAUTIONS), "caption", wrap=True)
        words.setAccessibleName(tr("Cautions"))
        row(words, of=strip, margins=(12, 5, 12, 5), stretch_last=True)
        return strip

    def _fill_menu(self) -> None:
        menu = QMenu(self.export_button)
        self.card = menu.addAction(tr("Pocket card as PDF…"))
        self.map = menu.addAction(tr("GPX with the speed to hold…"))
        self.copy = menu.addAction(tr("Copy as text"))
        self.export_button.setMenu(menu)

    def _connect(self) -> None:
        planning = self._planning
        planning.route_changed.connect(self._show_route)
        planning.planned.connect(self._show_plan)
        planning.wanted_changed.connect(self._show_wanted)
        planning.busy_changed.connect(self._offer)
        planning.failed.connect(self._tell)
        self.profile.stretch_drawn.connect(planning.mark_loop)
        self.again.clicked.connect(planning.plan_now)

    def show_units(self) -> None:
        """Write every figure anew, in the units in force."""
        self.entry.show_wanted()
        self.loop.show_loop()
        self._show_plan()

    def _show_route(self) -> None:
        route = self._planning.route
        self.problem.hide()
        self.title.setText("" if route is None else route.title)
        self.answer.setText("")
        self.climbs.set_rows([])
        self.notes.setText("\n\n".join(map(say, route.warnings)) if route else "")
        if route is not None:
            self.profile.show_route(route)
            self.profile.show_loop(None)
        self.strategies.setVisible(self._planning.plan is not None)
        self._offer()

    def _show_plan(self) -> None:
        plan = self._planning.plan
        if plan is None:
            return
        self.problem.hide()
        self.title.setText(heading(plan))
        self.answer.setText(what_to_expect(plan))
        self.strategies.show_plan(plan)
        self.strategies.show()
        self.notes.setText("\n\n".join(plan.warnings))
        self.tabs.setTabText(0, tr("Climbs ({count})").format(count=len(plan.climbs)))
        self.tabs.setTabText(2, tr("What to know ({count})").format(count=len(plan.warnings)))
        self._show_pace(plan)
        self._offer()

    def _show_pace(self, plan: RoutePlan) -> None:
        pace = self._planning.wanted.pace
        self.profile.show_plan(plan, pace)
        self.profile.show_loop(self._planning.wanted.loop_m)
        self.climbs.set_rows(climb_rows(plan, pace is StrategyName.HOLD))

    def _show_wanted(self) -> None:
        if self._planning.plan is not None:
            self._show_pace(self._planning.plan)
        else:
            self.profile.show_loop(self._planning.wanted.loop_m)

    def _offer(self) -> None:
        planning = self._planning
        self.export_button.setEnabled(planning.plan is not None)
        stopped = not planning.busy and planning.route is not None
        self.again.setVisible(stopped and (planning.stale or planning.plan is None))

    def _tell(self, sentence: str) -> None:
        show_words(self.problem, sentence)
        self._offer()


def _column(width: int, *widgets: QWidget) -> QScrollArea:
    """Widgets one below the other, to scroll where they are higher than the page."""
    area = scroll_down(QScrollArea(), "", holder(stacked(*widgets, REST, spacing=8)))
    area.setFixedWidth(width)
    return area
