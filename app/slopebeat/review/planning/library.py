"""Earlier outings of an athlete in a library, as far as they teach for a plan."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from slopebeat.analysis.response.teaching import group_of
from slopebeat.library.results import Inputs, KeptEvidence
from slopebeat.library.store import Library
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.language import trn
from slopebeat.model.people import Aim, Ground, session_target_s
from slopebeat.review.planning.planning import usual_sport

LATEST_OUTINGS = 40
"""Outings learnt from, the latest ones; older ones count less and less [project choice]."""


@dataclass(frozen=True, eq=False)
class PlanInputs:
    """What earlier outings teach: those of one sport, the aim of the day, and sentences on what was left out.

    ``sport`` is a key of :mod:`slopebeat.model.evidence`; None where nothing is known.
    """

    outings: tuple[OutingEvidence, ...]
    aim: Aim
    sport: str | None
    warnings: tuple[str, ...]


def learn_from(
    library: Library,
    athlete: str,
    ground: Ground,
    day: date,
    sport: str | None = None,
    latest: int = LATEST_OUTINGS,
    chosen: Collection[str] | None = None,
) -> PlanInputs:
    """What outings of an athlete on one ground teach: the latest, or the chosen ones.

    Parameters
    ----------
    sport : key of the sport; None: the one most of them are of. Runs never tell of hikes.
    athlete : identity. day : of the outing to plan; only outings started before its end are used, and the
        band in force on it. chosen : identities of the outings to learn from.

    Raises
    ------
    KeyError
        For an unknown athlete.
    """
    inputs = library.inputs(athlete)
    kept = evidence_before(library, athlete, ground, day)
    if chosen is not None:
        kept = [one for one in kept if one.identity in chosen]
    sport = sport or usual_sport([one.evidence for one in kept], ground is Ground.BIKE)
    outings, lost = latest_of_sport([one.evidence for one in kept], sport, latest)
    return PlanInputs(outings, aim_for(inputs, ground, day), sport, lost)


def latest_of_sport(
    outings: Sequence[OutingEvidence], sport: str | None, latest: int
) -> tuple[tuple[OutingEvidence, ...], tuple[str, ...]]:
    """The latest outings of one sport, and a sentence on those of others."""
    here = [one for one in outings if group_of(one) == sport]
    others = len(outings) - len(here)
    text = trn(
        "{n} outing of another sport was left out: one sport never tells of another.",
        "{n} outings of other sports were left out: one sport never tells of another.",
        others,
    )
    return tuple(here[-latest:]), (text.format(n=others),) if others else ()


def evidence_before(library: Library, athlete: str, ground: Ground, day: date) -> list[KeptEvidence]:
    """Outings of an athlete on one ground up to a day that may teach, the earliest first."""
    last = day if day == date.max else day + timedelta(days=1)
    return [
        one
        for one in library.results.evidence(athlete)
        if one.teaches
        and one.evidence.on_bike is (ground is Ground.BIKE)
        and one.evidence.start_utc.date() <= last
    ]


def aim_for(inputs: Inputs, ground: Ground, day: date) -> Aim:
    """The aim of an outing to come: the band in force on its day, and the prescription of one session."""
    return replace(inputs.aim(ground, day), target_s=session_target_s(inputs.prescribed(day)))
