"""The route being planned: the way, what was entered, and the plan made of them in the background."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from slopebeat.analysis.route.plan import RoutePlan, StrategyName
from slopebeat.analysis.route.planner import progress_part
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.files.xml.route import read_routes
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import WALK
from slopebeat.model.language import tr
from slopebeat.model.people import Aim, Ground
from slopebeat.model.route import Route
from slopebeat.review.planning.loop import Loop, loop_at, snapped_loop
from slopebeat.review.planning.planning import plan_route
from slopebeat.session.background import Background, Latest, Progress
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.outing.aim import AimState
from slopebeat.session.route.outings import ReadEvidence, RouteOutings

WAIT_MS = 300
"""An edit is planned once nothing more was entered for this long [project choice]."""

LEARNING = 0.2
"""Share of the progress given to learning [project choice]."""


@dataclass(frozen=True)
class Wanted:
    """What the user can set for a plan; ``aim`` carries band, target and masses, ``day`` the conditions.

    ``sport`` is a key of :mod:`slopebeat.model.evidence`; ``hold_bpm`` None stands for the middle of the
    band. ``pace`` is the strategy that profile and card show; both are always planned.
    """

    aim: Aim = field(default_factory=Aim)
    day: Conditions = field(default_factory=Conditions)
    ground: Ground = Ground.FOOT
    sport: str = WALK
    hold_bpm: float | None = None
    pace: StrategyName = StrategyName.HOLD
    loop_m: tuple[float, float] | None = None


class RoutePlanning(QObject):
    """Reads a route and plans on it in the background; only the latest entries count.

    ``route_changed`` says another way is planned on, ``wanted_changed`` that entries differ, ``planned`` that
    ``plan`` is new, ``busy_changed`` that work began or ended, and ``progressed`` how far it is.
    """

    route_changed = Signal()
    wanted_changed = Signal()
    planned = Signal()
    busy_changed = Signal(bool)
    progressed = Signal(float, str)
    failed = Signal(str)

    def __init__(self, library: LibrarySession, aim: AimState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._aim = aim
        self._background = Background(self)
        self._latest = Latest(self._background, self._error, self.busy_changed.emit)
        self._wait = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._wait.timeout.connect(self.plan_now)
        self.learning = RouteOutings(library, self)
        self.routes: tuple[Route, ...] = ()
        self.index = -1
        self.wanted = self._of = Wanted()
        self.plan: RoutePlan | None = None
        self.learning.changed.connect(self._later)
        self.learning.replaced.connect(self._begin)

    @property
    def route(self) -> Route | None:
        """The way that is planned on."""
        return self.routes[self.index] if self.index >= 0 else None

    @property
    def busy(self) -> bool:
        return self._latest.busy

    @property
    def idle(self) -> bool:
        """Whether nothing is under way or waits."""
        return not self.busy and not self._wait.isActive() and self._background.idle

    @property
    def stale(self) -> bool:
        """Whether the plan was made of other entries than those of now."""
        return self.plan is not None and replace(self.wanted, pace=self._of.pace) != self._of

    def open(self, path: Path) -> None:
        """Read a GPX file and plan on the longest way in it."""
        self._latest.start(lambda progress: read_routes(path, progress), self._take_routes)

    def choose_way(self, index: int) -> None:
        """Plan on another way of the file; a loop belongs to the way it was marked on."""
        if 0 <= index < len(self.routes) and index != self.index:
            self._show_way(index)
            self._later()

    def set_wanted(self, wanted: Wanted) -> None:
        """Take entries; another ground brings its own outings and its own band."""
        if wanted == self.wanted:
            return
        before, self.wanted = self.wanted, wanted
        if (wanted.ground, wanted.sport) != (before.ground, before.sport):
            self._begin_ground()
        self.wanted_changed.emit()
        if replace(wanted, pace=before.pace) != before:
            self._later()

    def mark_loop(self, start_m: float, end_m: float, snap: bool = True) -> None:
        """A loop that may be gone again; drawn by hand its ends move to where they meet, typed they stay."""
        if self.route is None:
            return
        try:
            found = snapped_loop(self.route, start_m, end_m) if snap else loop_at(self.route, start_m, end_m)
        except UserError as problem:
            self.failed.emit(str(problem))
            self.wanted_changed.emit()
            return
        self.set_wanted(replace(self.wanted, loop_m=(found.start_m, found.end_m)))

    @property
    def loop(self) -> Loop | None:
        """The marked loop, with how far apart its ends lie."""
        if self.route is None or self.wanted.loop_m is None:
            return None
        return loop_at(self.route, *self.wanted.loop_m)

    def cancel(self) -> None:
        """Stop what is under way; the plan that is shown stays."""
        self._wait.stop()
        self._latest.drop()

    def close(self) -> None:
        """Stop, and wait until it has stopped."""
        self.cancel()
        self._background.close()

    def plan_now(self) -> None:
        """Plan with the entries as they are."""
        self._wait.stop()
        route, wanted, reader = self.route, self.wanted, self.learning.reader()
        if route is None:
            return
        if wanted.aim.band is None:
            self.cancel()
            self.failed.emit(tr("A plan needs a heart-rate band: enter its two edges."))
            return

        def take(plan: RoutePlan) -> None:
            self.plan, self._of = plan, wanted
            self.planned.emit()

        def work(progress: Progress) -> RoutePlan:
            return _plan(route, wanted, reader, self._teller(progress))

        self._latest.start(work, take)

    def _teller(self, progress: Progress) -> Callable[[float, str], None]:
        def tell(share: float, words: str) -> None:
            progress(share)
            self.progressed.emit(share, words)

        return tell

    def _error(self, error: Exception) -> None:
        if isinstance(error, UserError):
            self.failed.emit(str(error))
        elif isinstance(error, OSError):
            text = tr("The file could not be opened: {reason}.")
            self.failed.emit(text.format(reason=error.strerror or error))
        else:
            raise error

    def _take_routes(self, routes: tuple[Route, ...]) -> None:
        first = self.route is None
        self.routes = routes
        self._show_way(max(range(len(routes)), key=lambda i: routes[i].length_m))
        if first:
            self._begin()
        self.plan_now()

    def _show_way(self, index: int) -> None:
        self.index, self.plan = index, None
        self.wanted = replace(self.wanted, loop_m=None)
        self.route_changed.emit()
        self.wanted_changed.emit()

    def _later(self) -> None:
        if self.route is not None:
            self._wait.start()

    def _begin(self) -> None:
        """Start from the athlete of the library, or from the aim entered where there is none."""
        if self.route is None:
            return
        usual = self.learning.usual_ground()
        if usual is not None:
            self.wanted = replace(self.wanted, ground=usual, sport=self.learning.usual_sport())
        self._begin_ground()
        self.wanted_changed.emit()

    def _begin_ground(self) -> None:
        ground = self.wanted.ground
        known = self.learning.aim(ground) or replace(self._aim.aim, load_kg=0.0, load_until_s=None)
        band = known.band or self._aim.aim.band or self.wanted.aim.band
        self.wanted = replace(self.wanted, aim=replace(known, band=band))
        self.learning.begin(ground, self.wanted.sport)


def _plan(
    route: Route, wanted: Wanted, reader: ReadEvidence, tell: Callable[[float, str], None]
) -> RoutePlan:
    tell(0.0, tr("Learning from earlier outings…"))
    evidence, warnings = reader()
    planning = tr("Planning…")
    part = progress_part(lambda share: tell(share, planning), LEARNING, 1.0)
    plan = plan_route(route, evidence, wanted.aim, wanted.day, wanted.hold_bpm, wanted.loop_m, progress=part)
    return replace(plan, warnings=plan.warnings + warnings)
