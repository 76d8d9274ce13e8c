"""The rows of the list of outings, as they are read from a library."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.model.evidence import OutingSummary
from slopebeat.review.months.months import ChosenEvidence
from slopebeat.review.notes.corrections import outings_as_noted
from slopebeat.review.present.listed import Part
from slopebeat.session.background import Progress


@dataclass(frozen=True)
class OutingRow:
    """One outing of the list; ``summary`` is None until it has been reviewed.

    ``teaching`` is what it teaches for later ones, ``teaches`` False where the user left it out of that.
    ``joined`` is what the user said of it and the one before, ``part`` its place among the parts of its day.
    """

    outing: StoredOuting
    summary: OutingSummary | None
    teaches: bool = True
    teaching: ChosenEvidence | None = None
    joined: bool | None = None
    part: Part | None = None

    @property
    def day(self) -> str | None:
        """What the parts of one outing share."""
        return None if self.part is None or self.summary is None else self.summary.day


def renamed(row: OutingRow, title: str) -> OutingRow:
    """The row under another title."""
    summary = None if row.summary is None else replace(row.summary, title=title)
    return replace(row, outing=replace(row.outing, title=title), summary=summary)


def _parts(outings: Sequence[StoredOuting], summaries: Mapping[str, OutingSummary]) -> dict[str, Part]:
    """The place of each part of a day, by identity; one whose other parts are gone is none."""
    days: dict[str, list[str]] = {}
    for outing in outings:
        summary = summaries.get(outing.identity)
        if summary is not None and summary.day is not None:
            days.setdefault(summary.day, []).append(outing.identity)
    return {
        identity: Part(number, len(day))
        for day in days.values()
        if len(day) > 1
        for number, identity in enumerate(day, 1)
    }


def read_rows(library: Library, athlete: str, progress: Progress) -> tuple[OutingRow, ...]:
    """The outings of an athlete, the earliest first."""
    outings = outings_as_noted(library, athlete)
    progress(0.3)
    summaries = library.results.summaries(athlete)
    progress(0.6)
    left_out = library.outings.left_out(athlete)
    taught = {k.identity: ChosenEvidence(k.evidence, k.teaches) for k in library.results.evidence(athlete)}
    joined_by_user, parts = library.days.joined_by_user(athlete), _parts(outings, summaries)
    return tuple(
        OutingRow(
            o,
            summaries.get(o.identity),
            o.identity not in left_out,
            taught.get(o.identity),
            joined_by_user.get(o.identity),
            parts.get(o.identity),
        )
        for o in outings
    )
