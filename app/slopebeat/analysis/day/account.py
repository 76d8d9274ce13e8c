"""One time account over the parts of a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slopebeat.analysis.account.time_account import BandState, TimeAccount


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
