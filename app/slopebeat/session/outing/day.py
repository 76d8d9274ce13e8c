"""The day of the outing on screen, where recordings that are open are its parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Protocol

from PySide6.QtCore import QObject, Signal

from slopebeat.analysis.day.together import days_of
from slopebeat.model.recording import Recording, local_day
from slopebeat.review.day.day import Day, ends_of, review_day
from slopebeat.review.outing import Review, review_recording

if TYPE_CHECKING:
    from slopebeat.session.background import Background, Job
    from slopebeat.session.outing.aim import AimState
    from slopebeat.session.outing.outing import OpenOuting


class Decisions(Protocol):
    """What the user said of recordings, by when they began."""

    def joined(self, start: str) -> bool | None: ...

    def remember_joined(self, starts: Sequence[str], together: bool) -> None: ...


class OpenDay(QObject):
    """Reviews the parts in the background, after the outing on screen; only the latest result counts.

    ``parts`` holds the numbers of the recordings that are one outing with that on screen, in order of time,
    ``offered`` those that the user may join or keep apart; ``day`` is None until they are reviewed.
    """

    changed = Signal()

    def __init__(
        self, background: Background, outing: OpenOuting, aim: AimState, decisions: Decisions, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._background, self._outing, self._aim, self._decisions = background, outing, aim, decisions
        self._job: Job | None = None
        self._known: dict[tuple[Any, ...], Review] = {}
        self.parts: tuple[int, ...] = ()
        self.offered: tuple[int, ...] = ()
        self.day: Day | None = None
        outing.recordings_changed.connect(self._forget)
        outing.reviewed.connect(self._update)
        self._update()

    @property
    def joined(self) -> bool:
        return len(self.parts) > 1

    def join(self, together: bool) -> None:
        """Keep it that what is offered is one outing, or several; doing the other takes it back."""
        here = self._outing.recordings
        self._decisions.remember_joined([_key(here[i]) for i in self.offered[1:]], together)
        self._update()

    def _forget(self) -> None:
        self._known.clear()
        self.parts, self.offered, self.day = (), (), None
        self._cancel()
        self.changed.emit()

    def _cancel(self) -> None:
        if self._job is not None:
            self._job.cancel()
            self._job = None

    def _update(self) -> None:
        """Another recording, band or note: the day is another one, too."""
        here, shown = self._outing.recordings, self._outing.review
        if len(here) < 2 or shown is None or self._aim.trying:
            return
        # What is not one file has places to go by; of one file the name is the same.
        ends = [ends_of(each, each.file_name) for each in here]
        index = self._outing.index
        day = local_day(here[index].start_utc, here[index].utc_offset_s)
        that_day = [i for i, each in enumerate(here) if local_day(each.start_utc, each.utc_offset_s) == day]
        said = [self._decisions.joined(_key(each)) for each in here]
        could = [True if i in that_day else None for i in range(len(here))]
        self.parts = next(group for group in days_of(ends, said) if index in group)
        wide = next(
            group
            for group in days_of([ends[i] for i in that_day], [could[i] for i in that_day])
            if that_day.index(index) in group
        )
        self.offered = tuple(that_day[i] for i in wide)
        self._cancel()
        if not self.joined:
            self.day = None
            self.changed.emit()
            return
        self._job = self._background.run_in_background(self._work(shown), self._take, self._tell)

    def _work(self, shown: Review) -> Callable[[Callable[[float], None]], Day]:
        aim, here, known, index = self._aim.aim, self._outing.recordings, self._known, self._outing.index
        parts = self.parts
        kept = {i: self._outing.kept_of(i) for i in parts}

        def work(progress: Callable[[float], None]) -> Day:
            reviews = []
            for done, i in enumerate(parts):
                key = (i, aim, *kept[i])
                if i == index:
                    known[key] = shown
                elif key not in known:
                    known[key] = review_recording(here[i], aim, *kept[i])
                reviews.append(known[key])
                progress((done + 1) / len(parts))
            for old in [each for each in known if each[1] != aim]:
                known.pop(old, None)
            return review_day(reviews)

        return work

    def _take(self, day: Day) -> None:
        self._job, self.day = None, day
        self.changed.emit()

    def _tell(self, error: Exception) -> None:
        self._job = None
        raise error


def _key(recording: Recording) -> str:
    """What a decision on a recording is kept under."""
    return recording.start_utc.isoformat()
