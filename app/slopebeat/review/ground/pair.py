"""Two outings lined up by the places both went over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from slopebeat.library.places import KeptPass
from slopebeat.model.way import POINT_M, Place
from slopebeat.review.ground.ground import PassRow, review_ground

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
