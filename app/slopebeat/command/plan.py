"""``slopebeat plan ROUTE``: how long and how fast on a planned way, on the terminal or as JSON."""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from slopebeat.analysis.route.plan import LapPlan, PlannedClimb, RoutePlan
from slopebeat.analysis.route.simulation import Conditions
from slopebeat.api.library import GROUNDS, athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.command.terminal import EXIT_STOPPED, ProgressLine
from slopebeat.disk.places import library_path
from slopebeat.disk.writing import write_whole
from slopebeat.files.reading import read_recordings
from slopebeat.files.xml.route import read_routes
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.evidence import RIDE, RUN, WALK, OutingEvidence
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, SPEED, figure, shortest_number
from slopebeat.model.people import DEFAULT_BIKE_MASS_KG, DEFAULT_BODY_MASS_KG, Aim, Athlete, Ground
from slopebeat.model.route import Route
from slopebeat.model.units import clock, duration, percent
from slopebeat.review.cautions import cautions
from slopebeat.review.evidence import evidence_of
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.outing import review_recording
from slopebeat.review.planning import words
from slopebeat.review.planning.export import as_values, plan_gpx
from slopebeat.review.planning.library import LATEST_OUTINGS, PlanInputs, latest_of_sport, learn_from
from slopebeat.review.planning.planning import check_day, plan_route, usual_sport
from slopebeat.review.present.figure import aligned_lines
from slopebeat.review.summary import COMPUTATION_VERSION
from slopebeat.review.words.names import key_name, no_climb

SPORTS = {"walk": WALK, "run": RUN, "ride": RIDE}


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Plan the next outing on a way (GPX route or track) from an athlete's own outings: time, "
        "minutes in band, and the speed to hold on each climb."
    )
    common.add_path(parser, "route", tr("the planned way, a GPX file"), metavar=tr("route"))
    parser.add_argument("--way", type=int, metavar="N", help=tr("which way of a file that holds several"))
    _add_sources(parser)
    common.add_band_options(parser)
    common.add_number(
        parser, "--hold", "BPM", tr("mean heart rate the second plan holds (default: the middle of the band)")
    )
    common.add_number(parser, "--target", "MIN", tr("prescribed minutes in band"))
    parser.add_argument("--body-mass", type=float, metavar="KG")
    parser.add_argument("--bike-mass", type=float, metavar="KG")
    common.add_number(parser, "--load", "KG", tr("load carried"), default=0.0)
    common.add_number(parser, "--load-until", "KM", tr("where along the way it is set down"))
    common.add_number(parser, "--hours-out", "H", tr("hours out before the start"), default=0.0)
    common.add_number(parser, "--temperature", "C", tr("air temperature, degrees C"))
    parser.add_argument("--loop", metavar="KM-KM", help=tr("a loop on the way that may be gone again"))
    common.add_json_option(parser)
    common.add_path(parser, "--gpx", tr("write the way with a waypoint per climb"), metavar=tr("PATH"))
    add_speech_options(parser)
    parser.set_defaults(run=run)


def _add_sources(parser: argparse.ArgumentParser) -> None:
    source = parser.add_mutually_exclusive_group()
    common.add_path(source, "--library", tr("learn from the outings in a library (with --athlete: your own)"))
    common.add_path(source, "--from", tr("learn from these recordings"), dest="recordings", nargs="+")
    common.add_athlete(parser, tr("whose outings; needed when there are several"))
    parser.add_argument(
        "--latest",
        type=int,
        default=LATEST_OUTINGS,
        metavar="N",
        help=tr("outings to learn from, the latest"),
    )
    parser.add_argument(
        "--ground", choices=sorted(GROUNDS), help=tr("on foot or on a bike (default: as learnt)")
    )
    parser.add_argument(
        "--sport",
        choices=sorted(SPORTS),
        help=tr("what is planned; one sport never tells of another (default: as learnt)"),
    )


