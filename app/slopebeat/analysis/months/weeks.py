"""Minutes in band and sessions per calendar week against what was prescribed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum

from slopebeat.analysis.months.choice import day_of
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Prescription
from slopebeat.model.track import LEAST_COVERAGE

Prescribed = Callable[[date], Prescription]
"""Gives the prescription in force on a day."""

LEAST_SESSION_S = 20 * 60.0
"""Time in band from which an outing counts as a session [project choice]: about half of the usual
prescription of 45 minutes. The minutes of shorter ones count all the same."""

SHORTEST_OUTING_S = 20 * 60.0
"""A shorter recording is counted apart: no session can come of it [project choice]."""

MEAN_WEEKS = 4
"""Weeks of a running mean [project choice]."""

LONGEST_EMPTY_WEEKS = 4
"""More weeks in a row without an outing are a break: they are folded, no prescription is held against them,
and no mean counts them [project choice]."""


class Apart(StrEnum):
    """Why an outing is counted apart: what it was worth in band is not known, or too little to tell."""

    NO_BAND = "no band in force"
    NO_HEART_RATE = "too little heart rate"
    SHORT = "too short"


def apart(outing: OutingSummary) -> Apart | None:
    """Why an outing is counted apart, None for one that is not."""
    if outing.in_band_s is None:
        return Apart.NO_BAND
    if outing.no_hr_s is not None and outing.no_hr_s > (1.0 - LEAST_COVERAGE) * outing.recorded_s:
        return Apart.NO_HEART_RATE
    return Apart.SHORT if outing.recorded_s < SHORTEST_OUTING_S else None


@dataclass(frozen=True)
class EdgesOff:
    """Seconds above and below with one edge of the band ``EDGE_OFF_BPM`` lower (down) or higher (up)."""

    above_upper_down_s: float
    above_upper_up_s: float
    below_lower_down_s: float
    below_lower_up_s: float


@dataclass(frozen=True)
class Week:
    """One ISO 8601 week, Monday to Sunday.

    Attributes
    ----------
    monday : its first day. over : whether it has ended; no prescription is held against one under way.
    outings : all of it, sessions or not; the parts of a day are one. apart : those counted apart, index among
        the outings given and why; of a day its longest part, where all parts are.
    in_band_s, above_s, below_s, no_hr_s : of all outings with a band.
    edges_off : the same with other edges; None where an outing has them not.
    sessions : outings with at least ``LEAST_SESSION_S`` in band.
    prescription : in force on its last day, None where nothing was prescribed.
    missing_s, missing_sessions : to the prescription, never negative; None without one.
    most_above : index of the outing that made most of ``above_s``, None where there is none.
    break_weeks : weeks of a break folded just before this one.
    mean_in_band_s, mean_above_s : of four weeks, this one the last; None before there are four since the
        first or the last break, while it is under way, and where one of them holds only what is unknown.
    """

    monday: date
    outings: int = 0
    in_band_s: float = 0.0
    recorded_s: float = 0.0
    sessions: int = 0
    missing_s: float | None = None
    missing_sessions: int | None = None
    above_s: float = 0.0
    below_s: float = 0.0
    no_hr_s: float = 0.0
    most_above: int | None = None
    break_weeks: int = 0
    over: bool = True
    apart: tuple[tuple[int, Apart], ...] = ()
    edges_off: EdgesOff | None = None
    prescription: Prescription | None = None
    mean_in_band_s: float | None = None
    mean_above_s: float | None = None

    @property
    def iso(self) -> str:
        """ISO 8601 name, for example ``2026-W28``."""
        year, week, _ = self.monday.isocalendar()
        return f"{year}-W{week:02d}"

    @property
    def minutes_asked(self) -> float | None:
        """Minutes in band prescribed, None where none are."""
        return None if self.prescription is None else self.prescription.minutes_per_week

    @property
    def unbanded(self) -> int:
        """Outings that had no band, whose minutes are unknown."""
        return sum(why is Apart.NO_BAND for _, why in self.apart)

    @property
    def unknown(self) -> bool:
        """Whether nothing of it is known: every outing had no band or too little heart rate."""
        return 0 < self.outings == sum(why is not Apart.SHORT for _, why in self.apart)

    @property
    def met(self) -> bool | None:
        """Whether all that was prescribed was done.

        None without a prescription and, where it was not done, for a week that is under way, that holds
        nothing but outings counted apart, or one whose minutes are not known: none of these has failed.
        """
        asked = [gap for gap in (self.missing_s, self.missing_sessions) if gap is not None]
        if not asked:
            return None
        if all(gap == 0 for gap in asked):
            return True
        cannot_tell = any(why is not Apart.SHORT for _, why in self.apart)
        if not self.over or cannot_tell or 0 < self.outings == len(self.apart):
            return None
        return False

    @property
    def too_much_above(self) -> bool | None:
        """Whether more was above the band than the user's own limit; None where none is set."""
        limit = None if self.prescription is None else self.prescription.most_above_minutes
        return None if limit is None else self.above_s > limit * 60.0


Row = tuple[int, OutingSummary]
"""An outing and the index it goes by."""


def in_days(rows: Iterable[Row]) -> list[list[Row]]:
    """The parts of each day together, every other outing by itself."""
    days: dict[object, list[Row]] = {}
    for index, outing in rows:
        days.setdefault(index if outing.day is None else outing.day, []).append((index, outing))
    return list(days.values())


