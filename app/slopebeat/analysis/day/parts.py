"""A day in parts: which recordings are one outing, and one time account over them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.model.numerics import great_circle_m


@dataclass(frozen=True)
class DayAccount:
    """Every second from the first record of the day to the last in exactly one cell, or between two parts.

    Attributes
    ----------
    parts : the cells of all parts summed; its span is the sum of theirs.
    between_s : seconds from the end of each part to the start of the next, one fewer than there are parts.
    """

    parts: TimeAccount
    between_s: tuple[float, ...]

    @property
    def all_between_s(self) -> float:
        return sum(self.between_s)

    @property
    def span_s(self) -> float:
        """From the first record of the day to the last."""
        return self.parts.span_s + self.all_between_s


def sum_accounts(accounts: Sequence[TimeAccount], between_s: Sequence[float]) -> DayAccount:
    """The account of a day from those of its parts, each counted against its own band.

    Raises
    ------
    ValueError
        When there is not one time between each part and the next, or one is negative: a second that was
        recorded twice would be counted twice.
    """
    if len(between_s) != len(accounts) - 1 or any(each < 0.0 for each in between_s):
        raise ValueError("the parts of a day follow one another")
    return DayAccount(
        TimeAccount(
            {state: sum(each.moving[state] for each in accounts) for state in BandState},
            {state: sum(each.stopped[state] for each in accounts) for state in BandState},
            sum(each.pause_s for each in accounts),
            sum(each.gap_s for each in accounts),
            sum(each.span_s for each in accounts),
        ),
        tuple(between_s),
    )


MOST_BETWEEN_S = 30 * 60.0
"""Between the end of one part and the start of the next, at most [project choice]: time to change, to wait,
to put a device on again at a hut; the next outing of a day follows after hours."""

MOST_APART_M = 500.0
"""Between where one part ended and the next began, at most [project choice]: across a car park, or
where the position was found late."""

Place = tuple[float, float]
"""Latitude and longitude, degrees."""


@dataclass(frozen=True)
class Ends:
    """Where and when a recording began and ended.

    Attributes
    ----------
    start_utc, end_utc : first and last record, aware, UTC. first, last : place there, None where unknown.
    source : what came as one file has one source; None where that is unknown.
    """

    start_utc: datetime
    end_utc: datetime
    first: Place | None = None
    last: Place | None = None
    source: str | None = None


def apart_m(one: Place, other: Place) -> float:
    """Distance of two places over the ground, m."""
    return float(great_circle_m(one[0], one[1], other[0], other[1]))


def follows(earlier: Ends, later: Ends) -> bool:
    """Whether ``later`` goes on where ``earlier`` ended.

    A missing place speaks for neither; then only parts of one file belong together.
    """
    between_s = (later.start_utc - earlier.end_utc).total_seconds()
    if not 0.0 <= between_s <= MOST_BETWEEN_S:
        return False
    if earlier.last is None or later.first is None:
        return earlier.source is not None and earlier.source == later.source
    return apart_m(earlier.last, later.first) <= MOST_APART_M


def days_of(
    ends: Sequence[Ends], decided: Sequence[bool | None] | None = None
) -> tuple[tuple[int, ...], ...]:
    """Indices of recordings in order of time, those of one outing in one group.

    Parameters
    ----------
    decided : for each recording whether it belongs to the one before it, by the user; None where nobody
        decided, and time and place do. What was recorded at the same time twice is never joined.
    """
    decisions = decided if decided is not None else [None] * len(ends)
    order = sorted(range(len(ends)), key=lambda i: (ends[i].start_utc, ends[i].end_utc))
    groups: list[list[int]] = []
    for i in order:
        before = ends[groups[-1][-1]] if groups else None
        joins = decisions[i]
        if joins is None and before is not None:
            joins = follows(before, ends[i])
        if joins and before is not None and ends[i].start_utc >= before.end_utc:
            groups[-1].append(i)
        else:
            groups.append([i])
    return tuple(tuple(group) for group in groups)