def run(options: argparse.Namespace) -> int | None:
    """Carry out ``slopebeat plan``; the exit status where it is not 0.

    Files are written only once there is a plan: who stops it by Ctrl+C finds nothing half done.
    """
    line = ProgressLine()
    try:
        inputs = (options.route, options.library or library_path(), *(options.recordings or ()))
        common.check_outputs((options.json, options.gpx), inputs)
        with answering(options.json):
            plan, route = _planned(options, line)
        line.clear()
        if options.gpx is not None:
            write_whole(options.gpx, plan_gpx(plan, route))
        with answering(options.json):
            common.give_answer(options.json, lambda: as_text(plan), lambda: as_values(plan))
    except UserError:
        line.clear()
        raise
    except KeyboardInterrupt:
        line.clear()
        print(tr("Stopped; no plan was made."), file=sys.stderr)
        return EXIT_STOPPED
    return None


def _planned(options: argparse.Namespace, line: ProgressLine) -> tuple[RoutePlan, Route]:
    if options.athlete is not None and options.recordings:
        raise UserError(tr("Outings are learnt from files or from an athlete in a library, not from both."))
    conditions, loop = _conditions(options), _loop(options.loop)
    check_day(conditions, options.hold)  # before outings are read, which may take a while
    route, notes = _choose(read_routes(options.route), options.way)
    library = options.library or (None if options.athlete is None else library_path())
    learnt = _from_files(options, line) if library is None else _from_library(library, options, line)
    aim = _aim(options, learnt.aim)
    plan = plan_route(route, learnt.outings, aim, conditions, options.hold, loop, progress=line.planning)
    return replace(plan, warnings=notes + plan.warnings + learnt.warnings), route


def _choose(routes: Sequence[Route], number: int | None) -> tuple[Route, tuple[str, ...]]:
    if number is not None:
        if not 1 <= number <= len(routes):
            refusal = trn(
                "The file holds {n} way; there is no number {number}.",
                "The file holds {n} ways; there is no number {number}.",
                len(routes),
            )
            raise UserError(refusal.format(n=len(routes), number=number))
        return routes[number - 1], ()
    if len(routes) == 1:
        return routes[0], ()
    longest = max(range(len(routes)), key=lambda i: routes[i].length_m)
    text = tr("The file holds {n} ways; this is number {number}, the longest. Choose another with --way.")
    return routes[longest], (text.format(n=len(routes), number=longest + 1),)


def _from_library(place: Path, options: argparse.Namespace, line: ProgressLine) -> PlanInputs:
    if options.latest < 1:
        raise UserError(tr("Learning needs at least one outing; give --latest 1 or more."))
    with Library.open(place) as library:
        who = athlete_of(library, options.athlete)
        if library.stale_outings(COMPUTATION_VERSION, who.identity):
            recompute(library, who.identity, line.learning, few_here=True)
        sport = SPORTS.get(options.sport)
        ground = GROUNDS.get(options.ground) or _ground_of(sport) or _usual_ground(library, who)
        return learn_from(library, who.identity, ground, date.today(), sport, options.latest)


def _ground_of(sport: str | None) -> Ground | None:
    return None if sport is None else Ground.BIKE if sport == RIDE else Ground.FOOT


def _usual_ground(library: Library, who: Athlete) -> Ground:
    grounds = [outing.ground for outing in library.outings.of(who.identity)]
    return Ground.BIKE if grounds.count(Ground.BIKE) > len(grounds) / 2 else Ground.FOOT


def _from_files(options: argparse.Namespace, line: ProgressLine) -> PlanInputs:
    aim = Aim(
        body_mass_kg=DEFAULT_BODY_MASS_KG if options.body_mass is None else options.body_mass,
        bike_mass_kg=DEFAULT_BIKE_MASS_KG if options.bike_mass is None else options.bike_mass,
    )
    _check_masses(aim)
    found: list[OutingEvidence] = []
    paths = options.recordings or ()
    for number, path in enumerate(paths):
        line.learning(number, len(paths), path.name)
        for recording in read_recordings(path):
            found.append(evidence_of(review_recording(recording, aim)))
    on_bike = None if options.ground is None else GROUNDS[options.ground] is Ground.BIKE
    sport = SPORTS.get(options.sport) or usual_sport(found, on_bike)
    outings, lost = latest_of_sport(found, sport, options.latest)
    return PlanInputs(outings, aim, sport, lost)


