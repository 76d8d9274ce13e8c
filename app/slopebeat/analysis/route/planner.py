"""From ground, earlier outings and the day to a plan.

A plan may take extra laps of a loop on the way, as many as the target asks for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.response.prediction import EarlierFits
from slopebeat.analysis.route.forecast import DayShift, Forecast, ForecastInputs, forecast, forecast_inputs
from slopebeat.analysis.route.past import grade_bin
from slopebeat.analysis.route.plan import GradeRow, LapPlan, PlannedClimb, Range, StrategyName
from slopebeat.analysis.route.profile import RouteGround, climbs_of, repeated_stretch
from slopebeat.analysis.route.simulation import RUNS, Conditions, Runs, Slopes, simulate
from slopebeat.analysis.route.summary import climb_course, climb_steps, joined_sides_s, range_of
from slopebeat.analysis.route.work import SLOWEST_MPS, Going, speed_at_bpm
from slopebeat.model.bands import Band
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import GRADES, PastOuting
from slopebeat.model.message import message
from slopebeat.model.numerics import REACH_80
from slopebeat.model.track import Array

LONGEST_PLAN_S = 24 * 3600.0
"""A way that takes longer is no single outing: nobody holds a band through a night [project choice]."""

MOST_MARGIN = 0.25
"""Largest share of the band's width kept clear of its upper edge on a climb [project choice]."""

CLIMBING_SLOWS = 5.0
"""Log speed lost per unit of grade where only the effect of a load is asked for [project choice]."""

SEED = 20260712
"""One plan asked for twice gives one answer."""


ProgressCallback = Callable[[float], None]


def progress_part(progress: ProgressCallback, first: float, last: float) -> ProgressCallback:
    """Tells of a part of longer work: its share done is turned into one of the whole."""
    return lambda share: progress(first + share * (last - first))


@dataclass(frozen=True, eq=False)
class RouteEvidence:
    """What earlier outings of the sport teach.

    Attributes
    ----------
    past : in order of time. learnt : the answer of their hearts to work; None where it is not known.
    usual_load_kg : mean load they carried.
    """

    past: tuple[PastOuting, ...]
    learnt: EarlierFits | None
    usual_load_kg: float = 0.0


@dataclass(frozen=True, eq=False)
class Outing:
    """One way gone one way: what is predicted, and outings drawn along it."""

    cast: Forecast
    runs: Runs


@dataclass(frozen=True, eq=False)
class PlanRequest:
    """Who goes, on what day, and what for; ``start_deg`` is where the way begins, None: unknown."""

    going: Going
    teaching: RouteEvidence
    conditions: Conditions
    band: Band
    target_s: float
    hold_bpm: float
    start_deg: tuple[float, float] | None = None

    @property
    def slopes(self) -> Slopes:
        return Slopes.of(self.teaching.learnt, self.going.on_bike)

    @property
    def limit_bpm(self) -> float:
        """Heart rate a climb is best kept under: the band's upper edge, less what hearts wander."""
        most_bpm = MOST_MARGIN * (self.band.upper_bpm - self.band.lower_bpm)
        return self.band.upper_bpm - min(self.slopes.slow_error_bpm, most_bpm)

    def bpm_of(self, name: StrategyName) -> float | None:
        return None if name is StrategyName.USUAL else self.hold_bpm

    def inputs(self, ground: RouteGround) -> ForecastInputs:
        return forecast_inputs(ground, self.teaching.past, self.start_deg, self._slower(ground))

    def gone(
        self, ground: RouteGround, inputs: ForecastInputs, name: StrategyName, tell: ProgressCallback
    ) -> Outing:
        """Foretell a way gone so, and draw outings along it."""
        day, slopes = self.conditions, self.slopes
        cast = forecast(
            inputs, self.bpm_of(name), DayShift(day.heat_factor, float(slopes.mean[4]) * day.hours_out)
        )
        load, slower = day.load_at(ground.middle_m), self._slower(ground)
        runs = simulate(ground, self.going, cast, inputs.curve, slopes, load, slower, SEED, RUNS, tell)
        return Outing(cast, runs)

    def _slower(self, ground: RouteGround) -> Array:
        """(n,) factor on the time of each step for a load beyond the one usually carried."""
        more = np.maximum(self.conditions.load_at(ground.middle_m) - self.teaching.usual_load_kg, 0.0)
        if not more.any():
            return np.ones(more.size)
        usual = np.median([sum(one.grade_metres) / one.moving_s for one in self.teaching.past])
        # Who pays with breath goes at the same work: the load alone says how much slower that is.
        speed = usual / np.exp(np.maximum(ground.grade, 0.0) * CLIMBING_SLOWS)
        return np.asarray(speed / self.going.with_load(speed, ground.grade, more))


