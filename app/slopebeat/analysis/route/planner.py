"""From ground, earlier outings and the day to a plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.past import grade_bin
from slopebeat.analysis.response.pooled import PooledResponse, pool_responses
from slopebeat.analysis.route.draws import RUNS, SEED, Draws, draw
from slopebeat.analysis.route.evidence import Evidence
from slopebeat.analysis.route.hiking_time import din_33466_s, naismith_s, tobler_s
from slopebeat.analysis.route.holding import speed_at_bpm
from slopebeat.analysis.route.plan import GradeRow, LapPlan, PlannedClimb, Range, Reference, StrategyName
from slopebeat.analysis.route.profile import Ground, climbs_of, repeated_stretch
from slopebeat.analysis.route.simulation import (
    MOST_MARGIN,
    Conditions,
    Part,
    Runs,
    heart_budget,
    simulate,
)
from slopebeat.analysis.route.speed import PooledSpeed, pool_speed
from slopebeat.analysis.route.summary import climb_course, climb_steps, range_of, seconds_by_side
from slopebeat.analysis.route.tiring import pool_tiring
from slopebeat.analysis.route.work import SLOWEST_MPS, Going
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import figure
from slopebeat.model.past import GRADES
from slopebeat.model.track import Array

LONGEST_PLAN_S = 24 * 3600.0
"""A way that takes longer is no single outing: nobody holds a band through a night [project choice]."""

MOST_LAPS = 12
"""More laps than this are no plan [project choice]."""

USUAL_TRIES = 5
"""Numbers of laps usually tried until the right one is found [project choice], for the progress only."""

Z80 = 1.2816  # normal deviate of an 80 % interval


@dataclass(frozen=True, eq=False)
class Simulated:
    """One way simulated in both strategies, from the same draws."""

    ground: Ground
    going: Going
    conditions: Conditions
    band: Band
    target_s: float
    response: PooledResponse
    speed: PooledSpeed
    draws: Draws
    hold_bpm: float
    usual: Runs
    hold: Runs

    def runs(self, name: StrategyName) -> Runs:
        return self.usual if name is StrategyName.USUAL else self.hold

    def bpm_of(self, name: StrategyName) -> float | None:
        return None if name is StrategyName.USUAL else self.hold_bpm


def simulate_both(
    ground: Ground,
    going: Going,
    outings: Sequence[Evidence],
    band: Band,
    target_s: float,
    conditions: Conditions,
    runs: int = RUNS,
    seed: int = SEED,
    told: Callable[[float], None] | None = None,
) -> Simulated:
    """Pool the outings, and simulate the way as usual and holding the band.

    ``told`` is called with the share done; what it raises stops the work.

    Raises
    ------
    UserError
        For a way that takes longer than ``LONGEST_PLAN_S``.
    """
    response = pool_responses(outings, going.on_bike)
    tiring = pool_tiring(outings)
    speed = pool_speed(outings, going, tiring)
    _check_length(ground, speed)
    draws = draw(ground, response, speed, outings, runs, seed, tiring)
    tell = told or (lambda share: None)
    tell(0.1)
    margin = min(
        float(np.sqrt(response.rest_wander_bpm2.sum())), MOST_MARGIN * (band.upper_bpm - band.lower_bpm)
    )
    hold_bpm = band.upper_bpm - margin
    return Simulated(
        ground=ground,
        going=going,
        conditions=conditions,
        band=band,
        target_s=target_s,
        response=response,
        speed=speed,
        draws=draws,
        hold_bpm=hold_bpm,
        usual=simulate(ground, going, draws, conditions, told=Part(tell, 0.1, 0.35)),
        hold=simulate(ground, going, draws, conditions, hold_bpm, Part(tell, 0.35, 1.0)),
    )


def _check_length(ground: Ground, speed: PooledSpeed) -> None:
    usual_s = float(np.sum(ground.step_m / np.exp(np.interp(ground.grade, GRADES, speed.log_mps))))
    if usual_s > LONGEST_PLAN_S:
        raise UserError(
            tr(
                "The way takes about {hours} hours of moving, more than one outing; plan it in stages."
            ).format(hours=figure(usual_s / 3600.0))
        )


def speeds_at(made: Simulated, wanted_bpm: Array, grade: Array, load_kg: Array) -> Array:
    """(m, n) speeds at which each run's heart settles at (m, n) wanted rates, drift already taken off."""
    extra = np.interp(grade, GRADES, made.speed.extra_work_w_per_kg)
    return speed_at_bpm(made.going, made.draws.coefficients, wanted_bpm, grade, load_kg, extra)


def planned_climbs(made: Simulated) -> tuple[PlannedClimb, ...]:
    """Every climb of the way in both strategies."""
    return tuple(_planned(climb, made) for climb in climbs_of(made.ground))


