"""What of an outing was gone before, and what two outings went over both."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from slopebeat.analysis.account.climbs import Climb
from slopebeat.library.places import KeptPass
from slopebeat.model.way import POINT_M, Place
from slopebeat.review.ground.ground import PassRow, review_ground

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
    counts = Counter(each.place for each in passes)
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


MOST_SHARE = 0.5
"""Of the ways of both outings, on places of both, from which they are lined up [project choice]."""


@dataclass(frozen=True, eq=False)
class SharedPlace:
    """A place both outings went over: the passes of each that come first."""

    place: Place
    earlier: PassRow
    later: PassRow

    @property
    def compared_bpm(self) -> float | None:
        """How much higher the heart was on the later outing at equal speed; None where not compared."""
        one, other = self.earlier, self.later
        if one.group != other.group or one.equal_bpm is None or other.equal_bpm is None:
            return None
        return other.equal_bpm - one.equal_bpm


@dataclass(frozen=True, eq=False)
class SharedGround:
    """The places of two outings in the order of the later one.

    ``share`` is the smaller of the shares of both ways they cover.
    """

    places: tuple[SharedPlace, ...] = ()
    share: float = 0.0

    @property
    def is_most(self) -> bool:
        """Whether the two share most of their ground."""
        return self.share >= MOST_SHARE


NOTHING_SHARED = SharedGround()


def shared_ground(
    places: Sequence[Place],
    passes: Sequence[KeptPass],
    outings: tuple[str, str],
    lengths_m: tuple[float, float],
) -> SharedGround:
    """Line two outings up.

    Parameters
    ----------
    passes : all of the athlete's, the earliest first: what heart rate is usual hangs on all of them.
    outings : identities, the earlier first. lengths_m : of their ways.
    """
    ground = review_ground(places, passes)
    found = []
    for row in ground.places:
        firsts = [next((one for one in row.passes if one.kept.outing == each), None) for each in outings]
        if firsts[0] is not None and firsts[1] is not None:
            found.append(SharedPlace(row.place, firsts[0], firsts[1]))
    found.sort(key=lambda each: each.later.kept.first)
    gone_m = (covered_m(each.earlier.kept for each in found), covered_m(each.later.kept for each in found))
    shares = (gone / max(whole, 1.0) for gone, whole in zip(gone_m, lengths_m, strict=True))
    return SharedGround(tuple(found), min(1.0, *shares))


def covered_m(passes: Iterable[KeptPass]) -> float:
    """Length of the way that passes over places cover; places may lie over one another."""
    covered, reached = 0, -1
    for each in sorted(passes, key=lambda each: each.first):
        covered += max(each.last - max(each.first, reached), 0)
        reached = max(reached, each.last)
    return POINT_M * covered
