"""The way to the route page: it is made when a route is first wanted, so that the window opens sooner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.disk.reading import open_regular
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.session.background import when_loaded
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.page_in_pieces import PageInPieces

if TYPE_CHECKING:
    from slopebeat.session.session import Session
    from slopebeat.window.route.controller import RouteController
    from slopebeat.window.widgets.notices import Notice

PAGE = ("slopebeat.window.route.controller",)
"""What the page is made of."""

LOOKED_AT = 262_144
"""Bytes of a dropped file looked at to tell a planned way from a recording [project choice]."""


class RouteActions(QObject):
    """Owned by the main window; its acts are those of the menu."""

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        load = partial(when_loaded, session.background, PAGE)
        self._parts = PageInPieces(session.steps, self._begin, self._rest, load=load)

    @property
    def controller(self) -> RouteController:
        """What acts on routes, its page whole; what is missing of it is made now."""
        return self._parts.page

    def _begin(self) -> RouteController:
        from slopebeat.window.route.controller import RouteController

        return RouteController(self._window, self._session, self._stack, self._notice)

    def _rest(self, controller: RouteController) -> Iterator[None]:
        yield from controller.fill()
        controller.page.other.clicked.connect(self.plan_route)

    def plan_route(self) -> None:
        """Ask for a route to plan on; the page is made while the user chooses."""
        self._parts.prepare()
        kinds = tr("Routes (*.gpx *.gpx.gz *.GPX);;All files (*)")
        path = FileDialog.ask_to_open(self._window, tr("Plan a route"), kinds)
        if path is not None:
            self.open_paths([path])

    def show_route(self) -> None:
        """Go back to the route that was planned; asks for one where there is none."""
        if self._parts.whole and not self.controller.empty:
            self.controller.show()
        else:
            self.plan_route()

    def takes_drop(self, paths: Sequence[Path]) -> bool:
        """Whether what is dropped is planned on: a GPX file dropped on the page, or one without times."""
        if self._parts.whole and self.controller.takes_drop(paths):
            return True
        return len(paths) == 1 and is_planned_way(paths[0])

    def open_paths(self, paths: Sequence[Path]) -> None:
        """Plan on the one route that was dropped."""
        self._parts.when_whole(lambda: self.controller.planning.open(paths[0]))


def is_planned_way(path: Path) -> bool:
    """Whether a GPX file holds a way nobody has gone: route points, or track points without times."""
    if path.suffix.lower() != ".gpx":
        return False
    try:
        with open_regular(path) as stream:
            start = stream.read(LOOKED_AT)
    except (OSError, UserError):
        return False
    track = start.find(b"<trkpt")
    if track < 0:
        return b"<rtept" in start
    return b"<time" not in start[track:]
