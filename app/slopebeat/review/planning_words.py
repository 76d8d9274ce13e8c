"""A plan in plain sentences: what to expect, what to hold, and what the plan does not know."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.route_evidence import grade_bin
from slopebeat.analysis.route_plan import INTERVAL_LEVEL, Plan, PlannedClimb, Range, Strategy
from slopebeat.analysis.route_simulation import HEAT_FROM_C, HEAT_PER_C, HEAT_TO_C
from slopebeat.model.units import duration, kmh, number, percent
from slopebeat.review.answer import LONGEST_SENSIBLE_S

FEW_OUTINGS = 3
"""With fewer, the spread between outings is more assumed than seen [project choice]."""

UNSEEN_TOLD = 0.03
"""A smaller share of the way on grades never seen goes unmentioned [project choice]."""

LONGER_TOLD = 1.15
"""A plan longer than the longest outing by this factor says so [project choice]."""


def span(value: Range) -> str:
    """A duration with its interval: ``2 h 40 min (2 h 25 min to 3 h)``."""
    if value.middle > LONGEST_SENSIBLE_S:
        return f"over {duration(LONGEST_SENSIBLE_S)}"
    high = f"over {duration(LONGEST_SENSIBLE_S)}" if value.high > LONGEST_SENSIBLE_S else duration(value.high)
    return f"{duration(value.middle)} ({duration(value.low)} to {high})"


def what_to_expect(plan: Plan) -> str:
    """Both strategies in two to four sentences."""
    usual, hold = plan.usual, plan.hold
    return " ".join(
        (
            f"Gone as usual it takes {span(usual.total_s)}, of which {span(usual.in_band_s)} are in band "
            f"{plan.band}.{_extra(plan, usual)}",
            f"Holding the band it takes {span(hold.total_s)} and gives {span(hold.in_band_s)} in band."
            f"{_extra(plan, hold)}",
            f"Intervals hold {percent(INTERVAL_LEVEL)} of the simulated outings.",
        )
    )


def _extra(plan: Plan, strategy: Strategy) -> str:
    target = duration(plan.target_s)
    if strategy.extra_s.middle <= 0.0:
        return f" That reaches the target of {target} in {percent(strategy.target_probability)} of outings."
    if strategy.extra_s.middle > LONGEST_SENSIBLE_S:
        return f" No sensible length of such an outing reaches the target of {target}: choose other ground."
    return f" For {target} in band it needs {span(strategy.extra_s)} more of such ground."


def what_to_hold(climb: PlannedClimb) -> str:
    """The speed to hold on one climb, for a card or a waypoint."""
    ground = f"{climb.gain_m:.0f} m over {climb.length_m:.0f} m, {percent(climb.grade_mean)}"
    if climb.holdable < 0.5:
        return f"{ground}: no speed stays in band here, expect to go over it or rest"
    if climb.hold_speed_mps is None or climb.hold_vertical_m_per_h is None:
        return f"{ground}: any speed stays in band"
    speed, rise = climb.hold_speed_mps, climb.hold_vertical_m_per_h
    return (
        f"{ground}: hold under {number(kmh(speed.middle), 1)} km/h, {rise.middle:.0f} m/h up "
        f"({number(kmh(speed.low), 1)} to {number(kmh(speed.high), 1)} km/h with the day)"
    )


def plan_warnings(plan: Plan, other_kind: int = 0) -> tuple[str, ...]:
    """What the plan does not know, or takes for granted. ``other_kind`` outings were left out."""
    notes = [*_about_outings(plan, other_kind), *_about_ground(plan), *_about_day(plan)]
    hard = [str(i) for i, climb in enumerate(plan.climbs, start=1) if climb.holdable < 0.5]
    if hard:
        notes.append(
            f"On climb {', '.join(hard)} no speed is slow enough to stay in band on an average day; "
            "choose gentler ground or expect to go over the band there."
        )
    return tuple(notes)


def _about_outings(plan: Plan, other_kind: int) -> list[str]:
    how = "on a bike" if plan.on_bike else "on foot"
    notes = []
    if plan.outing_count == 0:
        notes.append(
            f"There is no outing {how} to learn from, so speed and heart rate are those of an average "
            "athlete, stated defaults of this program, with wide intervals. Review some outings first."
        )
    elif plan.outing_count < FEW_OUTINGS or plan.response.outing_count < FEW_OUTINGS:
        notes.append(
            f"Learnt from {_count(plan.outing_count, 'outing')} {how}, {plan.response.outing_count} with a "
            "usable heart rate: how far days differ is then assumed rather than seen."
        )
    if other_kind:
        notes.append(f"{_count(other_kind, 'outing')} of another kind left out: this plan is {how}.")
    if plan.outing_count:
        notes.append("Stops with the timer running are foreseen as in those outings; pauses are not.")
    return notes


def _about_ground(plan: Plan) -> list[str]:
    notes = []
    if plan.unseen_share > UNSEEN_TOLD and plan.outing_count:
        bins = np.unique(grade_bin(plan.ground.grade))
        unseen = [
            row.grade for row in plan.grades if not row.seen and grade_bin(np.array([row.grade]))[0] in bins
        ]
        listed = ", ".join(percent(grade) for grade in unseen)
        notes.append(
            f"{percent(plan.unseen_share)} of the way lies on grades hardly seen in those outings "
            f"({listed}); speed there follows the shape of published curves and is less certain."
        )
    longest = plan.response.longest_s
    if plan.response.outing_count and plan.usual.total_s.middle > LONGER_TOLD * longest:
        notes.append(
            f"The longest outing learnt from lasted {duration(longest)}; beyond that the drift of the heart "
            "rate is carried on as it was, and tiring is not in the plan."
        )
    if plan.on_bike:
        notes.append("Published walking times do not apply to a ride and are left out.")
    return notes


def _about_day(plan: Plan) -> list[str]:
    day, notes = plan.conditions, []
    if day.temperature_c is not None and day.temperature_c > HEAT_FROM_C:
        notes.append(
            f"Heart rate is raised by {percent(day.heat_factor - 1.0)} for {day.temperature_c:g} degrees C "
            f"({100 * HEAT_PER_C:.1f} % per degree over {HEAT_FROM_C:.0f}, measured on four men): rough."
        )
        if day.temperature_c > HEAT_TO_C:
            notes.append(
                f"Over {HEAT_TO_C:.0f} degrees C nothing was measured; no more is added. Heat is a danger of "
                "its own: follow local warnings."
            )
    if day.load_kg > 0.0:
        notes.append("A load is counted like body mass, which understates what a pack costs.")
    if day.hours_out > 0.0:
        notes.append(
            f"The heart is taken to have drifted for {day.hours_out:g} h before the start; slowing down by "
            "tiredness is not in the plan."
        )
    return notes


def _count(number_of: int, noun: str) -> str:
    return f"{number_of} {noun}{'' if number_of == 1 else 's'}"
