"""A plan in plain sentences: what to expect, what to hold, and what the plan does not know."""

from __future__ import annotations

import math

import numpy as np

from slopebeat.analysis.account.past import grade_bin
from slopebeat.analysis.route.plan import INTERVAL_LEVEL, Plan, PlannedClimb, Range, Strategy
from slopebeat.analysis.route.simulation import HEAT_FROM_C, HEAT_PER_C, HEAT_TO_C
from slopebeat.analysis.route.tiring import Tiring
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import HEIGHT, SPEED, TEMPERATURE, VERTICAL_SPEED, figure, plain
from slopebeat.model.units import SECONDS_PER_HOUR, duration, percent
from slopebeat.review.answer import LONGEST_SENSIBLE_S
from slopebeat.review.wording import degrees, on_way

FEW_OUTINGS = 3
"""With fewer, the spread between outings is more assumed than seen [project choice]."""

UNSEEN_TOLD = 0.03
"""A smaller share of the way on grades never seen goes unmentioned [project choice]."""

Z80 = 1.2816  # normal deviate of an 80 % interval

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


def what_to_expect(plan: Plan) -> str:
    """Both strategies in two to five sentences."""
    usual, hold = plan.usual, plan.hold
    as_usual = tr("Gone as usual it takes {total}, of which {in_band} are in band {band}.").format(
        total=span(usual.total_s), in_band=span(usual.in_band_s), band=plan.band
    )
    holding = tr("Holding the band it takes {total} and gives {in_band} in band.").format(
        total=span(hold.total_s), in_band=span(hold.in_band_s)
    )
    level = tr("Intervals hold {share} of the simulated outings.").format(share=percent(INTERVAL_LEVEL))
    return " ".join((as_usual, _extra(plan, usual), holding, _extra(plan, hold), level))


def _extra(plan: Plan, strategy: Strategy) -> str:
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
    if climb.holdable < 0.5:
        return tr(
            "{gain} over {length}, {grade}: no speed stays in band here, expect to go over it or rest"
        ).format(**ground)
    if climb.hold_speed_mps is None or climb.hold_vertical_m_per_h is None:
        return tr("{gain} over {length}, {grade}: any speed stays in band").format(**ground)
    speed, rise = climb.hold_speed_mps, climb.hold_vertical_m_per_h
    return tr(
        "{gain} over {length}, {grade}: hold under {speed}, {rise} up ({low} to {high} with the day)"
    ).format(
        speed=SPEED.text(speed.middle),
        rise=VERTICAL_SPEED.text(rise.middle / SECONDS_PER_HOUR),
        low=SPEED.figure(speed.low),
        high=SPEED.text(speed.high),
        **ground,
    )


def plan_warnings(plan: Plan, other_kind: int = 0) -> tuple[str, ...]:
    """What the plan does not know, or takes for granted. ``other_kind`` outings were left out."""
    notes = [*_about_outings(plan, other_kind), *_about_ground(plan), *_about_day(plan)]
    hard = [str(i) for i, climb in enumerate(plan.climbs, start=1) if climb.holdable < 0.5]
    if hard:
        notes.append(
            tr(
                "On climb {numbers} no speed is slow enough to stay in band on an average day; choose "
                "gentler ground or expect to go over the band there."
            ).format(numbers=", ".join(hard))
        )
    return tuple(notes)


_LEARNT_ON = {
    True: (
        mark(
            "There is no outing on a bike to learn from, so speed and heart rate are those of an average "
            "athlete, stated defaults of this program, with wide intervals. Review some outings first."
        ),
        mark(
            "Learnt from {outings} on a bike, {usable} with a usable heart rate: how far days differ is then "
            "assumed rather than seen."
        ),
    ),
    False: (
        mark(
            "There is no outing on foot to learn from, so speed and heart rate are those of an average "
            "athlete, stated defaults of this program, with wide intervals. Review some outings first."
        ),
        mark(
            "Learnt from {outings} on foot, {usable} with a usable heart rate: how far days differ is then "
            "assumed rather than seen."
        ),
    ),
}


def _about_outings(plan: Plan, other_kind: int) -> list[str]:
    none, few = _LEARNT_ON[plan.on_bike]
    notes = []
    if plan.outing_count == 0:
        notes.append(tr(none))
    elif plan.outing_count < FEW_OUTINGS or plan.response.outing_count < FEW_OUTINGS:
        outings = trn("{n} outing", "{n} outings", plan.outing_count).format(n=plan.outing_count)
        notes.append(tr(few).format(outings=outings, usable=plan.response.outing_count))
    if other_kind:
        left_out = (
            trn(
                "{n} outing of another kind left out: this plan is on a bike.",
                "{n} outings of another kind left out: this plan is on a bike.",
                other_kind,
            )
            if plan.on_bike
            else trn(
                "{n} outing of another kind left out: this plan is on foot.",
                "{n} outings of another kind left out: this plan is on foot.",
                other_kind,
            )
        )
        notes.append(left_out.format(n=other_kind))
    if plan.outing_count:
        notes.append(tr("Stops with the timer running are foreseen as in those outings; pauses are not."))
    if plan.tiring.known:
        notes.append(_about_tiring(plan.tiring))
    return notes


def _about_tiring(tiring: Tiring) -> str:
    """How speed on one grade changed in the course of the outings, which the plan carries on."""
    low, high = tiring.interval_per_s(Z80)
    shares = {
        name: percent(math.expm1(SECONDS_PER_HOUR * per_s), 1)
        for name, per_s in (("change", tiring.per_s), ("low", low), ("high", high))
    }
    told = tr(
        "Speed on one grade changed by {change} an hour in those outings ({low} to {high} with the day)."
    )
    return told.format(**shares)


def _about_ground(plan: Plan) -> list[str]:
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
    longest = plan.response.longest_s
    if plan.response.outing_count and plan.usual.total_s.middle > LONGER_TOLD * longest:
        beyond = (
            tr(
                "The longest outing learnt from lasted {time}; beyond that the drift of the heart rate and "
                "the slowing down are carried on as they were."
            )
            if plan.tiring.known
            else tr(
                "The longest outing learnt from lasted {time}; beyond that the drift of the heart rate is "
                "carried on as it was, and tiring is not in the plan."
            )
        )
        notes.append(beyond.format(time=duration(longest)))
    if plan.on_bike:
        notes.append(tr("Published walking times do not apply to a ride and are left out."))
    return notes


def _about_day(plan: Plan) -> list[str]:
    day, notes = plan.conditions, []
    if day.temperature_c is not None and day.temperature_c > HEAT_FROM_C:
        notes += _about_heat(day.temperature_c, day.heat_factor)
    if day.load_kg > 0.0:
        notes.append(tr("A load is counted like body mass, which understates what a pack costs."))
    if day.hours_out > 0.0:
        before = (
            tr(
                "The heart is taken to have drifted for {hours} h before the start, and speed to have "
                "changed for as long."
            )
            if plan.tiring.known
            else tr(
                "The heart is taken to have drifted for {hours} h before the start; slowing down by "
                "tiredness is not in the plan."
            )
        )
        notes.append(before.format(hours=plain(day.hours_out)))
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
