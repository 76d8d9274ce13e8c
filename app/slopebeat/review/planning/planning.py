"""The next outing planned on its terrain: the join of route, cleaning, earlier outings and simulation."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from slopebeat.analysis.account.past import grade_bin
from slopebeat.analysis.route.draws import RUNS, SEED
from slopebeat.analysis.route.evidence import Evidence, evidence_of
from slopebeat.analysis.route.plan import LapPlan, Plan, StrategyName
from slopebeat.analysis.route.planner import (
    Simulated,
    grade_rows,
    lap_plan,
    planned_climbs,
    references,
    simulate_both,
)
from slopebeat.analysis.route.profile import STEP_M, Ground, ground_of
from slopebeat.analysis.route.simulation import Conditions, Part
from slopebeat.analysis.route.summary import strategy_of
from slopebeat.analysis.route.work import Going
from slopebeat.cleaning.elevation import smooth_elevation
from slopebeat.model.athlete import Aim
from slopebeat.model.conditions import load_from_notes
from slopebeat.model.errors import UserError
from slopebeat.model.geodesy import great_circle_m
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import GROUND as WAY
from slopebeat.model.measures import HEIGHT, plain
from slopebeat.model.notes import Note
from slopebeat.model.recording import Recording
from slopebeat.model.route import Route
from slopebeat.review.outing import Review
from slopebeat.review.planning.words import plan_warnings
from slopebeat.review.wording import on_way

NOMINAL_MPS = 1.0
"""Speed a plan is smoothed at: the noise of its elevation is judged and taken out as if it had been walked
at this speed [project choice]."""

CLOSED_WITHIN_M = 150.0
"""A loop whose ends lie further apart on the map is said not to be one [project choice]."""

MILD_DAY = Conditions()
"""No load, a fresh start, mild air."""

LONGEST_OUT_H, COLDEST_C, HOTTEST_C, HEAVIEST_KG = 24.0, -40.0, 50.0, 60.0
"""What is taken for a day, an air temperature and a load [project choice]."""


@dataclass(frozen=True, eq=False)
class PlannedGround:
    """A route prepared: ground on even steps, ascent and descent by hysteresis (None without elevation)."""

    ground: Ground
    ascent_m: float | None
    descent_m: float | None


def prepare(route: Route) -> PlannedGround:
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
        level = ground_of(distance, np.full(distance.shape, np.nan))
        assert level is not None
        return PlannedGround(level, None, None)
    still = np.zeros(distance.shape)
    known = smooth_elevation(distance / NOMINAL_MPS, route.elevation_m[forward], distance, still)
    ground = ground_of(distance, known.smoothed_m)
    assert ground is not None
    return PlannedGround(ground, known.ascent_m, known.descent_m)


def evidence_from(review: Review, notes: Sequence[Note] = ()) -> Evidence | None:
    """What a reviewed outing teaches; None where it has no distance or no elevation.

    ``notes`` are those it was reviewed with: what they say of the load goes before the aim.
    """
    track = review.track
    load_kg = load_from_notes(notes, track.t_s, review.aim.load_at(track.t_s))
    return evidence_of(track, review.work_w_per_kg, load_kg, review.response)


def route_of(recording: Recording) -> Route:
    """The way of a recording, to be gone again.

    Raises
    ------
    UserError
        When the recording has no distance.
    """
    samples = recording.samples
    names = ("distance_m", "elevation_m", "lat_deg", "lon_deg")
    distance, height, lat, lon = (samples[name].to_numpy(dtype=float) for name in names)
    known = np.isfinite(distance)
    if np.count_nonzero(known) < 2:
        raise UserError(tr("The recording has no distance, so its way is unknown."))
    along = np.maximum.accumulate(distance[known])
    along = along - along[0]
    kept = known.nonzero()[0]
    return Route(along, height[kept], lat[kept], lon[kept], recording.title, recording.file_name, True)


def plan_route(
    route: Route,
    outings: Iterable[Review | Evidence],
    aim: Aim,
    conditions: Conditions = MILD_DAY,
    on_bike: bool | None = None,
    loop_m: tuple[float, float] | None = None,
    runs: int = RUNS,
    seed: int = SEED,
    told: Callable[[float], None] | None = None,
) -> Plan:
    """Plan an outing on a route.

    Parameters
    ----------
    outings : earlier ones of the same athlete, reviewed; those of the other kind are left out. None at
        all leaves stated defaults, and a warning.
    aim : band, target and masses; its loads are not used, the day's is in ``conditions``.
    on_bike : None = as most of the outings.
    loop_m : start and end along the route of a loop that may be gone again.
    told : called with the share done; what it raises stops the work.

    Raises
    ------
    UserError
        Without a band or a target, for a route too short, a loop not on it, or an implausible day.
    """
    if aim.band is None:
        raise UserError(tr("A plan needs a heart-rate band."))
    _check(conditions)
    known = [one for each in outings if (one := _evidence(each)) is not None]
    bike = _mostly_on_bike(known) if on_bike is None else on_bike
    used = [one for one in known if one.on_bike is bike]
    prepared = prepare(route)
    ground = prepared.ground
    going = Going.at(bike, aim.body_mass_kg, aim.bike_mass_kg, float(ground.elevation_m.mean()))
    tell = told or (lambda share: None)
    tell(0.0)
    part = Part(tell, 0.0, 0.7)
    made = simulate_both(ground, going, used, aim.band, aim.target_s, conditions, runs, seed, part)
    tell(0.7)
    laps = _laps(made, loop_m, Part(tell, 0.7, 0.8))
    tell(0.8)
    plan = _plan(route, prepared, made, len(used), laps)
    tell(1.0)
    notes = plan_warnings(plan, len(known) - len(used)) + _loop_warnings(route, loop_m)
    return replace(plan, warnings=route.warnings + notes)


def _plan(
    route: Route, prepared: PlannedGround, made: Simulated, outing_count: int, laps: tuple[LapPlan, ...]
) -> Plan:
    ground, up, down = prepared.ground, prepared.ascent_m, prepared.descent_m
    seen = made.speed.seen[grade_bin(ground.grade)]
    usual, hold = (
        strategy_of(name, made.bpm_of(name), made.runs(name), ground, made.band, made.target_s, seen)
        for name in StrategyName
    )
    return Plan(
        title=route.title,
        on_bike=made.going.on_bike,
        band=made.band,
        target_s=made.target_s,
        conditions=made.conditions,
        ground=ground,
        ascent_m=up,
        descent_m=down,
        outing_count=outing_count,
        response=made.response,
        speed=made.speed,
        tiring=made.draws.tiring,
        usual=usual,
        hold=hold,
        climbs=planned_climbs(made),
        laps=laps,
        grades=grade_rows(made),
        references=() if made.going.on_bike else references(ground, up or 0.0, down or 0.0),
        unseen_share=float(np.mean(~seen)),
        warnings=(),
    )


def _evidence(outing: Review | Evidence) -> Evidence | None:
    return outing if isinstance(outing, Evidence) else evidence_from(outing)


def _mostly_on_bike(outings: Sequence[Evidence]) -> bool:
    return sum(one.on_bike for one in outings) > len(outings) / 2


def _check(conditions: Conditions) -> None:
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
    ):
        if value is not None and not low <= value <= high:
            raise UserError(tr(refusal).format(value=plain(value)))


def _laps(made: Simulated, loop_m: tuple[float, float] | None, told: Part) -> tuple[LapPlan, ...]:
    if loop_m is None:
        return ()
    start, end = loop_m
    if not (start >= 0.0 and end <= made.ground.length_m + 1.0 and end - start >= 2.0 * STEP_M):
        refusal = tr("A loop from {start} to {end} {unit} does not lie on a way of {length} {unit}.")
        ends = {"start": plain(WAY.shown(start)), "end": plain(WAY.shown(end))}
        length = WAY.figure(made.ground.length_m, 1)
        raise UserError(refusal.format(length=length, unit=WAY.unit, **ends))
    end = min(end, made.ground.length_m)
    parts = (Part(told, 0.0, 0.5), Part(told, 0.5, 1.0))
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
    told = tr("The ends of the loop lie {distance} apart on the map; going it again needs a way between.")
    return (told.format(distance=on_way(apart)),)
