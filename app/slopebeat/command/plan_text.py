"""A plan as a page of text for the terminal."""

from __future__ import annotations

from slopebeat.analysis.route.plan import LapPlan, PlannedClimb, RoutePlan
from slopebeat.command.common import table
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import GROUND, SPEED, figure
from slopebeat.model.units import clock, duration, percent
from slopebeat.review.cautions import cautions
from slopebeat.review.planning.words import (
    REFERENCE_SOURCES,
    gone,
    heading,
    span,
    what_to_expect,
    what_to_hold,
)
from slopebeat.review.words.names import key_name, no_climb


def as_text(plan: RoutePlan) -> str:
    """The plan as a page of text."""
    lines = [heading(plan), "", what_to_expect(plan), "", *_strategies(plan), "", *_climbs(plan.climbs)]
    if plan.laps:
        lines += ["", *(_laps(each) for each in plan.laps)]
    if plan.rule_of_thumb_s is not None:
        thumb = tr("Distance + 7 x ascent at your usual speed: {time}")
        lines += ["", thumb.format(time=duration(plan.rule_of_thumb_s))]
    if plan.references:
        times = [
            (each.name, clock(each.seconds), tr(REFERENCE_SOURCES[each.name])) for each in plan.references
        ]
        lines += ["", tr("Published walking times for this way, without stops")]
        lines += table(times, left=(0, 2), indent="  ")
    if plan.warnings:
        lines += ["", tr("What to know about this plan"), *(f"  {text}" for text in plan.warnings)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _strategies(plan: RoutePlan) -> list[str]:
    rows = (
        ("", *(gone(each) for each in plan.strategies)),
        (tr("time"), *(span(each.total_s) for each in plan.strategies)),
        (tr("pauses on top"), *(span(each.pause_s) for each in plan.strategies)),
        (tr("in band"), *(span(each.in_band_s) for each in plan.strategies)),
        (tr("above"), *(span(each.above_s) for each in plan.strategies)),
        (tr("below"), *(span(each.below_s) for each in plan.strategies)),
        (tr("more to the target"), *(span(each.extra_s) for each in plan.strategies)),
    )
    return table(rows, left=range(len(rows[0])))


def _climbs(climbs: tuple[PlannedClimb, ...]) -> list[str]:
    if not climbs:
        return [no_climb()]
    return [line for number, climb in enumerate(climbs, start=1) for line in _climb(number, climb)]


def _climb(number: int, climb: PlannedClimb) -> tuple[str, ...]:
    usual, held = climb.usual, climb.held
    head = tr("Climb {number} at {place}, {hold}").format(
        number=number, place=GROUND.text(climb.start_m, 1), hold=what_to_hold(climb)
    )
    as_usual = tr(
        "as usual {speed}: {top} bpm at the top, {above} above; leaves the band in {share} of outings"
    ).format(
        speed=SPEED.text(usual.speed_mps.middle),
        top=figure(usual.hr_top_bpm.middle),
        above=duration(usual.above_s.middle),
        share=percent(usual.exit_probability),
    )
    holding = (
        tr("held: peak {peak} bpm, {above} above; leaves the band in {share} of outings, costs {cost}")
        if climb.seen
        else tr(
            "held: peak {peak} bpm, {above} above; leaves the band in {share} of outings, costs {cost}; a "
            "grade not seen in earlier outings"
        )
    ).format(
        peak=figure(held.hr_peak_bpm.middle),
        above=duration(held.above_s.middle),
        share=percent(held.exit_probability),
        cost=span(climb.hold_cost_s),
    )
    return head, f"  {as_usual}", f"  {holding}"


def _laps(laps: LapPlan) -> str:
    names = {
        "start": GROUND.figure(laps.start_m, 1),
        "end": GROUND.text(laps.end_m, 1),
        "strategy": key_name(laps.strategy),
    }
    if laps.laps is None:
        return tr("Loop {start}-{end}, {strategy}: no sensible number of laps reaches the target.").format(
            **names
        )
    if laps.laps == 0:
        return tr("Loop {start}-{end}, {strategy}: no extra lap is needed.").format(**names)
    return trn(
        "Loop {start}-{end}, {strategy}: {n} more lap, {total} in all.",
        "Loop {start}-{end}, {strategy}: {n} more laps, {total} in all.",
        laps.laps,
    ).format(n=laps.laps, total=span(laps.total_s), **names)