def outing_count(outings: Iterable[OutingSummary | None]) -> int:
    """How many outings these recordings are, the parts of a day as one; what is not computed is one."""
    days = [None if outing is None else outing.day for outing in outings]
    return days.count(None) + len({day for day in days if day is not None})


def _day_apart(day: Sequence[Row]) -> tuple[int, Apart] | None:
    """The part that stands for a day that is counted apart, and why; None for a day that is not.

    Short parts make a session together; of what has no band or too little heart rate nothing is known.
    """
    reasons = [apart(outing) for _, outing in day]
    long_enough = sum(outing.recorded_s for _, outing in day) >= SHORTEST_OUTING_S
    if any(why is None or (why is Apart.SHORT and long_enough) for why in reasons):
        return None
    at = max(range(len(day)), key=lambda i: day[i][1].recorded_s)
    why = reasons[at]
    return None if why is None else (day[at][0], why)


def monday_of(day: date) -> date:
    return day - timedelta(days=day.weekday())


def weeks(
    outings: Iterable[OutingSummary],
    prescribed: Prescribed | None = None,
    *,
    until: date | None = None,
    least_session_s: float = LEAST_SESSION_S,
) -> tuple[Week, ...]:
    """ISO weeks from the first outing to the last (or to ``until``, if later), long breaks folded.

    Parameters
    ----------
    prescribed : the prescription in force on a day.
    until : today: the week that holds it is under way; None = all are over.
    """
    by_week: dict[date, list[Row]] = {}
    for day in in_days(enumerate(outings)):
        # A night through from Sunday to Monday is of the week it began in.
        first = min((outing for _, outing in day), key=lambda outing: outing.start_utc)
        by_week.setdefault(monday_of(day_of(first)), []).extend(day)
    if not by_week:
        return ()
    last = max(by_week) if until is None else max(*by_week, monday_of(until))
    found: list[Week] = []
    before: date | None = None
    for monday in sorted({*by_week, last}):
        empty = 0 if before is None else (monday - before).days // 7 - 1
        folded = empty if empty > LONGEST_EMPTY_WEEKS else 0
        mondays = [monday - timedelta(weeks=i) for i in range(empty if not folded else 0, -1, -1)]
        made = [week_of(each, by_week.get(each, []), prescribed, until, least_session_s) for each in mondays]
        found += [replace(made[0], break_weeks=folded), *made[1:]]
        before = monday
    return _with_means(found)


def week_of(
    monday: date,
    rows: Sequence[Row],
    prescribed: Prescribed | None = None,
    until: date | None = None,
    least_session_s: float = LEAST_SESSION_S,
) -> Week:
    """One week from its outings, each with the index it goes by."""
    outings, days = [outing for _, outing in rows], in_days(rows)
    counted = [sum(outing.in_band_s or 0.0 for _, outing in day) for day in days]
    above = {index: outing.above_s for index, outing in rows if outing.above_s}
    sessions = sum(seconds >= least_session_s for seconds in counted)
    sunday = monday + timedelta(days=6)
    asked = None if prescribed is None else prescribed(sunday)
    minutes = None if asked is None else asked.minutes_per_week
    wanted = None if asked is None else asked.sessions_per_week
    return Week(
        monday=monday,
        outings=len(days),
        in_band_s=float(sum(counted)),
        recorded_s=float(sum(outing.recorded_s for outing in outings)),
        sessions=sessions,
        missing_s=None if minutes is None else max(0.0, minutes * 60.0 - sum(counted)),
        missing_sessions=None if wanted is None else max(0, wanted - sessions),
        above_s=float(sum(above.values())),
        below_s=float(sum(outing.below_s or 0.0 for outing in outings)),
        no_hr_s=float(sum(outing.no_hr_s or 0.0 for outing in outings)),
        most_above=max(above, key=lambda index: above[index], default=None),
        over=until is None or sunday < until,
        apart=tuple(found for day in days if (found := _day_apart(day)) is not None),
        edges_off=_edges_off(outings),
        prescription=asked,
    )


def _edges_off(outings: Iterable[OutingSummary]) -> EdgesOff | None:
    names = [field.name for field in fields(EdgesOff)]
    rows = [[getattr(o, name) for name in names] for o in outings if o.in_band_s is not None]
    if not rows or any(value is None for row in rows for value in row):
        return None
    return EdgesOff(*(float(sum(column)) for column in zip(*rows, strict=True)))


def _with_means(found: list[Week]) -> tuple[Week, ...]:
    """The weeks with the means of four."""
    made: list[Week] = []
    since = 0
    for at, week in enumerate(found):
        since = at if week.break_weeks else since
        last = found[at + 1 - MEAN_WEEKS : at + 1] if at + 1 - since >= MEAN_WEEKS else []
        if last and week.over and not any(each.unknown for each in last):
            in_band, above = (
                sum(getattr(w, name) for w in last) / MEAN_WEEKS for name in ("in_band_s", "above_s")
            )
            week = replace(week, mean_in_band_s=in_band, mean_above_s=above)
        made.append(week)
    return tuple(made)


def weeks_since(moment: datetime, origin: datetime) -> float:
    """Time from ``origin`` to ``moment`` in weeks; both aware."""
    return (moment.astimezone(UTC) - origin.astimezone(UTC)).total_seconds() / (7 * 86400.0)
