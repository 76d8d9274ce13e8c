"""What a week was for every athlete of a library, the weeks before it, and the phases they lay in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from slopebeat.analysis.months.choice import Choice
from slopebeat.analysis.months.weeks import (
    LEAST_SESSION_S,
    Week,
    in_days,
    monday_of,
    outing_count,
    week_of,
    weeks,
)
from slopebeat.library.outings import StoredOuting
from slopebeat.library.results import Inputs
from slopebeat.library.store import Library
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.notes import NoteKind
from slopebeat.model.people import Athlete, Phase
from slopebeat.model.recording import shown_title

DAYS_PER_WEEK = 7


@dataclass(frozen=True, eq=False)
class WeekOuting:
    """One outing of a week.

    Attributes
    ----------
    summary : None until it was computed. reviewed_utc : when somebody ticked it off, None while nobody has.
    new_notes : notes written or changed after that, all where nobody has.
    """

    outing: StoredOuting
    summary: OutingSummary | None
    reviewed_utc: datetime | None = None
    new_notes: int = 0

    @property
    def name(self) -> str:
        return shown_title(self.outing.title, self.outing.file_name)


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


def phase_rows(inputs: Inputs, outings: Sequence[WeekOuting], today: date) -> tuple[PhaseRow, ...]:
    """Each phase by its first day, then the days of none; nothing where there is no phase.

    A day of two phases counts for both.
    """
    phases = [each for each in inputs.dated.phases if each.first_day <= today]
    if not phases or not outings:
        return ()
    days = [each.outing.local_day() for each in outings]
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


@dataclass(frozen=True, eq=False)
class WeekRow:
    """One week of one athlete, with what goes by name in it."""

    athlete: str
    week: Week
    most_above: str | None = None
    apart: tuple[str, ...] = ()
    phases: tuple[Phase, ...] = ()


@dataclass(frozen=True, eq=False)
class AthleteWeek:
    """One athlete in one week, a row of the board.

    Attributes
    ----------
    row : the week. weeks : all of the athlete's up to today, long breaks folded.
    outings : those of the week, the earliest first.
    last : the latest outing up to the end of the week, in it or before; None where there is none.
    """

    inputs: Inputs
    row: WeekRow
    weeks: tuple[WeekRow, ...]
    outings: tuple[WeekOuting, ...]
    last: WeekOuting | None
    phases: tuple[PhaseRow, ...] = ()

    @property
    def athlete(self) -> Athlete:
        return self.inputs.athlete

    @property
    def week(self) -> Week:
        return self.row.week

    @property
    def to_review(self) -> tuple[WeekOuting, ...]:
        """Outings of the week nobody has ticked off."""
        return tuple(each for each in self.outings if each.reviewed_utc is None)

    @property
    def new_notes(self) -> int:
        return sum(each.new_notes for each in self.outings)

    @property
    def doubts(self) -> int:
        """Marks of the week's outings nobody has decided on."""
        return sum(each.summary.doubts or 0 for each in self.outings if each.summary is not None)

    @property
    def coverage(self) -> float | None:
        """Share of the recorded time with trusted heart rate, where there is a band; None without any."""
        with_band = [o.summary for o in self.outings if o.summary and o.summary.no_hr_s is not None]
        recorded = sum(each.recorded_s for each in with_band)
        silent = sum(each.no_hr_s or 0.0 for each in with_band)
        return 1.0 - silent / recorded if recorded > 0.0 else None


@dataclass(frozen=True, eq=False)
class Board:
    """All athletes in the week of a Monday, by name. today : it decides what is over."""

    monday: date
    today: date
    rows: tuple[AthleteWeek, ...] = ()


def read_board(library: Library, day: date, today: date) -> Board:
    """The week that holds ``day``."""
    monday = monday_of(day)
    rows = tuple(athlete_week(library, who.identity, monday, today) for who in library.athletes)
    return Board(monday, today, rows)


def athlete_week(library: Library, identity: str, monday: date, today: date) -> AthleteWeek:
    """One athlete in the week of a Monday; KeyError for an unknown one."""
    inputs = library.inputs(identity)
    everything = read_outings(library, identity)
    sunday = monday + timedelta(days=6)
    days = [each.outing.local_day() for each in everything]
    here = tuple(one for one, day in zip(everything, days, strict=True) if monday <= day <= sunday)
    before = [one for one, day in zip(everything, days, strict=True) if day <= sunday]
    rows = week_rows(inputs, everything, today)
    row = next((each for each in rows if each.week.monday == monday), None)
    if row is None:
        empty = week_of(monday, (), inputs.prescribed, today)
        row = WeekRow(inputs.athlete.name, empty, phases=_phases(inputs, monday))
    phases = phase_rows(inputs, everything, today)
    return AthleteWeek(inputs, row, rows, here, before[-1] if before else None, phases)


def read_outings(library: Library, identity: str) -> tuple[WeekOuting, ...]:
    """All outings of an athlete with what a week asks of them, the earliest first."""
    summaries, ticked = library.results.summaries(identity), library.ticks.of(identity)
    notes = library.notes.by_outing(identity, tuple(NoteKind))
    made = []
    for outing in library.outings.of(identity):
        since = ticked.get(outing.identity)
        new = [n for n in notes.get(outing.identity, ()) if since is None or n.changed_utc > since]
        made.append(WeekOuting(outing, summaries.get(outing.identity), since, len(new)))
    return tuple(made)


def week_rows(
    inputs: Inputs,
    outings: Sequence[WeekOuting],
    today: date,
    choice: Choice | None = None,
) -> tuple[WeekRow, ...]:
    """The weeks of an athlete up to the one that holds ``today``, long breaks folded.

    ``choice``: only the outings it keeps; those that are not computed yet are in no week.
    """
    known = [each for each in outings if each.summary is not None]
    if choice is not None:
        known = [each for each in known if each.summary is not None and choice.keeps(each.summary)]
    summaries = [each.summary for each in known if each.summary is not None]
    made = weeks(summaries, inputs.prescribed, until=today)
    return tuple(
        WeekRow(
            inputs.athlete.name,
            week,
            None if week.most_above is None else known[week.most_above].name,
            tuple(known[index].name for index, _ in week.apart),
            _phases(inputs, week.monday),
        )
        for week in made
    )


def _phases(inputs: Inputs, monday: date) -> tuple[Phase, ...]:
    days = [monday + timedelta(days=number) for number in range(7)]
    return tuple(each for each in inputs.dated.phases if any(map(each.holds, days)))
