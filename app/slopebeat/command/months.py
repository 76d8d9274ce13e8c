"""``slopebeat months --library FILE --athlete NAME``: weeks and trends, on the terminal or as JSON."""

from __future__ import annotations

import argparse
import math
import sys
from pathlib import Path
from typing import Any

from slopebeat.analysis.months.change import Figure
from slopebeat.analysis.months.trend import Trend
from slopebeat.analysis.months.weeks import LEAST_SESSION_S, Choice, Week
from slopebeat.command.common import add_json_option, check_outputs, give_answer
from slopebeat.command.layout import table
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.library.store import Library, default_path
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure as number_text
from slopebeat.model.people import Athlete, Ground
from slopebeat.review.answer import cautions
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.months import Months, Series, review_months
from slopebeat.review.summary import COMPUTATION_VERSION

EXIT_OK, EXIT_WRONG = 0, 2

GROUNDS = {"foot": Ground.FOOT, "bike": Ground.BIKE}


def add_parser(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Describe the command to the argument parser."""
    parser = commands.add_parser(
        "months",
        help=tr("say what months of outings add up to"),
        description=tr(
            "Weeks against the prescription and trends of an athlete's outings, without a window."
        ),
    )
    parser.add_argument(
        "--library", type=Path, metavar=tr("FILE"), help=tr("the library (default: your own)")
    )
    parser.add_argument(
        "--athlete",
        metavar=tr("NAME"),
        help=tr("whose outings; may be left out when there is only one athlete"),
    )
    parser.add_argument("--ground", choices=sorted(GROUNDS), help=tr("only outings on foot, or on a bike"))
    add_json_option(parser)
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Carry out ``slopebeat months``; a sentence on standard error and 2 for what the user can mend."""
    try:
        check_outputs((options.json,), (options.library or default_path(),))
        with answering(options.json):
            _answer(options)
    except UserError as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG
    return EXIT_OK


def _answer(options: argparse.Namespace) -> None:
    with Library.open(options.library or default_path()) as library:
        athlete = _athlete(library, options.athlete)
        summaries = library.results.summaries(athlete.identity).values()
        if library.damage.sentences:
            # A result that cannot be read is computed anew from the file kept of it.
            recompute(library, athlete.identity)
            summaries = library.results.summaries(athlete.identity).values()
        missing = library.outings.count(athlete.identity) - len(summaries)
        stale = len(library.stale_outings(COMPUTATION_VERSION, athlete.identity)) - missing
    choice = Choice(ground=GROUNDS.get(options.ground))
    months = review_months(summaries, athlete.minutes_per_week, athlete.sessions_per_week, choice)
    notes = (*library.damage.sentences, *_notes(missing, stale))
    give_answer(
        options.json, lambda: as_text(athlete, months, notes), lambda: as_values(athlete, months, notes)
    )


def _athlete(library: Library, name: str | None) -> Athlete:
    """The athlete asked for, or the only one there is."""
    everyone = list(library.athletes)
    if name is None and len(everyone) == 1:
        return everyone[0]
    names = ", ".join(athlete.name for athlete in everyone) or tr("none yet")
    if name is None:
        refusal = tr("Say whose outings with --athlete; the library holds: {names}.")
        raise UserError(refusal.format(names=names))
    found = library.athletes.named(name)
    if found is None:
        refusal = tr("The library holds no athlete named {name}; it holds: {names}.")
        raise UserError(refusal.format(name=name, names=names))
    return found


def _notes(missing: int, stale: int) -> tuple[str, ...]:
    """Sentences on outings whose figures are not there, or are of an earlier band or computation."""
    notes = []
    if missing > 0:
        told = trn(
            "{n} outing is not reviewed yet and not in these figures.",
            "{n} outings are not reviewed yet and not in these figures.",
            missing,
        )
        notes.append(told.format(n=missing))
    if stale > 0:
        told = trn(
            "{n} outing was reviewed with another band, load or version; open the library to renew.",
            "{n} outings were reviewed with another band, load or version; open the library to renew.",
            stale,
        )
        notes.append(told.format(n=stale))
    return tuple(notes)


def as_values(athlete: Athlete, months: Months, notes: tuple[str, ...] = ()) -> dict[str, Any]:
    """The months as JSON values: seconds, metres per second, percent; null for unknown."""
    return {
        "athlete": athlete.name,
        "prescribed_minutes_per_week": athlete.minutes_per_week,
        "prescribed_sessions_per_week": athlete.sessions_per_week,
        "least_session_s": LEAST_SESSION_S,
        "outings": len(months.outings),
        "sentences": list(months.sentences),
        "weeks": [_week(week) for week in months.weeks],
        "series": [_series(months, series) for series in months.series],
        "warnings": list(notes),
    }


def _week(week: Week) -> dict[str, Any]:
    names = ("outings", "in_band_s", "recorded_s", "unbanded", "sessions", "missing_s", "missing_sessions")
    values = {name: getattr(week, name) for name in (*names, "met")}
    return {"week": week.iso, "monday": week.monday.isoformat()} | values


def _series(months: Months, series: Series) -> dict[str, Any]:
    points = [
        {
            "start_utc": months.outings[index].start_utc.isoformat(),
            "value": _finite(value),
            "low": _finite(low),
            "high": _finite(high),
        }
        for index, value, low, high in zip(series.outing, series.value, series.low, series.high, strict=True)
    ]
    return {
        "figure": series.figure.name,
        "unit": _stored_unit(series.figure),
        "ground": str(series.ground),
        "terrain": None if series.terrain is None else str(series.terrain),
        "verdict": str(series.verdict.kind),
        "sentence": series.verdict.sentence,
        "left_out": list(series.left_out),
        "trend": _trend(series.trend),
        "points": points,
    }


def _stored_unit(figure: Figure) -> str:
    """Unit of the values as they are kept, which is not always the one shown."""
    return {3.6: "m/s", 100.0: "share"}.get(figure.scale, "percent")


def _trend(found: Trend) -> dict[str, Any]:
    names = ("n", "slope", "slope_low", "slope_high", "intercept", "s", "s_variance", "z", "tau", "p")
    low, high = found.change_interval or (None, None)
    return {
        **{name: getattr(found, name) for name in names},
        "p_method": str(found.p_method),
        "weeks": found.span,
        "change": found.change,
        "change_low": low,
        "change_high": high,
    }


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def as_text(athlete: Athlete, months: Months, notes: tuple[str, ...] = ()) -> str:
    """The months as a page of text for the terminal."""
    outings = trn("{n} outing", "{n} outings", len(months.outings)).format(n=len(months.outings))
    span = trn("{outings} in {n} week", "{outings} in {n} weeks", len(months.weeks))
    head = f"{athlete.name}  |  {span.format(outings=outings, n=len(months.weeks))}"
    lines = [head, "", *months.sentences, "", *_week_lines(months.weeks)]
    doubts = [*notes, *dict.fromkeys(text for series in months.series for text in series.left_out)]
    if doubts:
        lines += ["", tr("What to know about these figures"), *(f"  {text}" for text in doubts)]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _week_lines(weeks: tuple[Week, ...]) -> list[str]:
    if not weeks:
        return []
    heads = (
        *(tr("Week"), tr("outings"), tr("in band min"), tr("sessions")),
        *(tr("missing min"), tr("missing sessions")),
    )
    rows = [
        (
            *(week.iso, str(week.outings), _in_band(week), str(week.sessions)),
            *(_minutes(week.missing_s), number_text(week.missing_sessions)),
        )
        for week in weeks
    ]
    least = tr("A session is an outing with at least {minutes} minutes in band.")
    return [*table((heads, *rows)), least.format(minutes=f"{LEAST_SESSION_S / 60:.0f}")]


def _in_band(week: Week) -> str:
    """Minutes in band; unknown when no outing of the week has a band."""
    return _minutes(None if week.outings and week.unbanded == week.outings else week.in_band_s)


def _minutes(seconds: float | None) -> str:
    return number_text(None if seconds is None else seconds / 60)
