"""Minutes in band and sessions per calendar week against what was prescribed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, tzinfo
from enum import StrEnum

from slopebeat.model.evidence import OutingSummary
from slopebeat.model.people import Ground
from slopebeat.model.recording import local_day

LEAST_SESSION_S = 20 * 60.0
"""Time in band from which an outing counts as a session [project choice]: about half of the usual
prescription of 45 minutes. The minutes of shorter ones count all the same."""

LONGEST_EMPTY_WEEKS = 4
"""More weeks in a row without an outing are a break: they are folded, no prescription is held against them,
and no mean counts them [project choice]."""

MIXED_FROM, STEEP_FROM = 0.20, 0.60
"""Shares of moving time on grades over 3 % from which ground is called mixed and steep [project choice];
0.20 is also where terrain decides the plain decoupling."""


class Terrain(StrEnum):
    """How much of an outing was on grades over 3 %, up or down."""

    GENTLE = "gentle"
    MIXED = "mixed"
    STEEP = "steep"


def terrain_of(outing: OutingSummary) -> Terrain | None:
    """Terrain class of an outing; None where its grades are unknown."""
    share = outing.steep_share
    if share is None:
        return None
    if share >= STEEP_FROM:
        return Terrain.STEEP
    return Terrain.MIXED if share >= MIXED_FROM else Terrain.GENTLE


def ground_of(outing: OutingSummary) -> Ground:
    return Ground.BIKE if outing.on_bike else Ground.FOOT


def day_of(outing: OutingSummary, home: tzinfo | None = None) -> date:
    """Day of the outing where it happened; ``home`` stands in where the file knows no local time."""
    return local_day(outing.start_utc, outing.utc_offset_s, home)


@dataclass(frozen=True)
class Choice:
    """Which outings to look at; None or empty = all.

    Attributes
    ----------
    shortest_s, longest_s : of recorded time, both inside. terrains : an outing of unknown terrain is only
        kept when this is empty. heaviest_load_kg : load carried at most, inside; lightest_load_kg : at least.
    first_day, last_day : local days, both inside.
    """

    ground: Ground | None = None
    sports: frozenset[str] = frozenset()
    shortest_s: float | None = None
    longest_s: float | None = None
    terrains: frozenset[Terrain] = frozenset()
    lightest_load_kg: float | None = None
    heaviest_load_kg: float | None = None
    first_day: date | None = None
    last_day: date | None = None

    def keeps(self, outing: OutingSummary, home: tzinfo | None = None) -> bool:
        """Whether an outing is one of those looked at."""
        return (
            (self.ground is None or ground_of(outing) is self.ground)
            and (not self.sports or outing.sport in self.sports)
            and _inside(outing.recorded_s, self.shortest_s, self.longest_s)
            and (not self.terrains or terrain_of(outing) in self.terrains)
            and _inside(outing.load_kg, self.lightest_load_kg, self.heaviest_load_kg)
            and self._day_inside(outing, home)
        )

    def _day_inside(self, outing: OutingSummary, home: tzinfo | None) -> bool:
        if self.first_day is None and self.last_day is None:
            return True
        day = day_of(outing, home)
        return (self.first_day is None or day >= self.first_day) and (
            self.last_day is None or day <= self.last_day
        )


def _inside(value: float, low: float | None, high: float | None) -> bool:
    return (low is None or value >= low) and (high is None or value <= high)


@dataclass(frozen=True)
class Week:
    """One ISO 8601 week, Monday to Sunday.

    Attributes
    ----------
    monday : its first day. outings : all of it, sessions or not.
    in_band_s : of all outings with a band. unbanded : outings that had no band, whose minutes are unknown.
    sessions : outings with at least ``LEAST_SESSION_S`` in band.
    missing_s, missing_sessions : to the prescription, never negative; None without one.
    above_s : over the band, of all outings with a band; most_above : index among the outings given of the one
        that made most of it, None where there is none.
    break_weeks : weeks of a break folded just before this one.
    """

    monday: date
    outings: int = 0
    in_band_s: float = 0.0
    recorded_s: float = 0.0
    unbanded: int = 0
    sessions: int = 0
    missing_s: float | None = None
    missing_sessions: int | None = None
    above_s: float = 0.0
    most_above: int | None = None
    break_weeks: int = 0

    @property
    def iso(self) -> str:
        """ISO 8601 name, for example ``2026-W28``."""
        year, week, _ = self.monday.isocalendar()
        return f"{year}-W{week:02d}"

    @property
    def met(self) -> bool | None:
        """Whether all that was prescribed was done; None without a prescription."""
        asked = [gap for gap in (self.missing_s, self.missing_sessions) if gap is not None]
        return all(gap == 0 for gap in asked) if asked else None


def monday_of(day: date) -> date:
    return day - timedelta(days=day.weekday())


def weeks(
    outings: Iterable[OutingSummary],
    minutes_per_week: float | None = None,
    sessions_per_week: int | None = None,
    *,
    home: tzinfo | None = None,
    until: date | None = None,
    least_session_s: float = LEAST_SESSION_S,
) -> tuple[Week, ...]:
    """ISO weeks from the first outing to the last (or to ``until``, if later), long breaks folded.

    Parameters
    ----------
    minutes_per_week, sessions_per_week : the prescription, None where nothing was prescribed.
    home : time zone for outings whose file knows no local time; None = this computer's.
    """
    by_week: dict[date, list[tuple[int, OutingSummary]]] = {}
    for index, outing in enumerate(outings):
        by_week.setdefault(monday_of(day_of(outing, home)), []).append((index, outing))
    if not by_week:
        return ()
    last = max(by_week) if until is None else max(*by_week, monday_of(until))
    found: list[Week] = []
    before: date | None = None
    for monday in sorted({*by_week, last}):
        empty = 0 if before is None else (monday - before).days // 7 - 1
        folded = empty if empty > LONGEST_EMPTY_WEEKS else 0
        mondays = [monday - timedelta(weeks=i) for i in range(empty if not folded else 0, -1, -1)]
        prescribed = (minutes_per_week, sessions_per_week, least_session_s)
        made = [_week(each, by_week.get(each, []), *prescribed) for each in mondays]
        found += [replace(made[0], break_weeks=folded), *made[1:]]
        before = monday
    return tuple(found)


def _week(
    monday: date,
    rows: list[tuple[int, OutingSummary]],
    minutes: float | None,
    asked: int | None,
    least_s: float,
) -> Week:
    outings = [outing for _, outing in rows]
    counted = [outing.in_band_s for outing in outings if outing.in_band_s is not None]
    above = {index: outing.above_s for index, outing in rows if outing.above_s}
    in_band, sessions = sum(counted), sum(seconds >= least_s for seconds in counted)
    return Week(
        monday=monday,
        outings=len(outings),
        in_band_s=float(in_band),
        recorded_s=float(sum(outing.recorded_s for outing in outings)),
        unbanded=len(outings) - len(counted),
        sessions=sessions,
        missing_s=None if minutes is None else max(0.0, minutes * 60.0 - in_band),
        missing_sessions=None if asked is None else max(0, asked - sessions),
        above_s=float(sum(above.values())),
        most_above=max(above, key=lambda index: above[index], default=None),
    )


def weeks_since(moment: datetime, origin: datetime) -> float:
    """Time from ``origin`` to ``moment`` in weeks; both aware."""
    return (moment.astimezone(UTC) - origin.astimezone(UTC)).total_seconds() / (7 * 86400.0)
