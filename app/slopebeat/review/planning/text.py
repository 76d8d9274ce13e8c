"""A plan as text to paste into a message, and the cautions that go with every plan."""

from __future__ import annotations

from slopebeat.analysis.route.plan import RoutePlan
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND, HEIGHT
from slopebeat.model.units import clock
from slopebeat.review.planning.words import what_to_expect, what_to_hold

PLAN_CAUTIONS = (
    mark("A plan is an estimate from earlier outings, no promise: most days differ from the usual one."),
    mark("Weather, snow, daylight and the advice of local people and rangers come before this plan."),
    mark("Set a time to turn back and keep it. Fatigue, doubt or a slower companion is reason enough."),
    mark("Not medical advice. Chest pain, fainting or unusual breathlessness: stop and seek care."),
)
"""Shown on the page, on the card and in the text."""


def plan_text(plan: RoutePlan) -> str:
    """The plan in a few lines: what to expect, what to hold on each climb, cautions."""
    lines = [heading(plan), "", what_to_expect(plan)]
    for number, climb in enumerate(plan.climbs, start=1):
        told = tr("Climb {number} at {place}, reached after {time}: {hold}")
        lines.append(
            told.format(
                number=number,
                place=GROUND.text(climb.start_m, 1),
                time=clock(climb.held.reach_s.middle),
                hold=what_to_hold(climb),
            )
        )
    lines += ["", *plan.warnings] if plan.warnings else []
    return "\n".join([*lines, "", *(tr(each) for each in PLAN_CAUTIONS)])


def heading(plan: RoutePlan) -> str:
    """Name, kind, length and heights in a line."""
    parts = [plan.title or tr("Route"), tr("on a bike") if plan.on_bike else tr("on foot")]
    parts.append(GROUND.text(plan.ground.length_m, 1))
    if plan.ascent_m is not None:
        heights = tr("{up} up, {down} down")
        parts.append(heights.format(up=HEIGHT.text(plan.ascent_m), down=HEIGHT.text(plan.descent_m)))
    return "  ·  ".join(parts)


def hours_minutes(seconds: float) -> str:
    """``h:min``, as a watch shows it."""
    minutes = round(seconds / 60.0)
    return f"{minutes // 60}:{minutes % 60:02d}"
