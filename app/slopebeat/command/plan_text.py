"""A plan as a page of text for the terminal."""

from __future__ import annotations

from slopebeat.analysis.route_plan import LapPlan, Plan, PlannedClimb, Strategy
from slopebeat.model.units import clock, duration, kmh, number, percent
from slopebeat.review.answer import CAUTIONS
from slopebeat.review.planning_words import span, what_to_expect, what_to_hold


def as_text(plan: Plan) -> str:
    """The plan as a page of text."""
    how = "on a bike" if plan.on_bike else "on foot"
    head = (
        f"{plan.title or 'Route'}  |  {how}  |  {plan.ground.length_m / 1000:.1f} km  |  "
        f"{number(plan.ascent_m)} m up, {number(plan.descent_m)} m down"
    )
    lines = [head, "", what_to_expect(plan), "", *_strategies(plan), "", *_climbs(plan.climbs)]
    if plan.laps:
        lines += ["", *(_laps(each) for each in plan.laps)]
    if plan.references:
        lines += ["", "Published walking times for this way, without stops"]
        lines += [f"  {each.name:<12}{clock(each.seconds):>9}   {each.source}" for each in plan.references]
    if plan.warnings:
        lines += ["", "What to know about this plan", *(f"  {text}" for text in plan.warnings)]
    return "\n".join([*lines, "", CAUTIONS[0], CAUTIONS[2]])


def _strategies(plan: Plan) -> list[str]:
    rows: list[tuple[str, str]] = [("time", "total_s"), ("in band", "in_band_s"), ("above", "above_s")]
    rows += [("below", "below_s"), ("more to the target", "extra_s")]
    lines = [f"{'':<20}" + "".join(f"{each.name!s:<38}" for each in plan.strategies)]
    for label, name in rows:
        lines.append(f"{label:<20}" + "".join(f"{_cell(each, name):<38}" for each in plan.strategies))
    return [line.rstrip() for line in lines]


def _cell(strategy: Strategy, name: str) -> str:
    return span(getattr(strategy, name))


def _climbs(climbs: tuple[PlannedClimb, ...]) -> list[str]:
    if not climbs:
        return ["No climb of 30 m or more at 3 % or more."]
    lines = []
    for index, climb in enumerate(climbs, start=1):
        usual, held = climb.usual, climb.held
        speed, top = number(kmh(usual.speed_mps.middle), 1), number(usual.hr_top_bpm.middle)
        lines.append(f"Climb {index} at {climb.start_m / 1000:.1f} km, {what_to_hold(climb)}")
        lines.append(
            f"  as usual {speed} km/h: {top} bpm at the top, {duration(usual.above_s.middle)} above; leaves "
            f"the band in {percent(usual.exit_probability)} of outings"
        )
        lines.append(
            f"  holding: {duration(held.above_s.middle)} above, costs {span(climb.hold_cost_s)}"
            + ("" if climb.seen else "; a grade not seen in earlier outings")
        )
    return lines


def _laps(laps: LapPlan) -> str:
    where = f"{laps.start_m / 1000:.1f}-{laps.end_m / 1000:.1f} km"
    if laps.laps is None:
        return f"Loop {where}, {laps.strategy}: no sensible number of laps reaches the target."
    if laps.laps == 0:
        return f"Loop {where}, {laps.strategy}: no extra lap is needed."
    word = "lap" if laps.laps == 1 else "laps"
    return f"Loop {where}, {laps.strategy}: {laps.laps} more {word}, {span(laps.total_s)} in all."
