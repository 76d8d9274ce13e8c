"""Ground that an athlete went before: its places with every pass, and what the days say at equal speed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import log

import numpy as np

from slopebeat.analysis.ground.equal_speed import (
    LEAST_DAYS,
    POWER,
    SPEED,
    WORK,
    DayLevels,
    Halves,
    Passes,
    Slope,
    at_equal_speed,
    day_levels,
    later_half,
    pass_sd_bpm,
    slope_between_days,
)
from slopebeat.library.places import KeptPass
from slopebeat.model.evidence import POWER as BY_METER
from slopebeat.model.recording import local_day
from slopebeat.model.way import Place, WayFacts

MUCH_STOPPED_SHARE = 0.1
"""Of a pass; with more standing its heart rate is not compared [project choice]."""

NEAR_END_M = 500.0
"""Places that come nearer to where outings begin or end can be left out [project choice]."""


@dataclass(frozen=True)
class Group:
    """Outings whose heart rates are compared at a place; a change of any of these splits it.

    Attributes
    ----------
    sport : as the recording has it. work_source : key, None where unknown.
    """

    sport: str
    on_bike: bool
    work_source: str | None

    @classmethod
    def of(cls, facts: WayFacts) -> Group:
        return cls(facts.sport, facts.on_bike, facts.work_source)

    @property
    def effort_from(self) -> str:
        """What tells how fast a place was gone."""
        if not self.on_bike:
            return WORK
        return POWER if self.work_source == BY_METER else SPEED


@dataclass(frozen=True, eq=False)
class PassRow:
    """One pass over a place.

    Attributes
    ----------
    equal_bpm : heart rate at the place's usual speed; None where it is not compared.
    """

    kept: KeptPass
    day: date
    group: Group
    equal_bpm: float | None


@dataclass(frozen=True, eq=False)
class GroupAtPlace:
    """What a group did at a place.

    ``days`` are those it can be compared on, ``change`` the later half of them against the earlier.
    """

    group: Group
    passes: int
    first_day: date
    last_day: date
    days: int
    change: Halves | None


@dataclass(frozen=True, eq=False)
class PlaceRow:
    """A place with its passes, the earliest first, and its groups, that with most days first."""

    number: int
    place: Place
    passes: tuple[PassRow, ...]
    groups: tuple[GroupAtPlace, ...]

    @property
    def days(self) -> int:
        """Days it was gone on."""
        return len({row.day for row in self.passes})

    @property
    def first_day(self) -> date:
        return self.passes[0].day

    @property
    def last_day(self) -> date:
        return self.passes[-1].day


@dataclass(frozen=True, eq=False)
class GroupLevels:
    """The days of a group over all its places."""

    group: Group
    slope: Slope
    days: tuple[date, ...]
    levels: DayLevels
    change: Halves | None


@dataclass(frozen=True, eq=False)
class GroundReview:
    """All places of an athlete, those that can be compared on most days first.

    ``left_out`` counts places near where outings begin or end, where the athlete wants them left out.
    """

    places: tuple[PlaceRow, ...]
    levels: tuple[GroupLevels, ...]
    left_out: int = 0


NO_GROUND = GroundReview((), ())


def review_ground(
    places: Sequence[Place], passes: Sequence[KeptPass], without_ends: bool = False
) -> GroundReview:
    """Set the passes over places side by side.

    Parameters
    ----------
    passes : of one athlete, the earliest first.
    without_ends : whether places near where outings begin or end are left out.
    """
    near = {each.place for each in passes if each.figures.from_ends_m < NEAR_END_M} if without_ends else set()
    known = {place.identity: place for place in places}
    here = [each for each in passes if each.place in known and each.place not in near]
    by_outing = _told(here)
    equal: dict[int, float] = {}
    levels = []
    for group in dict.fromkeys(group for _, group in by_outing.values()):
        found = _levels(group, here, by_outing, equal)
        if found is not None:
            levels.append(found)
    rows: dict[int, list[PassRow]] = {}
    for at, each in enumerate(here):
        row = PassRow(each, *by_outing[each.outing], equal.get(at))
        rows.setdefault(each.place, []).append(row)
    made = [
        PlaceRow(identity, known[identity], tuple(of_place), _groups(of_place))
        for identity, of_place in rows.items()
        if len({row.kept.outing for row in of_place}) > 1
    ]
    made.sort(key=lambda row: (-row.groups[0].days, -row.days, row.number))
    levels.sort(key=lambda each: -len(each.days))
    return GroundReview(tuple(made), tuple(levels), len(near & set(known)))


def _told(passes: Sequence[KeptPass]) -> dict[str, tuple[date, Group]]:
    """Day and group of each outing, worked out once for all its passes."""
    found: dict[str, tuple[date, Group]] = {}
    for each in passes:
        if each.outing not in found:
            day = local_day(each.facts.start_utc, each.facts.utc_offset_s)
            found[each.outing] = (day, Group.of(each.facts))
    return found


def effort_of(each: KeptPass) -> float | None:
    """How fast a pass was, by what tells it for its group; None where that is not known."""
    figures = each.figures
    if Group.of(each.facts).effort_from != SPEED:
        return figures.work_w_per_kg
    return log(figures.speed_mps) if figures.speed_mps else None


def much_stopped(each: KeptPass) -> bool:
    """Whether more of a pass was stood than lets its heart rate be compared."""
    return each.figures.stopped_s > MUCH_STOPPED_SHARE * each.figures.elapsed_s


class NotCompared(StrEnum):
    """Why the heart rate of a pass is not compared."""

    NO_HEART_RATE = "no_heart_rate"
    STOOD = "stood"
    NO_EFFORT = "no_effort"


def not_compared(each: KeptPass) -> NotCompared | None:
    """Why the heart rate of a pass is not compared; None where it is."""
    if each.figures.hr_bpm is None:
        return NotCompared.NO_HEART_RATE
    if much_stopped(each):
        return NotCompared.STOOD
    return NotCompared.NO_EFFORT if effort_of(each) is None else None


def _levels(
    group: Group,
    passes: Sequence[KeptPass],
    by_outing: dict[str, tuple[date, Group]],
    equal: dict[int, float],
) -> GroupLevels | None:
    """The days of a group; heart rates at equal speed go into ``equal`` by the number of the pass."""
    own = {outing: day for outing, (day, theirs) in by_outing.items() if theirs == group}
    chosen, efforts = [], []
    for at, each in enumerate(passes):
        if each.outing in own and not_compared(each) is None:
            chosen.append(at)
            efforts.append(effort_of(each))
    if not chosen:
        return None
    days = sorted({own[passes[at].outing] for at in chosen})
    numbers = {day: number for number, day in enumerate(days)}
    compared = Passes(
        np.array([passes[at].place for at in chosen], dtype=np.intp),
        np.array([numbers[own[passes[at].outing]] for at in chosen], dtype=np.intp),
        np.array(efforts, dtype=float),
        np.array([passes[at].figures.hr_bpm for at in chosen], dtype=float),
        group.effort_from,
    )
    slope = slope_between_days(compared)
    corrected = at_equal_speed(compared, slope)
    equal.update(zip(chosen, corrected.tolist(), strict=True))
    levels = day_levels(compared, corrected)
    change = later_half(levels.level_bpm, levels.sd_bpm)
    return GroupLevels(group, slope, tuple(days[day] for day in levels.day.tolist()), levels, change)


def _groups(rows: Sequence[PassRow]) -> tuple[GroupAtPlace, ...]:
    found = []
    for group in dict.fromkeys(row.group for row in rows):
        own = [row for row in rows if row.group == group]
        by_day: dict[date, list[float]] = {}
        for row in own:
            if row.equal_bpm is not None:
                by_day.setdefault(row.day, []).append(row.equal_bpm)
        level = np.array([float(np.mean(each)) for each in by_day.values()])
        sd = np.array([pass_sd_bpm(len(each)) for each in by_day.values()])
        change = later_half(level, sd) if level.size >= LEAST_DAYS else None
        found.append(GroupAtPlace(group, len(own), own[0].day, own[-1].day, len(by_day), change))
    return tuple(sorted(found, key=lambda each: -each.days))