@dataclass(frozen=True, eq=False)
class Planning:
    """One way planned in both strategies."""

    ground: RouteGround
    asked: PlanRequest
    inputs: ForecastInputs
    usual: Outing
    hold: Outing

    def gone(self, name: StrategyName) -> Outing:
        return self.usual if name is StrategyName.USUAL else self.hold


def plan_both(
    ground: RouteGround, asked: PlanRequest, progress: ProgressCallback = lambda share: None
) -> Planning:
    """Foretell the way as usual and held, and draw outings along it.

    ``progress`` is called with the share done; what it raises stops the work.

    Raises
    ------
    UserError
        For a way that takes longer than ``LONGEST_PLAN_S``.
    """
    inputs = asked.inputs(ground)
    _check_length(inputs)
    progress(0.1)
    parts = (progress_part(progress, 0.1, 0.55), progress_part(progress, 0.55, 1.0))
    both = (asked.gone(ground, inputs, *each) for each in zip(StrategyName, parts, strict=True))
    return Planning(ground, asked, inputs, *both)


def _check_length(inputs: ForecastInputs) -> None:
    past = np.log([one.moving_s for one in inputs.past]) - inputs.base[:-1]
    usual_s = float(np.exp(inputs.base[-1] + np.median(past)))
    if usual_s > LONGEST_PLAN_S:
        raise UserError(message("plan.too_long", hours=usual_s / 3600.0))


def speeds_at(made: Planning, wanted_bpm: float, at_s: Array, grade: Array, load_kg: Array) -> Array | None:
    """(m, n) speeds at which hearts settle at a rate, at (m, n) times; None where the answer is not known."""
    asked, learnt = made.asked, made.asked.teaching.learnt
    if learnt is None:
        return None
    rng = np.random.default_rng(SEED)
    slopes = asked.slopes.draw(at_s.shape[0], rng)
    level, level_sd = learnt.level_at(learnt.usual_work_w_per_kg, False)
    rest = level + level_sd * rng.standard_normal(at_s.shape[0])
    rest = rest - (slopes[:, 0] - learnt.coefficients[0]) * learnt.usual_work_w_per_kg
    drift = slopes[:, 4:] * (at_s / 3600.0 + asked.conditions.hours_out)
    coefficients = np.column_stack([rest, np.zeros_like(rest), slopes[:, 0], slopes[:, 1], slopes[:, 2]])
    wanted = wanted_bpm / asked.conditions.heat_factor - drift
    return speed_at_bpm(asked.going, coefficients, wanted, grade, load_kg)


def planned_climbs(made: Planning) -> tuple[PlannedClimb, ...]:
    """Every climb of the way in both strategies."""
    return tuple(_planned(climb, made) for climb in climbs_of(made.ground))


