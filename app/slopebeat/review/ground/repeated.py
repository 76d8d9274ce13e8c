"""What of one outing's way was gone before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slopebeat.analysis.account.climbs import Climb
from slopebeat.library.places import KeptPass
from slopebeat.model.way import POINT_M

BRIDGED_M = 500.0
"""Between two places that one earlier outing went over one after the other, so much way is taken to have been
gone then, too: it was too short to be a place [project choice]."""

SAME_CLIMB_SHARE = 0.7
"""Of the time on a climb and of the time at a place, that both have in common where they are one climb
[project choice]."""


@dataclass(frozen=True)
class RepeatedStretch:
    """A stretch of an outing that earlier outings went over in the same direction.

    Attributes
    ----------
    start_s, end_s : seconds from the outing's first record. length_m : along the way.
    outings : earlier ones that went over some of it.
    """

    start_s: float
    end_s: float
    length_m: float
    outings: int


@dataclass(frozen=True)
class RepeatedGround:
    """What of an outing was gone before, and its passes over places.

    ``passes`` are those of the outing itself, ``times`` how often each of its places was gone in all.
    """

    stretches: tuple[RepeatedStretch, ...] = ()
    passes: tuple[KeptPass, ...] = ()
    times: tuple[tuple[int, int], ...] = ()

    @property
    def length_m(self) -> float:
        return sum(stretch.length_m for stretch in self.stretches)

    def times_passed(self, climb: Climb) -> int | None:
        """How often a climb of the outing was gone in all; None where it is no place of its own."""
        counts = dict(self.times)
        found = [counts[each.place] for each in self.passes if _is_same(each, climb)]
        return max(found, default=None)


NOTHING_REPEATED = RepeatedGround()


def repeated_ground(outing: str, passes: Sequence[KeptPass]) -> RepeatedGround:
    """What of an outing was gone before.

    Parameters
    ----------
    passes : over every place the outing goes over, of all outings, the earliest first.
    """
    own = tuple(each for each in passes if each.outing == outing)
    if not own:
        return NOTHING_REPEATED
    start = own[0].facts.start_utc
    earlier: dict[int, set[str]] = {}
    for each in passes:
        if each.outing != outing and each.facts.start_utc < start:
            earlier.setdefault(each.place, set()).add(each.outing)
    counts: dict[int, int] = {}
    for each in passes:
        counts[each.place] = counts.get(each.place, 0) + 1
    again = sorted((each for each in own if each.place in earlier), key=lambda each: (each.first, each.last))
    return RepeatedGround(_joined(again, earlier), own, tuple(sorted(counts.items())))


def _joined(passes: Sequence[KeptPass], earlier: dict[int, set[str]]) -> tuple[RepeatedStretch, ...]:
    """Passes that follow one another as stretches, those an outing went over one after the other joined."""
    found: list[tuple[list[KeptPass], set[str]]] = []
    for each in passes:
        who = earlier[each.place]
        if found:
            before, them = found[-1]
            gap_m = POINT_M * (each.first - max(one.last for one in before))
            if gap_m <= 0.0 or (gap_m <= BRIDGED_M and who & earlier[before[-1].place]):
                before.append(each)
                them |= who
                continue
        found.append(([each], set(who)))
    return tuple(_stretch(parts, who) for parts, who in found)


def _stretch(parts: Sequence[KeptPass], who: set[str]) -> RepeatedStretch:
    last = max(parts, key=lambda each: each.last)
    return RepeatedStretch(
        start_s=parts[0].figures.start_s,
        end_s=last.figures.start_s + last.figures.elapsed_s,
        length_m=POINT_M * (last.last - parts[0].first),
        outings=len(who),
    )


def _is_same(each: KeptPass, climb: Climb) -> bool:
    """Whether a pass is over the climb: most of either is in the other."""
    start, end = each.figures.start_s, each.figures.start_s + each.figures.elapsed_s
    shared = min(end, climb.end_s) - max(start, climb.start_s)
    longer = max(end - start, climb.end_s - climb.start_s)
    return longer > 0.0 and shared >= SAME_CLIMB_SHARE * longer
