"""The climbs of a planned way: what to hold on each, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.route.plan import ClimbCourse, PlannedClimb, Range, RoutePlan
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED, figure
from slopebeat.model.units import percent
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import Explanation, Figure, Topic


@dataclass(frozen=True)
class ClimbRow:
    """One climb with its number, and its course at the pace that is shown."""

    number: int
    climb: PlannedClimb
    course: ClimbCourse

    @property
    def hold_mps(self) -> Range | None:
        return None if self.climb.too_steep else self.climb.hold_speed_mps


def climb_rows(plan: RoutePlan, held: bool) -> list[ClimbRow]:
    """The climbs in order, at one of the two paces."""
    return [
        ClimbRow(number, climb, climb.held if held else climb.usual)
        for number, climb in enumerate(plan.climbs, start=1)
    ]


def _hold(row: ClimbRow) -> str:
    if row.climb.too_steep:
        return tr("none stays in band")
    if row.climb.holdable is None:
        return tr("not known")
    if row.hold_mps is None:
        return tr("any")
    return SPEED.figure(row.hold_mps.middle)


def _hold_between(row: ClimbRow) -> str:
    return "" if row.hold_mps is None else kinds.between(SPEED, row.hold_mps.low, row.hold_mps.high)


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


WAY_FIGURES: tuple[Figure, ...] = (
    Figure(
        "way.number",
        mark("No."),
        mark("Number on the profile."),
        field="number",
    ),
    Figure(
        "way.from",
        mark("From"),
        mark("Where its foot lies along the way."),
        kind=kinds.WAYS,
        get=lambda i, r: r.climb.start_m,
    ),
    Figure(
        "way.at",
        mark("At"),
        mark("When its foot is reached, stops included."),
        kind=kinds.AT,
        get=lambda i, r: r.course.reach_s.middle,
    ),
    Figure(
        "way.grade",
        mark("Grade"),
        mark("Gain over length; new where such a grade was not gone before, so that less is known of it."),
        kind=kinds.Kind(str),
        get=lambda i, r: _grade(r),
    ),
    Figure(
        "way.gain",
        mark("Gain"),
        mark("Elevation from foot to top."),
        kind=kinds.HEIGHTS,
        get=lambda i, r: r.climb.gain_m,
    ),
    Figure(
        "way.hold",
        mark("Hold under"),
        mark("Speed at which the heart settles under the band's upper edge, with a margin."),
        mark(
            "The speed on the mean grade of the climb whose steady heart rate is the upper edge less a "
            "margin, at the time its foot is reached, with the drift until then."
        ),
        mark("A definition of this program."),
        mark(
            "“none stays in band”: no speed does in most outings drawn. Never hold a speed "
            "against how you feel."
        ),
        kind=kinds.Kind(str, SPEED),
        get=lambda i, r: _hold(r),
    ),
    Figure(
        "way.hold_between",
        mark("with the day"),
        mark("Four days of five lie inside."),
        kind=kinds.Kind(str, SPEED),
        get=lambda i, r: _hold_between(r),
    ),
    Figure(
        "way.vertical",
        mark("Vertical"),
        mark("The same speed as height an hour."),
        kind=kinds.Kind(str, VERTICAL_SPEED),
        get=lambda i, r: _vertical(r),
    ),
    Figure(
        "way.cost",
        mark("Holding costs"),
        mark("More time than going as usual on this climb."),
        kind=kinds.Kind(str, "min"),
        get=lambda i, r: _with_interval(r.climb.hold_cost_s, 60.0),
    ),
    Figure(
        "way.hr_top",
        mark("HR at the top"),
        mark("Expected at the pace shown; four outings of five lie inside."),
        kind=kinds.Kind(str, "bpm"),
        get=lambda i, r: _with_interval(r.course.hr_top_bpm),
    ),
    Figure(
        "way.leaves",
        mark("Leaves\nthe band"),
        mark("Share of the outings drawn that go over the band on this climb."),
        mark("An outing leaves the band with an episode of at least 10 s over it."),
        "",
        "",
        kind=kinds.SHARE,
        get=lambda i, r: r.course.exit_probability,
    ),
)

WAY = Topic(
    "way",
    mark("The table of a planned way"),
    (
        *WAY_FIGURES,
        Explanation(
            "pace.total",
            mark("Time in all"),
            mark("Moving and standing with the timer running, median and four of five outings."),
        ),
        Explanation(
            "pace.pause",
            mark("Pauses on top"),
            mark("Time with the timer off, as long as in earlier outings; not in the time in all."),
        ),
        Explanation(
            "pace.mean",
            mark("Mean heart rate"),
            mark("Of the whole way; the one that is held lands a few beats off."),
        ),
        Explanation(
            "pace.in_band",
            mark("In band"),
            mark("Time in band of the whole way, median and four of five outings."),
        ),
        Explanation("pace.above", mark("Above it"), mark("Time over the upper edge of the band.")),
        Explanation("pace.below", mark("Below it"), mark("Time under the lower edge of the band.")),
        Explanation(
            "pace.episodes_above", mark("Episodes above"), mark("Stretches of at least 10 s over the band.")
        ),
        Explanation(
            "pace.episodes_below", mark("Episodes below"), mark("Stretches of at least 10 s under the band.")
        ),
        Explanation(
            "pace.target",
            mark("Reach target"),
            mark("Share of the outings drawn that collect the minutes aimed at."),
        ),
        Explanation(
            "pace.more",
            mark("More needed"),
            mark("Time more on such ground until the minutes aimed at are collected."),
        ),
    ),
)
