"""The tables of climbs and of episodes out of band."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtWidgets import QWidget

from slopebeat.analysis.account.causes import Cause
from slopebeat.analysis.account.episodes import Episode
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED
from slopebeat.model.units import clock, percent
from slopebeat.review.help.explanations import hint
from slopebeat.review.outing import Review
from slopebeat.session.outing.view_state import Picked
from slopebeat.session.session import Session
from slopebeat.session.settings.display import minutes_seconds, number
from slopebeat.window.widgets.fresh import FreshWhenSeen
from slopebeat.window.widgets.table import Column, RowsTable


def _number(digits: int = 0, factor: float = 1.0) -> Any:
    return lambda value: number(value, digits, factor)


def _per_hour(value: float | None) -> str:
    """A vertical speed held in metres an hour."""
    return VERTICAL_SPEED.figure(None if value is None else value / 3600.0)


def _left_after(value: float | None) -> str:
    """Nothing is left on a climb whose foot was already above the band."""
    return tr("at the foot") if value == 0.0 else minutes_seconds(value)


CLIMB_COLUMNS: Sequence[Column] = (
    Column(mark("No."), hint("climb.number"), lambda i, c: i + 1, lambda v: str(v)),
    Column(mark("From"), hint("climb.from"), lambda i, c: c.start_s, clock),
    Column(mark("Moving"), hint("climb.moving"), lambda i, c: c.moving_s, minutes_seconds),
    Column(mark("Standing"), hint("climb.standing"), lambda i, c: c.standing_s, minutes_seconds),
    Column(
        mark("Gain"),
        hint("climb.gain"),
        lambda i, c: c.gain_m,
        HEIGHT.figure,
        unit=HEIGHT,
    ),
    Column(
        mark("Length"),
        hint("climb.length"),
        lambda i, c: c.length_m,
        GROUND.figure,
        unit=GROUND,
    ),
    Column(mark("Grade"), hint("climb.grade"), lambda i, c: c.grade_mean, _number(1, 100), unit="%"),
    Column(
        mark("Steepest"), hint("climb.steepest"), lambda i, c: c.grade_steepest, _number(0, 100), unit="%"
    ),
    Column(
        mark("Vertical"),
        hint("climb.vertical"),
        lambda i, c: c.vertical_speed_m_per_h,
        _per_hour,
        unit=VERTICAL_SPEED,
    ),
    Column(mark("HR\nmean"), hint("climb.hr_mean"), lambda i, c: c.hr_mean_bpm, _number()),
    Column(mark("HR\nhighest"), hint("climb.hr_max"), lambda i, c: c.hr_max_bpm, _number()),
    Column(mark("Share\nabove"), hint("climb.above"), lambda i, c: c.share_above, percent),
    Column(
        mark("Band left\nafter"),
        hint("climb.exit"),
        lambda i, c: c.time_to_exit_s,
        _left_after,
    ),
    Column(
        mark("at grade"),
        hint("climb.exit_grade"),
        lambda i, c: c.exit_grade,
        _number(0, 100),
        unit="%",
    ),
    Column(
        mark("at speed"),
        hint("climb.exit_speed"),
        lambda i, c: c.exit_speed_mps,
        SPEED.figure,
        unit=SPEED,
    ),
    Column(
        mark("Back in band\nafter"),
        hint("climb.return"),
        lambda i, c: c.return_s,
        minutes_seconds,
    ),
)


@dataclass(frozen=True)
class OutOfBand:
    """An episode with the cause of most of its seconds."""

    episode: Episode
    cause: Cause | None

    @property
    def start_s(self) -> float:
        return self.episode.start_s

    @property
    def end_s(self) -> float:
        return self.episode.end_s


def episode_rows(review: Review) -> list[OutOfBand]:
    """Episodes with their causes."""
    if review.causes is None:
        return []
    return [OutOfBand(e, review.causes.main_cause(review.track, e.start_s, e.end_s)) for e in review.episodes]


EPISODE_COLUMNS: Sequence[Column] = (
    Column(mark("No."), hint("episode.number"), lambda i, e: i + 1, lambda v: str(v)),
    Column(mark("From"), hint("episode.from"), lambda i, e: e.start_s, clock),
    Column(mark("Lasts"), hint("episode.lasts"), lambda i, e: e.end_s - e.start_s, minutes_seconds),
    Column(mark("Side"), hint("episode.side"), lambda i, e: tr(e.episode.direction), str, left=True),
    Column(
        mark("Cause"),
        hint("episode.cause"),
        lambda i, e: tr("not known") if e.cause is None else tr(e.cause),
        str,
        left=True,
    ),
    Column(
        mark("Farthest"),
        hint("episode.farthest"),
        lambda i, e: e.episode.peak_bpm,
        _number(),
        unit="bpm",
    ),
    Column(
        mark("Beyond"),
        hint("episode.beyond"),
        lambda i, e: e.episode.bpm_minutes,
        _number(),
        unit="bpm·min",
    ),
    Column(
        mark("Grade"),
        hint("episode.grade"),
        lambda i, e: e.episode.grade,
        _number(0, 100),
        unit="%",
    ),
    Column(
        mark("Speed"),
        hint("episode.speed"),
        lambda i, e: e.episode.speed_mps,
        SPEED.figure,
        unit=SPEED,
    ),
    Column(
        mark("Vertical"),
        hint("episode.vertical"),
        lambda i, e: e.episode.vertical_speed_m_per_h,
        _per_hour,
        unit=VERTICAL_SPEED,
    ),
    Column(
        mark("Work"),
        hint("episode.work"),
        lambda i, e: e.episode.work_w_per_kg,
        _number(1),
        unit="W/kg",
    ),
    Column(
        mark("On\nclimb"),
        hint("episode.climb"),
        lambda i, e: None if e.episode.climb is None else e.episode.climb + 1,
        _number(),
    ),
    Column(
        mark("Back in band\nafter"),
        hint("episode.return"),
        lambda i, e: e.episode.return_s,
        minutes_seconds,
    ),
)


class StretchTable(RowsTable):
    """Climbs, episodes or doubts; picking a row selects that stretch in the session."""

    def __init__(
        self,
        session: Session,
        kind: Picked,
        columns: Sequence[Column],
        name: str,
        rows_of: Callable[[Review], Sequence[Any]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(name, columns, parent)
        self._rows_of = rows_of
        self._session = session
        self._kind = kind
        self._fresh = FreshWhenSeen(
            session.steps, self, session.outing.reviewed, self._show, session.display.changed
        )
        session.selection.changed.connect(self._follow)
        self.selectionModel().selectionChanged.connect(self._picked)

    def show_rows(self) -> None:
        """What the rows are has changed: read them again when they are looked at."""
        if self._session.selection.kind is self._kind:
            self._session.selection.clear()
        self._fresh.redraw()

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        rows = self._rows_of(review)
        mine = self._session.selection.kind is self._kind
        same = [(r.start_s, r.end_s) for r in rows] == [(r.start_s, r.end_s) for r in self.rows.rows]
        self.set_rows(rows, keep_widths=self._session.aim.trying)
        if mine and same:
            self._follow()
        elif mine:
            self._session.selection.clear()

    def _picked(self) -> None:
        number_picked = self.picked_row()
        picked = self._session.selection
        if number_picked is None or (picked.kind is self._kind and picked.index == number_picked):
            return
        chosen = self.rows.rows[number_picked]
        picked.select(self._kind, number_picked, chosen.start_s, chosen.end_s)

    def _follow(self) -> None:
        picked = self._session.selection
        if self._fresh.stale:
            return
        if picked.kind is not self._kind:
            self.clearSelection()
        elif self.picked_row() != picked.index:
            self.pick(picked.index)
