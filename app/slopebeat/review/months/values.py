"""The months of an athlete whose outings are in a library, and as JSON values."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np

from slopebeat.analysis.months.change import ChangeVerdict, FigureChange, GroupChanges
from slopebeat.analysis.months.choice import Choice
from slopebeat.analysis.months.trend import Trend, trend
from slopebeat.analysis.months.weeks import LEAST_SESSION_S, Week
from slopebeat.library.store import Library
from slopebeat.model.language import trn
from slopebeat.model.people import Athlete
from slopebeat.model.units import finite
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.months.changes import (
    FIGURES,
    NOTHING_WORDS,
    YIELD,
    change_sentence,
    left_out_of,
    left_out_rows,
    named_sentences,
)
from slopebeat.review.months.months import ChosenEvidence, Months, Series, review_months
from slopebeat.review.summary import COMPUTATION_VERSION
from slopebeat.review.words.messages import say, stale_sentences

LEAST_TREND_WEEKS = 8
"""Weeks with outings under which the points are described by no slope [project choice]."""

WEEK_NAMES = (
    *("week", "monday", "outings", "in_band_s", "recorded_s", "unbanded", "sessions", "missing_s"),
    *("missing_sessions", "met", "above_s", "break_weeks", "most_above"),
)
"""What is said of a week."""

TOLD = {
    ChangeVerdict.LOWER: "better",
    ChangeVerdict.HIGHER: "worse",
    ChangeVerdict.NOT_TOLD: "no change can be told",
    ChangeVerdict.NOTHING: "nothing can be said",
}


def months_values(athlete: Athlete, months: Months, notes: tuple[str, ...] = ()) -> dict[str, Any]:
    """Weeks, series and changes."""
    now = months.weeks[-1].prescription if months.weeks else None
    return {
        "athlete": athlete.name,
        "prescribed_minutes_per_week": None if now is None else now.minutes_per_week,
        "prescribed_sessions_per_week": None if now is None else now.sessions_per_week,
        "least_session_s": LEAST_SESSION_S,
        "outings": months.count,
        "recordings": len(months.outings),
        "sentences": list(months.sentences),
        "changes": [_change(months, group, change) for group in months.changes for change in group.changes],
        "weeks": [_week(months, week) for week in months.weeks],
        "series": [_series(months, series) for series in months.series],
        "warnings": list(notes),
    }


def _change(months: Months, group: GroupChanges, change: FigureChange) -> dict[str, Any]:
    left_out = left_out_of(group, months.outings)
    return {
        "figure": change.figure,
        "question": str(change.question),
        "change": change.change,
        "low": change.low,
        "high": change.high,
        "detectable": change.detectable,
        "outings": change.outings,
        "left_out": [{"title": each.title, "reason": each.reason} for each in left_out],
        "unit": FIGURES[change.figure].stored,
        "sport": group.group,
        "weeks": change.weeks,
        "told": str(change.verdict),
        "holds_without_doubtful": change.holds,
        "reason": None if change.why is None else NOTHING_WORDS[change.why],
        "sentence": change_sentence(group, change),
        "meanwhile": list(named_sentences(group, months.outings)),
    }


def _week(months: Months, week: Week) -> dict[str, Any]:
    most = None if week.most_above is None else months.outings[week.most_above].title
    own = {"week": week.iso, "monday": week.monday.isoformat(), "most_above": most}
    return {name: own[name] if name in own else getattr(week, name) for name in WEEK_NAMES}


def _series(months: Months, series: Series) -> dict[str, Any]:
    points = [
        {
            "start_utc": months.outings[index].start_utc.isoformat(),
            "value": finite(value),
            "low": finite(low),
            "high": finite(high),
        }
        for index, value, low, high in zip(series.outing, series.value, series.low, series.high, strict=True)
    ]
    return {
        "figure": series.figure.name,
        "unit": series.figure.stored,
        "ground": str(series.ground),
        "terrain": None if series.terrain is None else str(series.terrain),
        "verdict": _verdict(series),
        "left_out": list(series.left_out),
        "left_out_outings": [
            {"title": each.title, "reason": each.reason}
            for each in left_out_rows(series.not_drawn, months.outings)
        ],
        "trend": _trend(series),
        "points": points,
    }


def _verdict(series: Series) -> str:
    """What the model says of the figure; a share in band is no measure of fitness and is not judged."""
    if series.figure is YIELD:
        return "not judged"
    return TOLD[ChangeVerdict.NOTHING if series.change is None else series.change.verdict]


def _trend(series: Series) -> dict[str, Any] | None:
    """The points described by a line through the medians of weeks; it judges nothing."""
    week = np.floor(series.week)
    weeks = np.unique(week)
    if weeks.size < LEAST_TREND_WEEKS:
        return None
    found: Trend = trend(weeks, [np.median(series.value[week == each]) for each in weeks])
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


def months_of(library: Library, athlete: Athlete, choice: Choice) -> tuple[Months, tuple[str, ...]]:
    """The months of the outings chosen, and sentences on what is missing or damaged in them.

    Weeks run to today, or to the last day chosen where that is earlier.
    """
    results = library.results
    summaries, kept = results.summaries(athlete.identity), results.evidence(athlete.identity)
    if library.damage.found:
        # A result that cannot be read is computed anew from the file kept of it.
        recompute(library, athlete.identity, few_here=True)
        summaries, kept = results.summaries(athlete.identity), results.evidence(athlete.identity)
    taught = {each.identity: ChosenEvidence(each.evidence, each.teaches) for each in kept}
    teaching = {id(one): taught[identity] for identity, one in summaries.items() if identity in taught}
    missing = library.outings.count(athlete.identity) - len(summaries)
    stale = len(library.stale_outings(COMPUTATION_VERSION, athlete.identity)) - missing
    prescribed = library.inputs(athlete.identity).prescribed
    until = min(choice.last_day or date.max, date.today())
    months = review_months(summaries.values(), prescribed, choice, teaching, until=until)
    return months, (*map(say, library.damage.found), *_missing(missing), *stale_sentences(stale))


def _missing(count: int) -> tuple[str, ...]:
    """A sentence on outings whose figures are not there."""
    text = trn(
        "{n} outing is not reviewed yet and not in these figures.",
        "{n} outings are not reviewed yet and not in these figures.",
        count,
    )
    return (text.format(n=count),) if count > 0 else ()
