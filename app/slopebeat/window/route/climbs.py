"""The climbs of a planned way: what to hold on each, and what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slopebeat.analysis.route.plan import ClimbCourse, Plan, PlannedClimb, Range
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED, Measure, figure
from slopebeat.model.units import clock, percent
from slopebeat.review.help.explanations import hint
from slopebeat.window.widgets.table import Column


@dataclass(frozen=True)
class ClimbRow:
    """One climb with its number, and its course at the pace that is shown."""

    number: int
    climb: PlannedClimb
    course: ClimbCourse

    @property
    def hold_mps(self) -> Range | None:
        return None if self.climb.too_steep else self.climb.hold_speed_mps


def climb_rows(plan: Plan, held: bool) -> list[ClimbRow]:
    """The climbs in order, at one of the two paces."""
    return [
        ClimbRow(number, climb, climb.held if held else climb.usual)
        for number, climb in enumerate(plan.climbs, start=1)
    ]


def between(measure: Measure, low: float, high: float) -> str:
    """Both ends of an interval; an open end is left open."""
    if high == float("inf"):
        return tr("from {low}").format(low=measure.figure(low))
    return tr("{low} to {high}").format(low=measure.figure(low), high=measure.figure(high))


def _hold(row: ClimbRow) -> str:
    if row.climb.too_steep:
        return tr("none stays in band")
    if row.climb.holdable is None:
        return tr("not known")
    if row.hold_mps is None:
        return tr("any")
    return SPEED.figure(row.hold_mps.middle)


def _hold_between(row: ClimbRow) -> str:
    return "" if row.hold_mps is None else between(SPEED, row.hold_mps.low, row.hold_mps.high)


def _vertical(row: ClimbRow) -> str:
    rise = row.climb.hold_vertical_m_per_h
    if rise is None or row.hold_mps is None:
        return ""
    return VERTICAL_SPEED.figure(rise.middle / 3600.0)


def _with_interval(value: Range, unit: float = 1.0) -> str:
    """The middle and both ends, in units of ``unit``."""
    return tr("{middle} ({low} to {high})").format(
        middle=figure(value.middle / unit), low=figure(value.low / unit), high=figure(value.high / unit)
    )


def _grade(row: ClimbRow) -> str:
    grade = percent(row.climb.grade_mean)
    return grade if row.climb.seen else tr("{grade}, new").format(grade=grade)


CLIMBS: Sequence[Column] = (
    Column(mark("No."), hint("way.number"), lambda i, r: r.number, lambda v: str(v)),
    Column(
        mark("From"),
        hint("way.from"),
        lambda i, r: r.climb.start_m,
        GROUND.figure,
        unit=GROUND,
    ),
    Column(
        mark("At"),
        hint("way.at"),
        lambda i, r: r.course.reach_s.middle,
        clock,
    ),
    Column(
        mark("Grade"),
        hint("way.grade"),
        lambda i, r: _grade(r),
        str,
    ),
    Column(
        mark("Gain"),
        hint("way.gain"),
        lambda i, r: r.climb.gain_m,
        HEIGHT.figure,
        unit=HEIGHT,
    ),
    Column(
        mark("Hold under"),
        hint("way.hold"),
        lambda i, r: _hold(r),
        str,
        unit=SPEED,
    ),
    Column(
        mark("with the day"),
        hint("way.hold_between"),
        lambda i, r: _hold_between(r),
        str,
        unit=SPEED,
    ),
    Column(
        mark("Vertical"),
        hint("way.vertical"),
        lambda i, r: _vertical(r),
        str,
        unit=VERTICAL_SPEED,
    ),
    Column(
        mark("Holding costs"),
        hint("way.cost"),
        lambda i, r: _with_interval(r.climb.hold_cost_s, 60.0),
        str,
        unit="min",
    ),
    Column(
        mark("HR at the top"),
        hint("way.hr_top"),
        lambda i, r: _with_interval(r.course.hr_top_bpm),
        str,
        unit="bpm",
    ),
    Column(
        mark("Leaves\nthe band"),
        hint("way.leaves"),
        lambda i, r: r.course.exit_probability,
        percent,
    ),
)
