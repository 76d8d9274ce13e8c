"""Which outings of the open library a plan learns from, and learning from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from PySide6.QtCore import QObject, Signal

from slopebeat.library.results import Inputs
from slopebeat.model.evidence import RIDE, RUN, WALK, OutingEvidence
from slopebeat.model.people import Aim, Ground
from slopebeat.model.recording import Sport
from slopebeat.review.planning.library import LATEST_OUTINGS, aim_for, learn_from
from slopebeat.session.library.library import LibrarySession
from slopebeat.session.library.rows import OutingRow

ReadEvidence = Callable[[], tuple[Sequence[OutingEvidence], tuple[str, ...]]]
"""Reads what the chosen outings teach, and sentences on those left out."""


class RouteOutings(QObject):
    """The outings to choose from and those chosen; what they teach is kept in the library.

    ``changed`` says other outings are chosen, ``listed`` that there are others to choose from, ``replaced``
    that another athlete is looked at.
    """

    changed = Signal()
    listed = Signal()
    replaced = Signal()

    def __init__(self, library: LibrarySession, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._opened, self._work = library.opened, library.work
        self._whose: tuple[object, ...] = ()
        self._waiting = True  # for the first outings of the athlete; none chosen by hand is no waiting
        self._touched = False
        self.ground, self.sport = Ground.FOOT, WALK
        self.chosen: frozenset[str] = frozenset()
        self._opened.athlete_changed.connect(self._look)
        self._opened.rows_changed.connect(self._rows_changed)

    @property
    def rows(self) -> tuple[OutingRow, ...]:
        """Outings of the athlete on the ground planned for, the latest first."""
        rows = [row for row in self._opened.rows if row.outing.ground is self.ground]
        return tuple(reversed(rows))

    @property
    def name(self) -> str:
        """Of the athlete learnt from; empty without one."""
        return self._opened.athlete.name if self._opened.athlete is not None else ""

    def usual_ground(self) -> Ground | None:
        """What most outings were on; None where there are none."""
        rows = self._opened.rows
        bikes = sum(row.outing.ground is Ground.BIKE for row in rows)
        return None if not rows else Ground.BIKE if bikes > len(rows) / 2 else Ground.FOOT

    def usual_sport(self) -> str:
        """What most outings were; walks where there are none."""
        rows = self._opened.rows
        if self.usual_ground() is Ground.BIKE:
            return RIDE
        runs = sum(row.outing.sport == Sport.RUNNING for row in rows)
        on_foot = sum(row.outing.ground is Ground.FOOT for row in rows)
        return RUN if runs > on_foot / 2 else WALK

    def aim(self, ground: Ground) -> Aim | None:
        """Masses, band in force today and prescription of the athlete; None without one."""
        athlete = self._opened.athlete
        if athlete is None:
            return None
        return aim_for(Inputs(athlete, self._opened.periods), ground, date.today())

    def choose(self, identities: frozenset[str]) -> None:
        """Learn from these outings: the user's own choice, which outings that arrive do not change."""
        self._touched = True
        self._choose(identities)

    def _choose(self, identities: frozenset[str]) -> None:
        if identities != self.chosen:
            self.chosen = identities
            self.changed.emit()

    def begin(self, ground: Ground, sport: str) -> None:
        """Choose the latest outings on a ground; of those only the ones of the sport will teach."""
        self.ground, self.sport = ground, sport
        self._waiting, self._touched = not self._opened.rows, False
        self.chosen = self._latest()
        self.changed.emit()

    def reader(self) -> ReadEvidence:
        """What to do to learn from the chosen outings, in the background."""
        library, athlete = self._opened.library, self._opened.athlete
        ground, sport, chosen = self.ground, self.sport, self.chosen
        if library is None or athlete is None or not chosen:
            return lambda: ((), ())

        def learn_chosen() -> tuple[Sequence[OutingEvidence], tuple[str, ...]]:
            taught = learn_from(library, athlete.identity, ground, date.max, sport, chosen=chosen)
            return taught.outings, taught.warnings

        return learn_chosen

    def _look(self) -> None:
        library, athlete = self._opened.library, self._opened.athlete
        whose = (library.path if library else None, athlete.identity if athlete else None)
        if whose != self._whose:
            self._whose = whose
            self.chosen = frozenset()
            self._waiting = True
            self.replaced.emit()

    def _rows_changed(self) -> None:
        here = frozenset(row.outing.identity for row in self._opened.rows)
        if self._waiting and here:
            self.replaced.emit()
            return
        self.listed.emit()
        # While outings arrive the list is read again and again. Following every one of them would begin the
        # plan again and again: once there are enough, it waits for the last.
        if not self._touched and (len(self.chosen) < LATEST_OUTINGS or not self._work.busy):
            self._choose(self._latest())
        else:
            self._choose(self.chosen & here)

    def _latest(self) -> frozenset[str]:
        return frozenset(row.outing.identity for row in self.rows[:LATEST_OUTINGS])