def _aim(options: argparse.Namespace, known: Aim) -> Aim:
    """The aim learnt with what was said on the command line in its place."""
    band = common.band_given(options) or known.band
    if band is None:
        raise UserError(tr("A plan needs a heart-rate band: give --band LO-HI or --hr-max N."))
    target = known.target_s if options.target is None else 60.0 * options.target
    if not (math.isfinite(target) and 0.0 < target <= 86_400.0):
        raise UserError(tr("A target is a number of minutes, more than none and less than a day."))
    aim = replace(known, band=band, target_s=target)
    if options.body_mass is not None:
        aim = replace(aim, body_mass_kg=options.body_mass)
    if options.bike_mass is not None:
        aim = replace(aim, bike_mass_kg=options.bike_mass)
    _check_masses(aim)
    return aim


def _check_masses(aim: Aim) -> None:
    for refusal, value, least in (
        (mark("A body mass of {value} kg is not plausible."), aim.body_mass_kg, 20.0),
        (mark("A bike mass of {value} kg is not plausible."), aim.bike_mass_kg, 0.0),
    ):
        if not least <= value <= 300.0:
            raise UserError(tr(refusal).format(value=shortest_number(value)))


def _conditions(options: argparse.Namespace) -> Conditions:
    until = None if options.load_until is None else 1000.0 * options.load_until
    return Conditions(options.load, until, options.hours_out, options.temperature)


def _loop(text: str | None) -> tuple[float, float] | None:
    if text is None:
        return None
    try:
        start, end = (1000.0 * float(part) for part in text.split("-"))
    except ValueError:
        refusal = tr("A loop is written as two kilometres, like 1.2-4.7; {text} is not.")
        raise UserError(refusal.format(text=repr(text))) from None
    return start, end


def as_text(plan: RoutePlan) -> str:
    """The plan as a page of text."""
    head = (words.heading(plan), "", words.what_to_expect(plan), "")
    lines = [*head, *_strategies(plan), "", *_climbs(plan.climbs)]
    if plan.laps:
        lines += ["", *(_laps(each) for each in plan.laps)]
    if plan.rule_of_thumb_s is not None:
        thumb = tr("Distance + 7 x ascent at your usual speed: {time}")
        lines += ["", thumb.format(time=duration(plan.rule_of_thumb_s))]
    if plan.references:
        times = [
            (each.name, clock(each.seconds), tr(words.REFERENCE_SOURCES[each.name]))
            for each in plan.references
        ]
        lines += ["", tr("Published walking times for this way, without stops")]
        lines += aligned_lines(times, left=(0, 2), indent="  ")
    if plan.warnings:
        lines += ["", tr("What to know about this plan"), *(f"  {text}" for text in plan.warnings)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _strategies(plan: RoutePlan) -> list[str]:
    rows = (
        ("", *(words.gone(each) for each in plan.strategies)),
        (tr("time"), *(words.span(each.total_s) for each in plan.strategies)),
        (tr("pauses on top"), *(words.span(each.pause_s) for each in plan.strategies)),
        (tr("in band"), *(words.span(each.in_band_s) for each in plan.strategies)),
        (tr("above"), *(words.span(each.above_s) for each in plan.strategies)),
        (tr("below"), *(words.span(each.below_s) for each in plan.strategies)),
        (tr("more to the target"), *(words.span(each.extra_s) for each in plan.strategies)),
    )
    return aligned_lines(rows, left=range(len(rows[0])))


def _climbs(climbs: tuple[PlannedClimb, ...]) -> list[str]:
    if not climbs:
        return [no_climb()]
    return [line for number, climb in enumerate(climbs, start=1) for line in _climb(number, climb)]


def _climb(number: int, climb: PlannedClimb) -> tuple[str, ...]:
    usual, held = climb.usual, climb.held
    head = tr("Climb {number} at {place}, {hold}").format(
        number=number, place=GROUND.text(climb.start_m, 1), hold=words.what_to_hold(climb)
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
        cost=words.span(climb.hold_cost_s),
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
    ).format(n=laps.laps, total=words.span(laps.total_s), **names)
