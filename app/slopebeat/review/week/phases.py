"""Phases compared: what a week held while each lasted, and in the weeks of none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, tzinfo

from slopebeat.analysis.months.weeks import LEAST_SESSION_S, in_days, outing_count
from slopebeat.library.results import Inputs
from slopebeat.model.people import Phase
from slopebeat.review.week.outing import WeekOuting

DAYS_PER_WEEK = 7


@dataclass(frozen=True, eq=False)
class PhaseRow:
    """What an athlete did on some days.

    Attributes
    ----------
    phase : None for the days of no phase, from the first outing on. days : up to today.
    in_band_s, above_s, sessions : a week, over these days. share : of the time with trusted heart rate that
        was in band; None without any.
    """

    phase: Phase | None
    days: int
    outings: int
    in_band_s: float
    above_s: float
    sessions: float
    share: float | None


def phase_rows(
    inputs: Inputs, outings: Sequence[WeekOuting], today: date, home: tzinfo | None = None
) -> tuple[PhaseRow, ...]:
    """Each phase by its first day, then the days of none; nothing where there is no phase.

    A day of two phases counts for both.
    """
    phases = [each for each in inputs.dated.phases if each.first_day <= today]
    if not phases or not outings:
        return ()
    days = [each.outing.local_day(home) for each in outings]
    rows = [
        _row(
            phase,
            (min(phase.last_day or today, today) - phase.first_day).days + 1,
            [one for one, day in zip(outings, days, strict=True) if phase.holds(day)],
        )
        for phase in phases
    ]
    free = [
        number
        for number in range(min(days).toordinal(), today.toordinal() + 1)
        if not any(phase.holds(date.fromordinal(number)) for phase in phases)
    ]
    if free:
        known = set(free)
        rest = [one for one, day in zip(outings, days, strict=True) if day.toordinal() in known]
        rows.append(_row(None, len(free), rest))
    return tuple(rows)


def _row(phase: Phase | None, days: int, outings: Sequence[WeekOuting]) -> PhaseRow:
    known = [each.summary for each in outings if each.summary and each.summary.in_band_s is not None]
    in_band = sum(each.in_band_s or 0.0 for each in known)
    above = sum(each.above_s or 0.0 for each in known)
    trusted = in_band + above + sum(each.below_s or 0.0 for each in known)
    sessions = sum(
        sum(part.in_band_s or 0.0 for _, part in day) >= LEAST_SESSION_S for day in in_days(enumerate(known))
    )
    weeks = days / DAYS_PER_WEEK
    share = in_band / trusted if trusted > 0.0 else None
    count = outing_count(each.summary for each in outings)
    return PhaseRow(phase, days, count, in_band / weeks, above / weeks, sessions / weeks, share)
