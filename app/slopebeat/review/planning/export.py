"""A plan handed on: JSON values, and a GPX file with a waypoint at the foot of each climb."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

import numpy as np

from slopebeat.analysis.route.plan import (
    ClimbCourse,
    GradeRow,
    LapPlan,
    PlannedClimb,
    Range,
    RoutePlan,
    Strategy,
)
from slopebeat.files.xml.route import gpx_bytes
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED
from slopebeat.model.route import Route, Waypoint
from slopebeat.model.units import SECONDS_PER_HOUR
from slopebeat.review.planning.words import what_to_hold
from slopebeat.review.values import plain

MOST_COURSE_POINTS = 600
"""Points of the course written; a longer way is written more coarsely [project choice]."""


def plan_gpx(plan: RoutePlan, route: Route) -> bytes:
    """The route as GPX with a waypoint per climb that says what speed to hold there.

    Raises
    ------
    UserError
        For a route without positions.
    """
    if not (np.isfinite(route.lat_deg).all() and np.isfinite(route.lon_deg).all()):
        raise UserError(
            tr("This way is known by its profile only; without positions there is no map file of it.")
        )
    return gpx_bytes(route, waypoints(plan, route))


def waypoints(plan: RoutePlan, route: Route) -> tuple[Waypoint, ...]:
    """One waypoint at the foot of each climb."""
    points = []
    for number, climb in enumerate(plan.climbs, start=1):
        lat, lon = (
            float(np.interp(climb.start_m, route.distance_m, x)) for x in (route.lat_deg, route.lon_deg)
        )
        height = climb.foot_m if plan.ascent_m is not None else None
        points.append(Waypoint(lat, lon, height, _name(number, climb), what_to_hold(climb)))
    return tuple(points)


def _name(number: int, climb: PlannedClimb) -> str:
    """What a map shows beside the point: the climb, and what to hold on it where there is something."""
    speed, rise = climb.hold_speed_mps, climb.hold_vertical_m_per_h
    if speed is None or rise is None or climb.too_steep:
        return tr("Climb {number}").format(number=number)
    return tr("Climb {number}: {speed}, {rise}").format(
        number=number,
        speed=SPEED.text(speed.middle),
        rise=VERTICAL_SPEED.text(rise.middle / SECONDS_PER_HOUR),
    )


def as_values(plan: RoutePlan) -> dict[str, Any]:
    """JSON values: seconds, metres, beats per minute; null for unknown or without end.

    The figures at the top are those of going as usual; every figure comes with ``_low`` and ``_high``.
    """
    day = plan.conditions
    values: dict[str, Any] = plain(
        {
            "title": plan.title,
            "on_bike": plan.on_bike,
            "band_bpm": [plan.band.lower_bpm, plan.band.upper_bpm],
            "target_s": plan.target_s,
            "length_m": plan.ground.length_m,
            "ascent_m": plan.ascent_m,
            "descent_m": plan.descent_m,
            "load_kg": day.load_kg,
            "load_until_m": day.load_until_m,
            "hours_out": day.hours_out,
            "temperature_c": day.temperature_c,
            "outings": plan.outing_count,
            "outings_with_response": plan.heart_count,
            "usual_bpm": plan.usual_bpm,
            "hold_bpm": plan.hold.hold_bpm,
            "unseen_share": plan.unseen_share,
            **_figures(plan.usual),
            "strategies": [_strategy(each) for each in plan.strategies],
            "climbs": [_climb(each) for each in plan.climbs],
            "laps": [_lap(each) for each in plan.laps],
            "grades": [_grade(each) for each in plan.grades],
            "rule_of_thumb_s": plan.rule_of_thumb_s,
            "references": [asdict(each) for each in plan.references],
            "warnings": plan.warnings,
        }
    )
    return values


def _grade(row: GradeRow) -> dict[str, Any]:
    return {
        "grade": round(row.grade, 4),
        "seen_s": row.seen_s,
        "outings": row.outings,
        "seen": row.seen,
        **_range("usual_mps", row.usual_mps),
        **_range("lower_mps", row.lower_mps),
        **_range("upper_mps", row.upper_mps),
    }


def _range(name: str, value: Range | None) -> dict[str, float | None]:
    middle, low, high = value if value is not None else (math.nan, math.nan, math.nan)
    return {name: middle, f"{name}_low": low, f"{name}_high": high}


def _figures(strategy: Strategy) -> dict[str, float | None]:
    seconds = ("total_s", "moving_s", "pause_s", "in_band_s", "above_s", "below_s", "missing_s", "extra_s")
    names = (*seconds, "mean_bpm", "yield_share", "episodes_above", "episodes_below")
    values: dict[str, float | None] = {}
    for name in names:
        values |= _range(name, getattr(strategy, name))
    return values | {"target_probability": strategy.target_probability}


def _strategy(strategy: Strategy) -> dict[str, Any]:
    course = strategy.course
    columns = ("distance_m", "elevation_m", "grade", "reach_s", "speed_mps", "hr_bpm", "hr_low_bpm")
    more = ("hr_high_bpm", "p_below", "p_in_band", "p_above")
    every = slice(None, None, max(math.ceil(course.distance_m.size / MOST_COURSE_POINTS), 1))
    return {
        "name": str(strategy.name),
        "hold_bpm": strategy.hold_bpm,
        **_figures(strategy),
        "course": {
            **{name: np.round(getattr(course, name)[every], 4).tolist() for name in (*columns, *more)},
            "state": course.state[every].tolist(),
            "seen": course.seen[every].tolist(),
        },
    }


def _climb(climb: PlannedClimb) -> dict[str, Any]:
    names = (
        "start_m",
        "end_m",
        "foot_m",
        "top_m",
        "gain_m",
        "length_m",
        "grade_mean",
        "grade_steepest",
        "seen",
    )
    return {
        **{name: getattr(climb, name) for name in names},
        **_range("hold_speed_mps", climb.hold_speed_mps),
        **_range("hold_vertical_m_per_h", climb.hold_vertical_m_per_h),
        "holdable": climb.holdable,
        **_range("hold_cost_s", climb.hold_cost_s),
        "usual": _climb_course(climb.usual),
        "hold": _climb_course(climb.held),
    }


def _climb_course(course: ClimbCourse) -> dict[str, float | None]:
    names = ("reach_s", "duration_s", "speed_mps", "vertical_m_per_h", "hr_top_bpm", "hr_peak_bpm", "above_s")
    values: dict[str, float | None] = {}
    for name in (*names, "episodes_above"):
        values |= _range(name, getattr(course, name))
    return values | {"exit_probability": course.exit_probability, "exit_after_m": course.exit_after_m}


def _lap(laps: LapPlan) -> dict[str, Any]:
    return {
        "strategy": str(laps.strategy),
        "start_m": laps.start_m,
        "end_m": laps.end_m,
        "laps": laps.laps,
        **_range("total_s", laps.total_s),
        **_range("in_band_s", laps.in_band_s),
    }
