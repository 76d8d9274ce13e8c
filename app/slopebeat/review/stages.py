"""One outing reviewed again and again: only what depends on what has changed is computed anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Lock
from typing import Any, TypeVar

from slopebeat.cleaning.clean import Cleaned, clean
from slopebeat.model.athlete import Aim
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note, NoteKind
from slopebeat.model.recording import Recording
from slopebeat.model.track import Array
from slopebeat.review.outing import Prepared, Review, count, prepare, work_of

T = TypeVar("T")

CONDITIONS = (NoteKind.LOAD, NoteKind.WEATHER)
"""Notes that change the work rate."""


class Latest:
    """The latest result of one stage, with all it was made from."""

    def __init__(self) -> None:
        self._key: tuple[Any, ...] | None = None
        self._result: Any = None

    def get(self, key: tuple[Any, ...], make: Callable[[], T]) -> T:
        """What was made from an equal key, else made now. Keys must tell all the result depends on."""
        if key != self._key:
            self._result = make()
            self._key = key
        result: T = self._result
        return result


class Stages:
    """Reviews like ``review_recording``, and remembers of the latest outing what the next review needs.

    Cleaning hangs on the marks, work on masses and conditions, the fit on both, and only what is counted
    hangs on band and target. May be called from several threads; they wait for one another.
    """

    def __init__(self) -> None:
        self._cleaned, self._work, self._prepared = Latest(), Latest(), Latest()
        self._recording: Recording | None = None
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
        # Held, so that no other object can come to stand where the latest one stood.
        self._recording = recording
        cleaned: Cleaned = self._cleaned.get((id(recording), marks), lambda: clean(recording, marks))
        masses = (aim.body_mass_kg, aim.load_kg, aim.load_until_s, aim.bike_mass_kg)
        here = tuple(note for note in notes if note.kind in CONDITIONS)
        work: tuple[Array, float] = self._work.get(
            (id(cleaned), masses, here), lambda: work_of(cleaned.track, aim, notes)
        )
        return self._prepared.get((id(cleaned), id(work)), lambda: prepare(recording, cleaned, *work))
