"""One outing reviewed again and again: only what depends on what has changed is computed anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Lock
from typing import Any, TypeVar

from slopebeat.cleaning.clean import Cleaned, clean
from slopebeat.model.marks import Mark
from slopebeat.model.notes import CONDITIONS, Note, sport_from_notes, utc_offset_from_notes
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.review.assessment import Assessment, assess, corrected
from slopebeat.review.outing import Prepared, Review, count, prepare

T = TypeVar("T")

KEPT = 2
"""Results kept of a stage: doubts that earlier outings raise make a second review of one outing."""


class StageCache:
    """The latest results of one stage, with all they were made from."""

    def __init__(self) -> None:
        self._kept: list[tuple[object, tuple[Any, ...], Any]] = []

    def get(self, source: object, key: tuple[Any, ...], make: Callable[[], T]) -> T:
        """What was made from this very source and an equal key, else made now.

        Source and key must tell all the result depends on. The source is kept with the result: its mere
        ``id`` would be that of another one once it is gone.
        """
        known = (kept for kept in self._kept if kept[0] is source and kept[1] == key)
        found = next(known, None) or (source, key, make())
        self._kept = [found, *(kept for kept in self._kept if kept is not found)][:KEPT]
        result: T = found[2]
        return result


class Stages:
    """Reviews like ``review_recording``, and remembers of the latest outing what the next review needs.

    Cleaning hangs on the marks, work on masses and conditions, the fit on both, and only what is counted
    hangs on band and target. May be called from several threads; they wait for one another.
    """

    def __init__(self) -> None:
        self._corrected, self._cleaned, self._assessed, self._prepared = (StageCache() for _ in range(4))
        self._one_at_a_time = Lock()

    def __call__(
        self,
        recording: Recording,
        aim: Aim,
        marks: tuple[Mark, ...] | None = None,
        notes: Sequence[Note] = (),
    ) -> Review:
        """The same as ``review_recording`` says of these."""
        with self._one_at_a_time:
            prepared = self._prepare(recording, aim, marks, notes)
        return count(prepared, aim)

    def _prepare(
        self, recording: Recording, aim: Aim, marks: tuple[Mark, ...] | None, notes: Sequence[Note]
    ) -> Prepared:
        here = tuple(note for note in notes if note.kind in CONDITIONS)
        noted = sport_from_notes(here), utc_offset_from_notes(here)
        fixed: Recording = self._corrected.get(recording, noted, lambda: corrected(recording, here))
        cleaned: Cleaned = self._cleaned.get(fixed, (marks,), lambda: clean(fixed, marks))
        conditions = (aim.body_mass_kg, aim.load_kg, aim.load_until_s, aim.bike_mass_kg, here)
        assessed: Assessment = self._assessed.get(
            cleaned, conditions, lambda: assess(fixed, cleaned, aim, notes, marks is not None)
        )
        return self._prepared.get(assessed, (), lambda: prepare(assessed))
