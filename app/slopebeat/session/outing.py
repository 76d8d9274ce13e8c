"""The outing on screen: the recordings at hand, the one looked at, and its review."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject, Signal

from slopebeat.model.athlete import Aim
from slopebeat.model.errors import UserError
from slopebeat.model.marks import Mark
from slopebeat.model.notes import Note
from slopebeat.model.recording import Recording
from slopebeat.review.outing import Review, review_recording
from slopebeat.session.aim import AimState
from slopebeat.session.background import Background, Job

Reviewer = Callable[[Recording, Aim, tuple[Mark, ...] | None], Review]


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

    def __init__(
        self,
        background: Background,
        aim: AimState,
        reviewer: Reviewer = review_recording,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._background = background
        self._aim = aim
        self._reviewer = reviewer
        self._job: Job | None = None
        self._decided: dict[int, tuple[Mark, ...]] = {}
        self._notes: dict[int, tuple[Note, ...]] = {}
        self.recordings: tuple[Recording, ...] = ()
        self.index = -1
        self.review: Review | None = None
        aim.changed.connect(self.review_again)

    def set_recordings(self, recordings: tuple[Recording, ...]) -> None:
        """Replace the recordings at hand and look at the first."""
        self.recordings = recordings
        self._decided.clear()
        self._notes.clear()
        self.index = 0
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

    def set_notes(self, notes: tuple[Note, ...]) -> None:
        """Take these notes for those of the chosen recording."""
        self._notes[self.index] = notes
        self.notes_changed.emit()

    def marks_now(self) -> tuple[Mark, ...] | None:
        """The marks to decide on next; None until the outing has been reviewed."""
        if self.marks is not None or self.review is None or self.index < 0:
            return self.marks
        same = self.review.recording is self.recordings[self.index]
        return self.review.marks if same else None

    def set_marks(self, marks: tuple[Mark, ...] | None) -> None:
        """Take these decisions and review again; None goes back to cleaning's proposals."""
        if marks is None:
            self._decided.pop(self.index, None)
        else:
            self._decided[self.index] = marks
        self.review_again()

    def review_again(self) -> None:
        """Review the chosen recording with the aim in force, in the background."""
        if self.index < 0:
            return
        if self._job is not None:
            self._job.cancel()
        recording, aim, marks = self.recordings[self.index], self._aim.aim, self.marks
        self._job = self._background.run_in_background(
            lambda progress: self._reviewer(recording, aim, marks), partial(self._show), self._tell
        )
        self.busy_changed.emit(True)

    def _show(self, review: Review) -> None:
        self._job = None
        another = self.review is None or self.review.recording is not review.recording
        self.review = review
        self.busy_changed.emit(False)
        if another:
            self.replaced.emit()
        self.reviewed.emit()

    def _tell(self, error: Exception) -> None:
        self._job = None
        self.busy_changed.emit(False)
        if not isinstance(error, UserError):
            raise error
        self.failed.emit(str(error))
