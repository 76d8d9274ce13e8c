"""Which outings to look at: by ground, terrain, length, load and day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TypeVar

from slopebeat.model.evidence import OutingEvidence, OutingSummary
from slopebeat.model.people import Ground
from slopebeat.model.recording import local_day

_Ordered = TypeVar("_Ordered", float, date)

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


def day_of(outing: OutingSummary) -> date:
    """Day of the outing where it happened; else by this computer's clock."""
    return local_day(outing.start_utc, outing.utc_offset_s)


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

    def keeps(self, outing: OutingSummary) -> bool:
        """Whether an outing is one of those looked at."""
        return (
            (self.ground is None or ground_of(outing) is self.ground)
            and (not self.sports or outing.sport in self.sports)
            and _inside(outing.recorded_s, self.shortest_s, self.longest_s)
            and (not self.terrains or terrain_of(outing) in self.terrains)
            and _inside(outing.load_kg, self.lightest_load_kg, self.heaviest_load_kg)
            and (self._any_day or _inside(day_of(outing), self.first_day, self.last_day))
        )

    @property
    def _any_day(self) -> bool:
        """A filter asks thousands of outings, and the day of one takes as long as all the rest."""
        return self.first_day is None and self.last_day is None


def _inside(value: _Ordered, low: _Ordered | None, high: _Ordered | None) -> bool:
    return (low is None or value >= low) and (high is None or value <= high)


@dataclass(frozen=True, eq=False)
class Candidate:
    """An outing that may enter: its index among all outings, whether the user lets it, what it teaches."""

    index: int
    chosen: bool
    evidence: OutingEvidence


def one_a_day(candidates: Iterable[Candidate], days: Sequence[str | None]) -> list[Candidate]:
    """Of the parts of a day that were done alike the one with most trusted time, of all else everything.

    The heart of one day is one observation: two parts would count it twice and make intervals too narrow.
    ``days``: by index of an outing what the parts of its day share, None for one by itself.
    """
    found: dict[tuple[object, str, str | None], Candidate] = {}
    for each in candidates:
        day, taught = days[each.index], each.evidence
        key = (each.index if day is None else day, taught.kind, taught.work_source)
        before = found.get(key)
        rank = (each.chosen, taught.trusted_s)
        if before is None or rank > (before.chosen, before.evidence.trusted_s):
            found[key] = each
    return sorted(found.values(), key=lambda each: each.index)
