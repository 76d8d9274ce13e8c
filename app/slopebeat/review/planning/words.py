"""A plan in plain sentences: what to expect, what to hold, and what the plan does not know."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from slopebeat.analysis.route.past import grade_bin
from slopebeat.analysis.route.plan import INTERVAL_LEVEL, PlannedClimb, Range, Reference, RoutePlan, Strategy
from slopebeat.analysis.route.simulation import HEAT_FROM_C, HEAT_PER_C, HEAT_TO_C
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import (
    GROUND,
    HEIGHT,
    SPEED,
    TEMPERATURE,
    VERTICAL_SPEED,
    figure,
    shortest_number,
)
from slopebeat.model.units import SECONDS_PER_HOUR, clock, duration, percent
from slopebeat.review.answer import LONGEST_SENSIBLE_S
from slopebeat.review.words.names import degrees, key_name, listed, on_way

MANY_OUTINGS = 10
"""With fewer, intervals were measured to hold less often than they say."""

WIDE_TIME, WIDE_MINUTES = 1.6, 4.0
"""Ends of an interval further apart than this factor are called wide in words [project choice]."""

FAR_BPM = 12.0
"""A heart rate to hold further off the usual mean is said to be new ground [project choice]."""

LEAST_PAUSE_S = 120.0
"""Shorter pauses go unmentioned [project choice]."""

UNSEEN_TOLD = 0.03
"""A smaller share of the way on grades never seen goes unmentioned [project choice]."""

LONGER_TOLD = 1.15
"""A plan longer than the longest outing by this factor says so [project choice]."""


def span(value: Range) -> str:
    """A duration with its interval: ``2 h 40 min (2 h 25 min to 3 h)``."""
    over = tr("over {time}").format(time=duration(LONGEST_SENSIBLE_S))
    if value.middle > LONGEST_SENSIBLE_S:
        return over
    high = over if value.high > LONGEST_SENSIBLE_S else duration(value.high)
    return tr("{middle} ({low} to {high})").format(
        middle=duration(value.middle), low=duration(value.low), high=high
    )


def gone(strategy: Strategy) -> str:
    """How a strategy goes, at the head of its column."""
    if strategy.hold_bpm is None:
        return key_name(strategy.name)
    return tr("held at {bpm} bpm").format(bpm=figure(strategy.hold_bpm))


def what_to_expect(plan: RoutePlan) -> str:
    """Both strategies in a few sentences."""
    usual, hold = plan.usual, plan.hold
    as_usual = tr("Going as usual it takes {total}, of which {in_band} are in band {band}.").format(
        total=span(usual.total_s), in_band=span(usual.in_band_s), band=plan.band
    )
    holding = tr("With the mean held at {bpm} bpm it takes {total} and gives {in_band} in band.").format(
        bpm=figure(hold.hold_bpm), total=span(hold.total_s), in_band=span(hold.in_band_s)
    )
    level = tr("Brackets should hold {share} of outings.").format(share=percent(INTERVAL_LEVEL))
    parts = [as_usual, _extra(plan, usual), holding, _extra(plan, hold), level]
    return " ".join([*parts, *([wide] if (wide := _wide(plan)) else [])])


def _wide(plan: RoutePlan) -> str:
    """That an interval is too wide to plan by, and what would make it narrower."""
    usual = plan.usual
    if usual.total_s.high > WIDE_TIME * usual.total_s.low:
        return tr("How hard you go differs so much that the time as usual says little: hold a heart rate.")
    if usual.in_band_s.high > WIDE_MINUTES * max(usual.in_band_s.low, 1.0):
        return tr("Minutes in band as usual may be nearly anything: they follow how hard you go.")
    return ""


def few_outings(count: int, needed: int, times: Sequence[Reference]) -> str:
    """Why there is no plan, with the published walking times where they apply."""
    text = trn(
        "A plan needs {needed} outings of the sport with heart rate, distance and elevation; there is {n}.",
        "A plan needs {needed} outings of the sport with heart rate, distance and elevation; there are {n}.",
        count,
    ).format(needed=needed, n=count)
    if not times:
        return text
    most_time = listed([f"{each.name} {duration(each.seconds)}" for each in times])
    return f"{text} " + tr("Published walking times for this way, without stops: {times}.").format(
        times=most_time
    )


def _extra(plan: RoutePlan, strategy: Strategy) -> str:
    target = duration(plan.target_s)
    if strategy.extra_s.middle <= 0.0:
        reached = tr("That reaches the target of {target} in {share} of outings.")
        return reached.format(target=target, share=percent(strategy.target_probability))
    if strategy.extra_s.middle > LONGEST_SENSIBLE_S:
        never = tr(
            "No sensible length of such an outing reaches the target of {target}: choose other ground."
        )
        return never.format(target=target)
    needs = tr("For {target} in band it needs {extra} more of such ground.")
    return needs.format(target=target, extra=span(strategy.extra_s))


def what_to_hold(climb: PlannedClimb) -> str:
    """The speed to hold on one climb, for a card or a waypoint."""
    ground = {
        "gain": HEIGHT.text(climb.gain_m),
        "length": on_way(climb.length_m),
        "grade": percent(climb.grade_mean),
    }
    if climb.too_steep:
        return tr(
            "{gain} over {length}, {grade}: no speed stays in band here, expect to go over it or rest"
        ).format(**ground)
    if climb.holdable is None:
        return tr("{gain} over {length}, {grade}: what speed stays in band is not known yet").format(**ground)
    if climb.hold_speed_mps is None or climb.hold_vertical_m_per_h is None:
        return tr("{gain} over {length}, {grade}: any speed stays in band").format(**ground)
    speed, rise = climb.hold_speed_mps, climb.hold_vertical_m_per_h
    words = (
        tr("{gain} over {length}, {grade}: hold under {speed}, {rise} up ({low} to {high} with the day)")
        if math.isfinite(speed.high)
        else tr("{gain} over {length}, {grade}: hold under {speed}, {rise} up ({low} or more with the day)")
    )
    return words.format(
        speed=SPEED.text(speed.middle),
        rise=VERTICAL_SPEED.text(rise.middle / SECONDS_PER_HOUR),
        low=SPEED.figure(speed.low),
        high=SPEED.text(speed.high),
        **ground,
    )


def plan_warnings(plan: RoutePlan) -> tuple[str, ...]:
    """What the plan does not know, or takes for granted."""
    notes = [*_about_outings(plan), *_about_ground(plan), *_about_day(plan)]
    hard = [str(i) for i, climb in enumerate(plan.climbs, start=1) if climb.too_steep]
    if hard:
        notes.append(
            tr(
                "On climb {numbers} no speed is slow enough to stay in band on an average day; choose "
                "gentler ground or expect to go over the band there."
            ).format(numbers=", ".join(hard))
        )
    return tuple(notes)


def _about_outings(plan: RoutePlan) -> list[str]:
    notes = []
    if plan.outing_count < MANY_OUTINGS:
        few = tr(
            "Learnt from {n} outings: under {many} the interval of the minutes in band held 7 of 10 rather "
            "than 8."
        )
        notes.append(few.format(n=plan.outing_count, many=MANY_OUTINGS))
    if plan.heart_count == 0:
        notes.append(
            tr(
                "Too little is known of how the heart answers to work: where along the way it is high or low "
                "is what is known of anybody."
            )
        )
    off = plan.hold.hold_bpm - plan.usual_bpm if plan.hold.hold_bpm is not None else 0.0
    if abs(off) > FAR_BPM:
        far = tr(
            "{bpm} bpm is {off} bpm off the usual mean of {usual} bpm; nothing like it was gone, so time "
            "there is less certain."
        )
        held = figure(plan.hold.hold_bpm)
        notes.append(far.format(bpm=held, off=figure(abs(off)), usual=figure(plan.usual_bpm)))
    pause = plan.usual.pause_s
    if pause.middle >= LEAST_PAUSE_S:
        text = tr("Pauses with the timer off come on top: {pause} in outings like this.")
        notes.append(text.format(pause=span(pause)))
    return notes


def _about_ground(plan: RoutePlan) -> list[str]:
    notes = []
    if plan.unseen_share > UNSEEN_TOLD and plan.outing_count:
        bins = np.unique(grade_bin(plan.ground.grade))
        unseen = [
            row.grade for row in plan.grades if not row.seen and grade_bin(np.array([row.grade]))[0] in bins
        ]
        notes.append(
            tr(
                "{share} of the way lies on grades hardly seen in those outings ({grades}); speed there "
                "follows the shape of published curves and is less certain."
            ).format(share=percent(plan.unseen_share), grades=", ".join(percent(grade) for grade in unseen))
        )
    longest = plan.longest_s
    if plan.usual.total_s.middle > LONGER_TOLD * longest:
        beyond = tr(
            "The longest outing learnt from lasted {time}; what comes beyond it, tiredness first of all, is "
            "carried on as it was."
        )
        notes.append(beyond.format(time=duration(longest)))
    if plan.on_bike:
        notes.append(tr("Published walking times do not apply to a ride and are left out."))
    return notes


def _about_day(plan: RoutePlan) -> list[str]:
    day, notes = plan.conditions, []
    if day.temperature_c is not None and day.temperature_c > HEAT_FROM_C:
        notes += _about_heat(day.temperature_c, day.heat_factor)
    if day.load_kg > 0.0:
        notes.append(tr("A load is counted like body mass, which understates what a pack costs."))
    if day.hours_out > 0.0:
        before = tr(
            "The heart is taken to have drifted for {hours} h before the start; slowing down by tiredness "
            "is not in the plan."
        )
        notes.append(before.format(hours=shortest_number(day.hours_out)))
    return notes


def _about_heat(temperature_c: float, factor: float) -> list[str]:
    per_degree = HEAT_PER_C / (TEMPERATURE.shown(1.0) - TEMPERATURE.shown(0.0))
    notes = [
        tr(
            "Heart rate is raised by {share} for {temperature} ({rate} % per degree over {from_there}, "
            "measured on four men): rough."
        ).format(
            share=percent(factor - 1.0),
            temperature=degrees(temperature_c),
            rate=figure(100.0 * per_degree, 1),
            from_there=degrees(HEAT_FROM_C),
        )
    ]
    if temperature_c > HEAT_TO_C:
        notes.append(
            tr(
                "Over {temperature} nothing was measured; no more is added. Heat is a danger of its own: "
                "follow local warnings."
            ).format(temperature=degrees(HEAT_TO_C))
        )
    return notes


REFERENCE_SOURCES = {
    "DIN 33466": mark(
        "DIN 33466 as quoted by the German and Austrian alpine clubs' trail "
        "concept (2009): 4 km/h, 300 m/h up, 500 m/h down, the larger time and "
        "half of the smaller"
    ),
    "Naismith": mark("Naismith 1892 in metric: an hour for 5 km and an hour for 600 m up"),
    "Tobler": mark("Tobler 1993: 6 exp(-3.5 |grade + 0.05|) km/h"),
}
"""Where each reference time comes from, by its name."""


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
        text = tr("Climb {number} at {place}, reached after {time}: {hold}")
        lines.append(
            text.format(
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
