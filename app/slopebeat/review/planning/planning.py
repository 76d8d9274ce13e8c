"""The next outing planned on its terrain: the join of route, cleaning, earlier outings and forecast."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from slopebeat.analysis.response.prediction import learn
from slopebeat.analysis.response.teaching import group_of, why_not
from slopebeat.analysis.route.forecast import LEAST_OUTINGS, usable
from slopebeat.analysis.route.past import grade_bin
from slopebeat.analysis.route.plan import LapPlan, Reference, RoutePlan, StrategyName
from slopebeat.analysis.route.planner import (
    Planning,
    PlanRequest,
    ProgressCallback,
    RouteEvidence,
    grade_rows,
    lap_plan,
    plan_both,
    planned_climbs,
    progress_part,
)
from slopebeat.analysis.route.profile import STEP_M, RouteGround, route_ground
from slopebeat.analysis.route.references import references, rule_of_thumb_s
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.analysis.route.summary import strategy_of
from slopebeat.analysis.route.work import Going
from slopebeat.cleaning.elevation import smooth_elevation
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND as WAY
from slopebeat.model.measures import HEIGHT, shortest_number
from slopebeat.model.numerics import great_circle_m
from slopebeat.model.people import Aim
from slopebeat.model.route import Route
from slopebeat.review.planning.words import few_outings, plan_warnings
from slopebeat.review.words.messages import say
from slopebeat.review.words.names import on_way

NOMINAL_MPS = 1.0
"""Speed a plan is smoothed at: the noise of its elevation is judged and taken out as if it had been walked
at this speed [project choice]."""

CLOSED_WITHIN_M = 150.0
"""A loop whose ends lie further apart on the map is said not to be one [project choice]."""

MILD_DAY = Conditions()
"""No load, a fresh start, mild air."""

LOWEST_HOLD_BPM, HIGHEST_HOLD_BPM = 60.0, 220.0
"""Heart rates somebody may want to hold [project choice]."""

LONGEST_OUT_H, COLDEST_C, HOTTEST_C, HEAVIEST_KG = 24.0, -40.0, 50.0, 60.0
"""What is taken for a day, an air temperature and a load [project choice]."""


@dataclass(frozen=True, eq=False)
class PlannedGround:
    """A route prepared: ground on even steps, ascent and descent by hysteresis (None without elevation)."""

    ground: RouteGround
    ascent_m: float | None
    descent_m: float | None


def prepare_ground(route: Route) -> PlannedGround:
    """Smooth a route's elevation for its own noise, and cut it into even steps.

    Raises
    ------
    UserError
        For a route too short to plan on.
    """
    forward = np.append(True, np.diff(route.distance_m) > 0.0)
    distance = route.distance_m[forward]
    if distance.size < 2 or distance[-1] - distance[0] < STEP_M:
        short = tr("The route is shorter than {length}; there is nothing to plan on it.")
        raise UserError(short.format(length=HEIGHT.text(STEP_M)))
    if not route.has_elevation:
        level = route_ground(distance, np.full(distance.shape, np.nan))
        assert level is not None
        return PlannedGround(level, None, None)
    still = np.zeros(distance.shape)
    known = smooth_elevation(distance / NOMINAL_MPS, route.elevation_m[forward], distance, still)
    ground = route_ground(distance, known.smoothed_m)
    assert ground is not None
    return PlannedGround(ground, known.ascent_m, known.descent_m)


def plan_route(
    route: Route,
    outings: Sequence[OutingEvidence],
    aim: Aim,
    conditions: Conditions = MILD_DAY,
    hold_bpm: float | None = None,
    loop_m: tuple[float, float] | None = None,
    progress: Callable[[float], None] | None = None,
) -> RoutePlan:
    """Plan an outing on a route.

    Parameters
    ----------
    outings : earlier ones of the same athlete and sport.
    aim : band, target and masses; its loads are not used, the day's is in ``conditions``.
    hold_bpm : mean heart rate to hold in the second strategy; None: the middle of the band.
    loop_m : start and end along the route of a loop that may be gone again.
    progress : called with the share done; what it raises stops the work.

    Raises
    ------
    UserError
        Without a band, with too few outings, for a route too short or an implausible entry.
    """
    if aim.band is None:
        raise UserError(tr("A plan needs a heart-rate band."))
    check_day(conditions, hold_bpm)
    prepared = prepare_ground(route)
    teaching = _teaching(outings, prepared)
    ground, on_bike = prepared.ground, teaching.past[-1].on_bike
    going = Going.at(on_bike, aim.body_mass_kg, aim.bike_mass_kg, float(ground.elevation_m.mean()))
    held = aim.band.middle_bpm if hold_bpm is None else hold_bpm
    tell = progress or (lambda share: None)
    asked = PlanRequest(going, teaching, conditions, aim.band, aim.target_s, held, _start(route))
    made = plan_both(ground, asked, progress_part(tell, 0.0, 0.7))
    laps = _laps(made, loop_m, progress_part(tell, 0.7, 0.9))
    plan = _plan(route, prepared, made, laps)
    tell(1.0)
    notes = plan_warnings(plan) + _loop_warnings(route, loop_m)
    return replace(plan, warnings=(*(say(each) for each in route.warnings), *notes))


def _teaching(outings: Sequence[OutingEvidence], prepared: PlannedGround) -> RouteEvidence:
    """What outings of one sport teach; a sentence where they are too few."""
    past = usable([one.past for one in outings if one.past is not None and one.past.has_heart])
    if len(past) < LEAST_OUTINGS:
        on_bike = bool(outings) and outings[-1].on_bike
        times = () if on_bike else _references(prepared)
        raise UserError(few_outings(len(past), LEAST_OUTINGS, times))
    teaching = sorted((one for one in outings if why_not(one) is None), key=lambda one: one.start_utc)
    learnt = learn(teaching, teaching[-1].start_utc) if teaching else None
    return RouteEvidence(past, learnt, float(np.mean([one.load_kg for one in outings])))


def _start(route: Route) -> tuple[float, float] | None:
    """Where the way begins; None where nobody knows."""
    known = np.flatnonzero(np.isfinite(route.lat_deg) & np.isfinite(route.lon_deg))
    return (float(route.lat_deg[known[0]]), float(route.lon_deg[known[0]])) if known.size else None


def _plan(route: Route, prepared: PlannedGround, made: Planning, laps: tuple[LapPlan, ...]) -> RoutePlan:
    ground, up, down = prepared.ground, prepared.ascent_m, prepared.descent_m
    seen = made.inputs.curve.seen[grade_bin(ground.grade)]
    asked, past, learnt = made.asked, made.asked.teaching.past, made.asked.teaching.learnt
    usual, hold = (
        strategy_of(name, asked.bpm_of(name), gone.cast, gone.runs, ground, asked.band, asked.target_s, seen)
        for name in StrategyName
        for gone in (made.gone(name),)
    )
    return RoutePlan(
        title=route.title,
        on_bike=asked.going.on_bike,
        band=asked.band,
        target_s=asked.target_s,
        conditions=asked.conditions,
        ground=ground,
        ascent_m=up,
        descent_m=down,
        outing_count=len(past),
        heart_count=0 if learnt is None else learnt.outings,
        longest_s=max(one.recorded_s for one in past),
        usual_bpm=float(made.inputs.usual_bpm or 0.0),
        ground_share=made.hold.runs.ground_share,
        usual=usual,
        hold=hold,
        climbs=planned_climbs(made),
        laps=laps,
        grades=grade_rows(made),
        references=() if asked.going.on_bike else _references(prepared),
        rule_of_thumb_s=rule_of_thumb_s(ground.length_m, up or 0.0, past),
        unseen_share=float(np.mean(~seen)),
        warnings=(),
    )


def _references(prepared: PlannedGround) -> tuple[Reference, ...]:
    return references(prepared.ground, prepared.ascent_m or 0.0, prepared.descent_m or 0.0)


def usual_sport(outings: Sequence[OutingEvidence], on_bike: bool | None = None) -> str | None:
    """Key of the sport most of the outings are of, on a bike or on foot where that is said."""
    groups = [group_of(one) for one in outings if on_bike is None or one.on_bike is on_bike]
    known = [group for group in groups if group is not None]
    return max(sorted(set(known)), key=known.count) if known else None


def check_day(conditions: Conditions, hold_bpm: float | None) -> None:
    """Refuse what no day and no heart is like, in a sentence."""
    for refusal, value, low, high in (
        (mark("A load of {value} kg is not plausible."), conditions.load_kg, 0.0, HEAVIEST_KG),
        (
            mark("A place of setting the load down of {value} m is not plausible."),
            conditions.load_until_m,
            0.0,
            np.inf,
        ),
        (
            mark("A time already out in hours of {value} is not plausible."),
            conditions.hours_out,
            0.0,
            LONGEST_OUT_H,
        ),
        (
            mark("A temperature of {value} °C is not plausible."),
            conditions.temperature_c,
            COLDEST_C,
            HOTTEST_C,
        ),
        (
            mark("A heart rate to hold of {value} bpm is not plausible."),
            hold_bpm,
            LOWEST_HOLD_BPM,
            HIGHEST_HOLD_BPM,
        ),
    ):
        if value is not None and not low <= value <= high:
            raise UserError(tr(refusal).format(value=shortest_number(value)))


def _laps(
    made: Planning, loop_m: tuple[float, float] | None, progress: ProgressCallback
) -> tuple[LapPlan, ...]:
    if loop_m is None:
        return ()
    start, end = loop_m
    if not (start >= 0.0 and end <= made.ground.length_m + 1.0 and end - start >= 2.0 * STEP_M):
        refusal = tr("A loop from {start} to {end} {unit} does not lie on a way of {length} {unit}.")
        ends = {"start": shortest_number(WAY.shown(start)), "end": shortest_number(WAY.shown(end))}
        length = WAY.figure(made.ground.length_m, 1)
        raise UserError(refusal.format(length=length, unit=WAY.unit, **ends))
    end = min(end, made.ground.length_m)
    parts = (progress_part(progress, 0.0, 0.5), progress_part(progress, 0.5, 1.0))
    return tuple(
        lap_plan(made, start, end, name, part) for name, part in zip(StrategyName, parts, strict=True)
    )


def _loop_warnings(route: Route, loop_m: tuple[float, float] | None) -> tuple[str, ...]:
    if loop_m is None or not np.isfinite(route.lat_deg).all():
        return ()
    lat, lon = (np.interp(loop_m, route.distance_m, x) for x in (route.lat_deg, route.lon_deg))
    apart = float(great_circle_m(lat[0], lon[0], lat[1], lon[1]))
    if apart <= CLOSED_WITHIN_M:
        return ()
    text = tr("The ends of the loop lie {distance} apart on the map; going it again needs a way between.")
    return (text.format(distance=on_way(apart)),)
