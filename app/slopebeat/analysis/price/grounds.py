"""Which outings of an athlete tell what ground costs, and the answers for each kind of ground gone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

from slopebeat.analysis.activity import Activity
from slopebeat.analysis.price.next_outing import Foretelling, NextAnswers, NoLength
from slopebeat.analysis.price.unevenness import Unevenness, is_indoors, kind_of, variation_of
from slopebeat.analysis.response.teaching import GROUPS
from slopebeat.model.bands import Band
from slopebeat.model.evidence import RIDE, RUN, WALK, OutingEvidence, PastOuting
from slopebeat.model.recording import Sport

SPORTS = (WALK, RUN, RIDE)
"""What is never pooled, in the order of tables."""

_BY_WORD: Mapping[str, str] = {
    Sport.WALKING: WALK,
    Sport.HIKING: WALK,
    Sport.RUNNING: RUN,
    Sport.CYCLING: RIDE,
    Sport.MOUNTAIN_BIKING: RIDE,
}


@dataclass(frozen=True)
class PricedGround:
    """Minutes on the clock for the target on one kind of ground of one sport.

    Attributes
    ----------
    outings : of this kind behind it, ``indoors`` of them without positions; those of the sport stand in the
        answers. variation : of the minutes' work, the middle one of these outings; None where unknown.
    """

    sport: str
    kind: Unevenness
    outings: int
    indoors: int
    variation: float | None
    band: Band
    answers: NextAnswers


def priced_sport(one: OutingEvidence) -> str | None:
    """One of :data:`SPORTS`, indoors too, where only the file's word tells it; None for all else."""
    if one.kind == Activity.TREADMILL:
        return _BY_WORD.get(one.sport, WALK)
    if one.kind == Activity.HEART_ONLY:
        return _BY_WORD.get(one.sport)
    return GROUPS.get(one.kind)


def by_sport(taught: Iterable[OutingEvidence]) -> dict[str, list[PastOuting]]:
    """Outings with heart rate of each sport, in order of time; sports without any are left out."""
    found: dict[str, list[PastOuting]] = {sport: [] for sport in SPORTS}
    for one in taught:
        sport = priced_sport(one)
        if sport is not None and one.past is not None and one.past.has_heart:
            found[sport].append(one.past)
    return {sport: sorted(past, key=lambda one: one.start_utc) for sport, past in found.items() if past}


def price_grounds(
    sport: str, known: Sequence[PastOuting], band: Band, target_s: float
) -> tuple[PricedGround, ...]:
    """The answers on each kind of ground that was gone, the steadiest first.

    Where no mean of late lay inside the band no length is given, not even with the mean kept: nobody has seen
    this athlete go so.

    Parameters
    ----------
    known : outings of the sport with heart rate, in order of time; at least one.
    """
    found = []
    for kind in Unevenness:
        here = [one for one in known if kind_of(one) is kind]
        if not here:
            continue
        variations = [variation for one in here if (variation := variation_of(one)) is not None]
        variation = median(variations) if variations else None
        answers = _in_reach(Foretelling(known, variation).answers(band, target_s))
        indoors = sum(map(is_indoors, here))
        found.append(PricedGround(sport, kind, len(here), indoors, variation, band, answers))
    return tuple(found)


def _in_reach(answers: NextAnswers) -> NextAnswers:
    if answers.as_usual.reason is not NoLength.OFF_BAND:
        return answers
    return replace(answers, aimed=replace(answers.aimed, needed_s=None, reason=NoLength.OFF_BAND))
