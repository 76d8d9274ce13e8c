"""Changes over months: told from all outings, from every other one, and with one left out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from outings import Real

from slopebeat.analysis.months.change import Change, changes_of
from slopebeat.analysis.months.choice import Candidate

Key = tuple[str, str]


def told(outings: Sequence[Real]) -> dict[Key, Change]:
    """The changes that have figures, by figure and question, of the kind most outings are of."""
    found = changes_of([Candidate(at, True, one.evidence) for at, one in enumerate(outings)])
    first = next(iter(found), None)
    changes = () if first is None else first.changes
    return {(each.figure, str(each.question)): each for each in changes if each.change is not None}


def report_changes(chosen: list[Real]) -> None:
    """Whether odd and even outings say the same within their intervals, and how far one outing moves it."""
    everything, odd, even = told(chosen), told(chosen[::2]), told(chosen[1::2])
    without = [told([*chosen[:at], *chosen[at + 1 :]]) for at in range(0, len(chosen), 4)]
    for key, change in everything.items():
        said = f"{change.change:+.1f} ({change.low:+.1f} to {change.high:+.1f}), {change.verdict}"
        print(f"  {key[0]}, {key[1]}: {said}")
        if key in odd and key in even:
            one, other = odd[key], even[key]
            apart = abs(one.change - other.change)
            room = np.hypot(one.high - one.low, other.high - other.low) / 2.0
            agree = "agree" if apart <= room else "disagree"
            print(f"    odd {one.change:+.1f}, even {other.change:+.1f}: {agree} (room for {room:.1f})")
        left = [each[key].change for each in without if key in each]
        if left:
            print(f"    with one outing left out: {min(left):+.1f} to {max(left):+.1f}")
