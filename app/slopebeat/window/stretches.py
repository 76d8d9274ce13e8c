"""The tables of climbs and of episodes out of band."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtWidgets import QWidget

from slopebeat.analysis.causes import Cause
from slopebeat.analysis.episodes import Episode
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED
from slopebeat.model.units import clock, percent
from slopebeat.review.outing import Review
from slopebeat.session.display import minutes_seconds, number
from slopebeat.session.session import Session
from slopebeat.session.view_state import Picked
from slopebeat.window.fresh import FreshWhenSeen
from slopebeat.window.table import Column, RowsTable


def _number(digits: int = 0, factor: float = 1.0) -> Any:
    return lambda value: number(value, digits, factor)


def _per_hour(value: float | None) -> str:
    """A vertical speed held in metres an hour."""
    return VERTICAL_SPEED.figure(None if value is None else value / 3600.0)


CLIMB_COLUMNS: Sequence[Column] = (
    Column(mark("No."), mark("Number on the elevation chart."), lambda i, c: i + 1, lambda v: str(v)),
    Column(mark("From"), mark("Time at the foot."), lambda i, c: c.start_s, clock),
    Column(mark("Lasts"), mark("Time from foot to top."), lambda i, c: c.end_s - c.start_s, minutes_seconds),
    Column(
        mark("Gain"),
        mark("Elevation gained from foot to top."),
        lambda i, c: c.gain_m,
        HEIGHT.figure,
        unit=HEIGHT,
    ),
    Column(
        mark("Length"),
        mark("Distance along the ground."),
        lambda i, c: c.length_m,
        GROUND.figure,
        unit=GROUND,
    ),
    Column(mark("Grade"), mark("Gain over length."), lambda i, c: c.grade_mean, _number(1, 100), unit="%"),
    Column(
        mark("Steepest"), mark("Steepest 100 m."), lambda i, c: c.grade_steepest, _number(0, 100), unit="%"
    ),
    Column(
        mark("Vertical"),
        mark("Gain over recorded time."),
        lambda i, c: c.vertical_speed_m_per_h,
        _per_hour,
        unit=VERTICAL_SPEED,
    ),
    Column(mark("HR\nfoot"), mark("Heart rate at the foot, bpm."), lambda i, c: c.hr_foot_bpm, _number()),
    Column(mark("HR\ntop"), mark("Heart rate at the top, bpm."), lambda i, c: c.hr_top_bpm, _number()),
    Column(
        mark("Share\nabove"), mark("Share of the climb over the band."), lambda i, c: c.share_above, percent
    ),
    Column(
        mark("Band left\nafter"),
        mark("Time from the foot until the heart rate left the band upward."),
        lambda i, c: c.time_to_exit_s,
        minutes_seconds,
    ),
    Column(
        mark("at grade"),
        mark("Grade where the band was left."),
        lambda i, c: c.exit_grade,
        _number(0, 100),
        unit="%",
    ),
    Column(
        mark("at speed"),
        mark("Speed where the band was left."),
        lambda i, c: c.exit_speed_mps,
        SPEED.figure,
        unit=SPEED,
    ),
    Column(
        mark("Back in band\nafter"),
        mark("From the top until the heart rate is back in band."),
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
    Column(mark("No."), mark("In order of time."), lambda i, e: i + 1, lambda v: str(v)),
    Column(mark("From"), mark("Time the band was left."), lambda i, e: e.start_s, clock),
    Column(mark("Lasts"), mark("Time out of band."), lambda i, e: e.end_s - e.start_s, minutes_seconds),
    Column(
        mark("Side"), mark("Above or below the band."), lambda i, e: tr(e.episode.direction), str, left=True
    ),
    Column(
        mark("Cause"),
        mark("What caused most of it."),
        lambda i, e: tr("not known") if e.cause is None else tr(e.cause),
        str,
        left=True,
    ),
    Column(
        mark("Farthest"),
        mark("Highest heart rate above, lowest below."),
        lambda i, e: e.episode.peak_bpm,
        _number(),
        unit="bpm",
    ),
    Column(
        mark("Beyond"),
        mark("Beats beyond the edge, summed over minutes."),
        lambda i, e: e.episode.bpm_minutes,
        _number(),
        unit="bpm·min",
    ),
    Column(
        mark("Grade"),
        mark("Mean grade in the minute before."),
        lambda i, e: e.episode.grade,
        _number(0, 100),
        unit="%",
    ),
    Column(
        mark("Speed"),
        mark("Mean speed just before."),
        lambda i, e: e.episode.speed_mps,
        SPEED.figure,
        unit=SPEED,
    ),
    Column(
        mark("Vertical"),
        mark("Mean vertical speed just before."),
        lambda i, e: e.episode.vertical_speed_m_per_h,
        _per_hour,
        unit=VERTICAL_SPEED,
    ),
    Column(
        mark("Work"),
        mark("Mean work rate just before."),
        lambda i, e: e.episode.work_w_per_kg,
        _number(1),
        unit="W/kg",
    ),
    Column(
        mark("On\nclimb"),
        mark("Number of the climb it belongs to."),
        lambda i, e: None if e.episode.climb is None else e.episode.climb + 1,
        _number(),
    ),
    Column(
        mark("Back in band\nafter"),
        mark("From the farthest point until back in band."),
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
        self._fresh = FreshWhenSeen(self, session.outing.reviewed, self._show, session.display.changed)
        session.selection.changed.connect(self._follow)
        self.selectionModel().selectionChanged.connect(self._picked)

    def _show(self) -> None:
        review = self._session.outing.review
        if review is None:
            return
        rows = self._rows_of(review)
        mine = self._session.selection.kind is self._kind
        same = [(r.start_s, r.end_s) for r in rows] == [(r.start_s, r.end_s) for r in self.rows.rows]
        self.set_rows(rows)
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