def _planned(climb: Climb, made: Planning) -> PlannedClimb:
    foot, top = climb_steps(climb, made.ground)
    grade = np.array([climb.grade_mean])
    usual, held = made.usual.runs, made.hold.runs
    halfway = 0.5 * (held.reach_s[:, [foot]] + held.reach_s[:, [top]])
    load = made.asked.conditions.load_at(made.ground.middle_m[[(foot + top) // 2]])
    found = speeds_at(made, made.asked.limit_bpm, halfway, grade, load)
    speed = None if found is None else found[:, 0]
    hold = None if speed is None else _finite_range(speed)
    lasts = [runs.reach_s[:, top] - runs.reach_s[:, foot] for runs in (usual, held)]
    return PlannedClimb(
        **vars(climb),
        seen=bool(made.inputs.curve.seen[grade_bin(grade)][0]),
        usual=climb_course(climb, usual, made.ground, made.asked.band),
        held=climb_course(climb, held, made.ground, made.asked.band),
        hold_speed_mps=hold,
        hold_vertical_m_per_h=None if hold is None else Range(*(3600.0 * climb.grade_mean * v for v in hold)),
        holdable=None if speed is None else float(np.mean(speed > SLOWEST_MPS[made.asked.going.on_bike])),
        hold_cost_s=range_of(lasts[1] - lasts[0]),
    )


def _finite_range(speed: Array) -> Range | None:
    """Range of speeds; None where in most runs none reaches the heart rate."""
    return None if np.mean(np.isinf(speed)) >= 0.5 else range_of(speed)


def grade_rows(made: Planning) -> tuple[GradeRow, ...]:
    """One row for each grade of the way or of the earlier outings, from steepest down to steepest up."""
    curve, runs = made.inputs.curve, made.hold.runs
    on_way = np.bincount(grade_bin(made.ground.grade), minlength=GRADES.size) > 0
    shown = np.flatnonzero(on_way | curve.seen)
    grade = GRADES[shown]
    load = np.full(grade.shape, made.asked.conditions.load_kg)
    halfway = np.repeat(0.5 * runs.total_s[:, None], grade.size, axis=1)
    edges = [
        speeds_at(made, float(edge), halfway, grade, load)
        for edge in (made.asked.band.lower_bpm, made.asked.band.upper_bpm)
    ]
    level = np.median(np.log([one.moving_s for one in made.asked.teaching.past]) - made.inputs.base[:-1])
    sd = np.sqrt(np.diag(curve.covariance)[shown])
    return tuple(
        GradeRow(
            grade=float(GRADES[k]),
            seen_s=float(curve.seen_s[k]),
            outings=int(curve.outings[k]),
            seen=bool(curve.seen[k]),
            usual_mps=Range(
                *np.exp(-curve.log_pace[k] - level + REACH_80 * sd[at] * np.array([0.0, -1.0, 1.0]))
            ),
            lower_mps=None if edges[0] is None else _finite_range(edges[0][:, at]),
            upper_mps=None if edges[1] is None else _finite_range(edges[1][:, at]),
        )
        for at, k in enumerate(shown)
    )


MOST_LAPS = 12
"""More laps than this are no plan [project choice]."""

USUAL_TRIES = 5
"""Numbers of laps usually tried until the right one is found [project choice], for the progress only."""


def lap_plan(
    made: Planning, start_m: float, end_m: float, name: StrategyName, progress: ProgressCallback | None = None
) -> LapPlan:
    """Extra laps of a loop on the way after which the median outing reaches the target.

    Each lap is taken to give about what the first one gave; from there the number is searched one by one.
    ``progress`` is called with the share done; what it raises stops the work.

    Raises
    ------
    ValueError
        When the loop does not lie on the way.
    """
    tried: dict[int, tuple[Range, Range]] = {}
    target_s = made.asked.target_s

    def inside(laps: int) -> float:
        if laps not in tried:
            tried[laps] = _with_laps(made, start_m, end_m, name, laps)
            if progress is not None:
                progress(min(len(tried) / USUAL_TRIES, 1.0))
        return tried[laps][1].middle

    laps = 0
    if inside(0) < target_s:
        gain = inside(1) - inside(0)
        needed = (target_s - inside(0)) / gain if gain > 0.0 else np.inf
        laps = int(np.clip(np.ceil(needed), 1, MOST_LAPS) if np.isfinite(needed) else MOST_LAPS)
        while laps > 1 and inside(laps - 1) >= target_s:
            laps -= 1
        while laps < MOST_LAPS and inside(laps) < target_s:
            laps += 1
    reached = inside(laps) >= target_s
    return LapPlan(name, start_m, end_m, laps if reached else None, *tried[laps])


def _with_laps(
    made: Planning, start_m: float, end_m: float, name: StrategyName, laps: int
) -> tuple[Range, Range]:
    longer = repeated_stretch(made.ground, start_m, end_m, laps) if laps else made.ground
    gone = made.gone(name)
    if laps:
        gone = made.asked.gone(longer, made.asked.inputs(longer), name, lambda share: None)
    return range_of(gone.cast.total_s), range_of(joined_sides_s(gone.cast, gone.runs, made.asked.band)[0])
