"""Earlier outings of an athlete in a library, as far as they teach for a plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from slopebeat.analysis.route_evidence import Evidence
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.model.athlete import DEFAULT_TARGET_S, Aim
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.people import Ground
from slopebeat.review.import_work import recordings_in
from slopebeat.review.outing import review_recording
from slopebeat.review.planning import evidence_from

LATEST_OUTINGS = 15
"""Outings learnt from, the latest ones: fitness of half a year ago is another athlete's [project choice]."""

Told = Callable[[int, int, str], None]
"""Called with outings done, all outings and the name at hand; raises ``Cancelled`` to stop."""


@dataclass(frozen=True, eq=False)
class Taught:
    """What a library teaches: evidence, the aim of the day, and sentences on what was left out."""

    outings: tuple[Evidence, ...]
    aim: Aim
    warnings: tuple[str, ...]


def learn(
    library: Library,
    athlete: str,
    ground: Ground,
    day: date,
    latest: int = LATEST_OUTINGS,
    told: Told | None = None,
) -> Taught:
    """Review the latest outings of an athlete on one ground.

    Parameters
    ----------
    athlete : identity. day : of the outing to plan; only outings begun before its end are used, and the
        band in force on it.

    Raises
    ------
    KeyError
        For an unknown athlete.
    """
    inputs = library.inputs(athlete)
    stored = [o for o in library.outings.of(athlete) if o.ground is ground and o.local_day() <= day][-latest:]
    found, lost = [], []
    for number, outing in enumerate(stored):
        if told is not None:
            told(number, len(stored), outing.title)
        try:
            one = _evidence(library, outing, inputs.aim_of(outing))
        except UserError as problem:
            left_out = tr("{outing} was left out: {reason}")
            lost.append(left_out.format(outing=outing.title or outing.file_name, reason=problem))
            continue
        if one is None:
            without = tr("{outing} has no distance or elevation; it was left out.")
            lost.append(without.format(outing=outing.title or outing.file_name))
        else:
            found.append(one)
    who = inputs.athlete
    target = DEFAULT_TARGET_S
    if who.minutes_per_week and who.sessions_per_week:
        target = 60.0 * who.minutes_per_week / who.sessions_per_week
    return Taught(tuple(found), replace(inputs.aim(ground, day), target_s=target), tuple(lost))


def _evidence(library: Library, outing: StoredOuting, aim: Aim) -> Evidence | None:
    recordings = recordings_in(library.outings.original(outing.identity), outing.file_name)
    if outing.activity >= len(recordings):
        gone = tr("the file holds no activity number {number} any more.")
        raise UserError(gone.format(number=outing.activity + 1))
    review = review_recording(recordings[outing.activity], aim, library.outings.marks(outing.identity))
    return evidence_from(review)
