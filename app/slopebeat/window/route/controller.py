"""What the window does with planned routes: the page, made when it is first wanted, and handing a plan on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.model.language import tr
from slopebeat.review.planning.export import plan_gpx
from slopebeat.review.planning.words import plan_text
from slopebeat.session.session import Session
from slopebeat.window.route.page import RoutePage
from slopebeat.window.widgets.notices import Notice
from slopebeat.window.widgets.page_file import save_formats


class RouteController(QObject):
    """Joins the route page to the session; the main window makes one when a route is first wanted."""

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        self.planning = session.route
        self.page = RoutePage(self.planning)
        # In the stack while it is empty: whatever is put into another place takes the look again.
        stack.addWidget(self.page)

    def fill(self) -> Iterator[None]:
        """Make the page, a piece in each step, and give its buttons their acts."""
        yield from self.page.fill()
        self.page.card.triggered.connect(self.save_card)
        self.page.map.triggered.connect(self.save_map)
        self.page.copy.triggered.connect(self.copy_plan)
        self.planning.failed.connect(self._notice_elsewhere)
        self.planning.route_changed.connect(self.show)
        self._session.display.changed.connect(self.page.show_units)

    @property
    def empty(self) -> bool:
        """Whether no route is open."""
        return self.planning.route is None

    def show(self) -> None:
        """Go to the page."""
        self._stack.setCurrentWidget(self.page)

    def takes_drop(self, paths: Sequence[Path]) -> bool:
        """Whether dropped files are planned on: a single GPX file while the page is looked at."""
        names = [path.name.lower() for path in paths]
        here = self._stack.currentWidget() is self.page
        return here and len(names) == 1 and names[0].endswith((".gpx", ".gpx.gz"))

    def save_card(self) -> None:
        plan, pace = self.planning.plan, self.planning.wanted.pace
        if plan is not None:
            self._save(plan, tr("Save the pocket card"), "PDF (*.pdf)", ".pdf", lambda: _card(plan, pace))

    def save_map(self) -> None:
        plan, route = self.planning.plan, self.planning.route
        if plan is not None and route is not None:
            title = tr("Save the route with its climbs")
            self._save(plan, title, "GPX (*.gpx)", ".gpx", lambda: plan_gpx(plan, route))

    def copy_plan(self) -> None:
        if self.planning.plan is not None:
            QGuiApplication.clipboard().setText(plan_text(self.planning.plan))
            self._notice.say(f"{tr('The plan was copied.')} {self._age()}".rstrip())

    def _age(self) -> str:
        """Said with it where what is handed on is the plan of before, as another one is being made."""
        if not self.planning.busy and not self.planning.stale:
            return ""
        return tr("It is the plan of before the last change; the new one is still being made.")

    def _save(self, plan: RoutePlan, title: str, kinds: str, ending: str, make: Callable[[], bytes]) -> None:
        from slopebeat.report.words import file_name

        name, background = file_name(plan.title, ending, "route"), self._session.background
        told = self._notice.say, ending, self._age()
        save_formats(self._window, background, title, name, kinds, lambda: {ending: make}, *told)

    def _notice_elsewhere(self, sentence: str) -> None:
        """The page tells by itself while it is looked at."""
        if self._stack.currentWidget() is not self.page:
            self._notice.say(sentence)


def _card(plan: RoutePlan, pace: StrategyName) -> bytes:
    from slopebeat.report.pocket_card import card_pdf

    return card_pdf(plan, pace)
