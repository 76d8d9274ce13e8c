"""What the window does with planned routes: the page, made when it is first wanted, and handing a plan on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.disk.writing import write_whole
from slopebeat.model.language import tr
from slopebeat.review.planning.export import plan_gpx
from slopebeat.review.planning.words import plan_text
from slopebeat.session.background import say_problem
from slopebeat.session.session import Session
from slopebeat.window.route.page import RoutePage
from slopebeat.window.widgets.notices import Notice
from slopebeat.window.widgets.page_file import FileDialog


class RouteController(QObject):
    """Joins the route page to the session; the main window makes one when a route is first wanted."""

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        self.planning = session.route
        self.page = RoutePage(self.planning)
        stack.addWidget(self.page)
        self.page.card.triggered.connect(self.save_card)
        self.page.map.triggered.connect(self.save_map)
        self.page.copy.triggered.connect(self.copy_plan)
        self.planning.failed.connect(self._notice_elsewhere)
        self.planning.route_changed.connect(self.show)
        session.display.changed.connect(self.page.show_units)

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
        from slopebeat.report.pocket_card import write_card

        plan, pace = self.planning.plan, self.planning.wanted.pace
        if plan is not None:
            kinds = "PDF (*.pdf)"
            self._save(tr("Save the pocket card"), ".pdf", kinds, lambda path: write_card(plan, path, pace))

    def save_map(self) -> None:
        plan, route = self.planning.plan, self.planning.route
        if plan is not None and route is not None:
            kinds = "GPX (*.gpx)"
            self._save(
                tr("Save the route with its climbs"),
                ".gpx",
                kinds,
                lambda path: write_whole(path, plan_gpx(plan, route)),
            )

    def copy_plan(self) -> None:
        if self.planning.plan is not None:
            QGuiApplication.clipboard().setText(plan_text(self.planning.plan))
            self._notice.say(self._with_age(tr("The plan was copied.")))

    def _with_age(self, sentence: str) -> str:
        """Said with it that what was handed on is the plan of before, while another one is being made."""
        if not self.planning.busy and not self.planning.stale:
            return sentence
        old = tr("It is the plan of before the last change; the new one is still being made.")
        return f"{sentence} {old}"

    def _save(self, title: str, suffix: str, kinds: str, write: Callable[[Path], None]) -> None:
        from slopebeat.report.words import file_name

        assert self.planning.plan is not None
        name = file_name(self.planning.plan.title, suffix, "route")
        path = FileDialog.ask_to_save(self._window, title, name, kinds)
        if path is None:
            return
        if path.suffix == "":
            path = path.with_suffix(suffix)
        if path.suffix.lower() != suffix:
            text = tr("End the name of the file in {suffix}; nothing was saved.")
            self._notice.say(text.format(suffix=suffix))
            return
        text = self._with_age(tr("{file} was saved.").format(file=path))
        self._session.background.run_in_background(
            lambda progress: write(path), lambda _: self._notice.say(text), say_problem(self._notice.say)
        )

    def _notice_elsewhere(self, sentence: str) -> None:
        """The page tells by itself while it is looked at."""
        if self._stack.currentWidget() is not self.page:
            self._notice.say(sentence)
