"""The outing on screen: the recordings at hand, the one looked at, and its review."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from itertools import zip_longest
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from slopebeat.model.errors import UserError
from slopebeat.model.marks import Mark
from slopebeat.model.notes import CONDITIONS, Note
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording
from slopebeat.session.background import Background, Latest, Progress

if TYPE_CHECKING:
    from slopebeat.library.results import KeptEvidence
    from slopebeat.model.outing.notebooks import Notebook
    from slopebeat.review.earlier import EarlierOutings
    from slopebeat.review.outing import Review
    from slopebeat.review.stages import Stages
    from slopebeat.session.outing.aim import AimState
    from slopebeat.session.steps import Steps

Reviewer = Callable[[Recording, Aim, tuple[Mark, ...] | None, tuple[Note, ...]], "Review"]

Earlier = Callable[[], "Sequence[KeptEvidence]"]
"""Reads what the athlete's outings teach, in the background."""


def in_stages() -> Reviewer:
    """Reviews in stages; the thread that makes the first review loads what makes reviews."""

    @cache
    def stages() -> Stages:
        from slopebeat.review.stages import Stages

        return Stages()

    return lambda *of: stages()(*of)


class OpenOuting(QObject):
    """Reviews the chosen recording again whenever the aim changes; only the latest result counts.

    ``recordings_changed`` says other recordings are at hand, ``chosen`` that another one is going to be
    reviewed, ``replaced`` that the review shown is of another one, ``reviewed`` that any new review is shown.
    """

    recordings_changed = Signal()
    chosen = Signal()
    replaced = Signal()
    reviewed = Signal()
    failed = Signal(str)
    busy_changed = Signal(bool)
    notes_changed = Signal()
    marks_changed = Signal()
    title_changed = Signal()

    def __init__(self, background: Background, aim: AimState, steps: Steps, reviewer: Reviewer) -> None:
        super().__init__(steps)
        self._latest = Latest(background, self._tell)
        self._aim = aim
        self._steps = steps
        self._reviewer = reviewer
        self._wanted_again = False
        self._waiting: Review | None = None
        self._past: Callable[[], EarlierOutings] | None = None
        self._whose: Callable[[], Earlier | None] = lambda: None  # no library knows of any
        self._decided: dict[int, tuple[Mark, ...]] = {}
        self._notes: dict[int, tuple[Note, ...]] = {}
        self.recordings: tuple[Recording, ...] = ()
        self.index = -1
        self.review: Review | None = None
        aim.changed.connect(self.review_again)

    def set_recordings(
        self, recordings: tuple[Recording, ...], kept: Sequence[Notebook] = (), index: int = 0
    ) -> None:
        """Replace the recordings at hand, with what is kept on each, and look at one of them."""
        self.recordings = tuple(_titled(*pair) for pair in zip_longest(recordings, kept[: len(recordings)]))
        self._decided = {i: book.marks for i, book in enumerate(kept) if book.marks is not None}
        self._notes = {i: book.notes for i, book in enumerate(kept)}
        self.index = index
        self.recordings_changed.emit()
        self.chosen.emit()
        self.review_again()

    def choose(self, index: int) -> None:
        """Look at another of the recordings at hand."""
        if 0 <= index < len(self.recordings) and index != self.index:
            self.index = index
            self.chosen.emit()
            self.review_again()

    @property
    def marks(self) -> tuple[Mark, ...] | None:
        """What was decided on the doubted stretches; None while cleaning's proposals hold."""
        return self._decided.get(self.index)

    @property
    def notes(self) -> tuple[Note, ...]:
        """Every note on the chosen recording, those taken back among them."""
        return self._notes.get(self.index, ())

    def kept_of(self, index: int) -> tuple[tuple[Mark, ...] | None, tuple[Note, ...]]:
        """What was decided on the doubted stretches of a recording at hand, and the notes on it."""
        return self._decided.get(index), self._notes.get(index, ())

    def set_notes(self, notes: tuple[Note, ...]) -> None:
        """Take these notes for those of the chosen recording; some of them change the review."""
        before, self._notes[self.index] = self.notes, notes
        self.notes_changed.emit()
        if _conditions(before) != _conditions(notes):
            self.review_again()

    def set_title(self, title: str) -> None:
        """Call the chosen recording so from now on."""
        recording = replace(self.recordings[self.index], title=title)
        self.recordings = (*self.recordings[: self.index], recording, *self.recordings[self.index + 1 :])
        self.title_changed.emit()
        self.recordings_changed.emit()
        self.review_again()

    def take(self, marks: tuple[Mark, ...] | None, notes: tuple[Note, ...]) -> None:
        """Show what turned out to be kept elsewhere on the chosen recording."""
        if notes != self.notes:
            self.set_notes(notes)
        if marks != self.marks:
            self.set_marks(marks)

    def marks_now(self) -> tuple[Mark, ...] | None:
        """The marks to decide on next; None until the outing has been reviewed."""
        if self.marks is not None or self.review is None or self.index < 0:
            return self.marks
        same = self.review.recording.samples is self.recordings[self.index].samples
        return self.review.marks if same else None

    def set_marks(self, marks: tuple[Mark, ...] | None) -> None:
        """Take these decisions and review again; None goes back to cleaning's proposals."""
        if marks is None:
            self._decided.pop(self.index, None)
        else:
            self._decided[self.index] = marks
        self.marks_changed.emit()
        self.review_again()

    def let_speak(self, whose: Callable[[], Earlier | None]) -> None:
        """From now on earlier outings, where a library knows them, say what the next one may give."""
        self._whose = whose

    def review_again(self) -> None:
        """Review the chosen recording with the aim in force, in the background."""
        if self.index < 0:
            return
        if self._aim.trying and (self._latest.busy or self._waiting is not None):
            # An edge under the hand moves faster than reviews are made: each is shown, then the latest made.
            self._wanted_again = True
            return
        self._latest.drop()
        self._wanted_again = False
        if not self._aim.trying:
            self._waiting, self._past = None, _read_once(self._whose())
        past = self._past
        recording, aim, marks, notes = self.recordings[self.index], self._aim.aim, self.marks, self.notes

        def work(progress: Progress) -> Review:
            review = self._reviewer(recording, aim, marks, notes)
            if past is None:
                return review
            again = None if marks is not None else lambda more: self._reviewer(recording, aim, more, notes)
            try:
                earlier = past()
            except UserError:
                return review  # A library that cannot be read says so where it is listed.
            return earlier.speak(review, again)

        self._latest.start(work, self._show)
        self.busy_changed.emit(not self._aim.trying)

    def _show(self, review: Review) -> None:
        """Show a review, once the one before is drawn to its end: a drag would starve what is drawn last."""
        if self._aim.trying and not self._steps.idle:
            self._waiting = review
            self._steps.later(self._show_waiting)
            return
        self._put_on_screen(review)
        if self._wanted_again:
            self.review_again()

    def _show_waiting(self) -> None:
        review, self._waiting = self._waiting, None
        if review is not None:
            # Start the next first: it is made while this one is drawn, and none is made that nobody sees.
            if self._wanted_again:
                self.review_again()
            self._put_on_screen(review)

    def _put_on_screen(self, review: Review) -> None:
        another = self.review is None or self.review.recording.samples is not review.recording.samples
        self.review = review
        self.busy_changed.emit(False)
        if another:
            self.replaced.emit()
        self.reviewed.emit()

    def _tell(self, error: Exception) -> None:
        self.busy_changed.emit(False)
        if not isinstance(error, UserError):
            raise error
        self.failed.emit(str(error))


def _read_once(earlier: Earlier | None) -> Callable[[], EarlierOutings] | None:
    """What earlier outings say, read when first asked for and kept for all bands of a drag.

    Work that was dropped may still be reading for another athlete: what it reads stays its own.
    """
    if earlier is None:
        return None

    @cache
    def read() -> EarlierOutings:
        from slopebeat.review.earlier import EarlierOutings

        return EarlierOutings(earlier())

    return read


def _titled(recording: Recording, book: Notebook | None) -> Recording:
    return recording if book is None or book.title is None else replace(recording, title=book.title)


def _conditions(notes: tuple[Note, ...]) -> list[tuple[object, ...]]:
    """What a review depends on of the notes."""
    here = [note for note in notes if note.kind in CONDITIONS and note.value is not None]
    return [(n.identity, n.kind, n.value, n.start_s, n.end_s) for n in here if not n.deleted]
