"""The way to the route page: it is made when a route is first wanted, so that the window opens sooner."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.disk.reading import open_regular
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.session.background import raise_error
from slopebeat.window.widgets.page_file import FileDialog

if TYPE_CHECKING:
    from slopebeat.session.session import Session
    from slopebeat.window.route.controller import RouteController
    from slopebeat.window.widgets.notices import Notice

LOOKED_AT = 262_144
"""Bytes of a dropped file looked at to tell a planned way from a recording [project choice]."""


class RouteActions(QObject):
    """Owned by the main window; its acts are those of the menu."""

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._parts = (window, session, stack, notice)
        self._made: RouteController | None = None

    @property
    def controller(self) -> RouteController:
        """What acts on routes, made at the first call."""
        if self._made is None:
            from slopebeat.window.route.controller import RouteController

            self._made = RouteController(*self._parts)
            self._made.page.other.clicked.connect(self.plan_route)
        return self._made

    def plan_route(self) -> None:
        """Ask for a route to plan on; what planning needs is loaded while the user chooses."""
        window, session, _, _ = self._parts
        if self._made is None:
            session.background.run_in_background(_load, lambda _: None, raise_error)
        kinds = tr("Routes (*.gpx *.gpx.gz *.GPX);;All files (*)")
        path = FileDialog.ask_to_open(window, tr("Plan a route"), kinds)
        if path is not None:
            self.controller.planning.open(path)

    def show_route(self) -> None:
        """Go back to the route that was planned; asks for one where there is none."""
        if self._made is None or self._made.empty:
            self.plan_route()
        else:
            self._made.show()

    def takes_drop(self, paths: Sequence[Path]) -> bool:
        """Whether what is dropped is planned on: a GPX file dropped on the page, or one without times."""
        if self._made is not None and self._made.takes_drop(paths):
            return True
        return len(paths) == 1 and is_planned_way(paths[0])

    def open_paths(self, paths: Sequence[Path]) -> None:
        """Plan on the one route that was dropped."""
        self.controller.planning.open(paths[0])


def _load(progress: Callable[[float], None]) -> None:
    import_module("slopebeat.window.route.controller")


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