def _planned(climb: Climb, made: Simulated) -> PlannedClimb:
    foot, top = climb_steps(climb, made.ground)
    grade = np.array([climb.grade_mean])
    halfway = 0.5 * (made.hold.reach_s[:, [foot]] + made.hold.reach_s[:, [top]])
    wanted = heart_budget(made.hold_bpm, made.draws, made.conditions, halfway)
    load = made.conditions.load_at(made.ground.middle_m[[(foot + top) // 2]])
    speed = speeds_at(made, wanted, grade, load)[:, 0]
    hold = _finite_range(speed)
    usual, held = (runs.reach_s[:, top] - runs.reach_s[:, foot] for runs in (made.usual, made.hold))
    return PlannedClimb(
        start_m=climb.start_m,
        end_m=climb.end_m,
        foot_m=climb.foot_m,
        top_m=climb.top_m,
        gain_m=climb.gain_m,
        length_m=climb.length_m,
        grade_mean=climb.grade_mean,
        grade_steepest=climb.grade_steepest,
        seen=bool(made.speed.seen[grade_bin(grade)][0]),
        usual=climb_course(climb, made.usual, made.ground, made.band),
        held=climb_course(climb, made.hold, made.ground, made.band),
        hold_speed_mps=hold,
        hold_vertical_m_per_h=None if hold is None else Range(*(3600.0 * climb.grade_mean * v for v in hold)),
        holdable=float(np.mean(speed > SLOWEST_MPS[made.going.on_bike])),
        hold_cost_s=range_of(held - usual),
    )


def _finite_range(speed: Array) -> Range | None:
    """Range of speeds; None where in most runs none reaches the heart rate."""
    return None if np.mean(np.isinf(speed)) >= 0.5 else range_of(speed)


def grade_rows(made: Simulated) -> tuple[GradeRow, ...]:
    """One row for each grade of the way or of the earlier outings, from steepest down to steepest up."""
    on_way = np.bincount(grade_bin(made.ground.grade), minlength=GRADES.size) > 0
    shown = np.flatnonzero(on_way | made.speed.seen)
    grade = GRADES[shown]
    load = np.full(grade.shape, made.conditions.load_kg)
    halfway = np.repeat(0.5 * made.hold.total_s[:, None], grade.size, axis=1)
    edges = [
        speeds_at(made, heart_budget(float(edge), made.draws, made.conditions, halfway), grade, load)
        for edge in (made.band.lower_bpm, made.band.upper_bpm)
    ]
    low, high = made.speed.interval_mps(Z80)
    return tuple(
        GradeRow(
            grade=float(GRADES[k]),
            seen_s=float(made.speed.seen_s[k]),
            outings=int(made.speed.outings[k]),
            seen=bool(made.speed.seen[k]),
            usual_mps=Range(float(made.speed.speed_mps[k]), float(low[k]), float(high[k])),
            lower_mps=_finite_range(edges[0][:, column]),
            upper_mps=_finite_range(edges[1][:, column]),
        )
        for column, k in enumerate(shown)
    )


def lap_plan(
    made: Simulated,
    start_m: float,
    end_m: float,
    name: StrategyName,
    told: Callable[[float], None] | None = None,
) -> LapPlan:
    """Extra laps of a loop on the way after which the median outing reaches the target.

    Each lap is taken to give about what the first one gave; from there the number is searched one by one.
    ``told`` is called with the share done; what it raises stops the work.

    Raises
    ------
    ValueError
        When the loop does not lie on the way.
    """
    tried: dict[int, tuple[Range, Range]] = {}

    def inside(laps: int) -> float:
        if laps not in tried:
            tried[laps] = _with_laps(made, start_m, end_m, name, laps)
            if told is not None:
                told(min(len(tried) / USUAL_TRIES, 1.0))
        return tried[laps][1].middle

    laps = 0
    if inside(0) < made.target_s:
        gain = inside(1) - inside(0)
        needed = (made.target_s - inside(0)) / gain if gain > 0.0 else np.inf
        laps = int(np.clip(np.ceil(needed), 1, MOST_LAPS) if np.isfinite(needed) else MOST_LAPS)
        while laps > 1 and inside(laps - 1) >= made.target_s:
            laps -= 1
        while laps < MOST_LAPS and inside(laps) < made.target_s:
            laps += 1
    reached = inside(laps) >= made.target_s
    return LapPlan(name, start_m, end_m, laps if reached else None, *tried[laps])


def _with_laps(
    made: Simulated, start_m: float, end_m: float, name: StrategyName, laps: int
) -> tuple[Range, Range]:
    """Time in all and in band with extra laps."""
    runs = made.runs(name)
    if laps:
        longer = repeated_stretch(made.ground, start_m, end_m, laps)
        runs = simulate(longer, made.going, made.draws, made.conditions, made.bpm_of(name))
    return range_of(runs.total_s), range_of(seconds_by_side(runs, made.band)[0])


def references(ground: Ground, ascent_m: float, descent_m: float) -> tuple[Reference, ...]:
    """Published walking times for the way."""
    length = ground.length_m
    return (
        Reference(
            "DIN 33466",
            din_33466_s(length, ascent_m, descent_m),
            mark(
                "DIN 33466 as quoted by the German and Austrian alpine clubs' trail "
                "concept (2009): 4 km/h, 300 m/h up, 500 m/h down, the larger time and "
                "half of the smaller"
            ),
        ),
        Reference(
            "Naismith",
            naismith_s(length, ascent_m),
            mark("Naismith 1892 in metric: an hour for 5 km and an hour for 600 m up"),
        ),
        Reference(
            "Tobler",
            tobler_s(np.full(ground.grade.shape, ground.step_m), ground.grade),
            mark("Tobler 1993: 6 exp(-3.5 |grade + 0.05|) km/h"),
        ),
    )
