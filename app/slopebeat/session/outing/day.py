"""The day of the outing on screen, where recordings that are open are its parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Protocol

from PySide6.QtCore import QObject, Signal

from slopebeat.analysis.day.parts import days_of
from slopebeat.model.people import Aim
from slopebeat.model.recording import Recording, local_day
from slopebeat.review.day.day import Day, ends_of, review_day
from slopebeat.review.outing import Review, review_recording
from slopebeat.session.background import Background, Latest, Progress

if TYPE_CHECKING:
    from slopebeat.session.outing.autosave import AutoSave
    from slopebeat.session.outing.outing import OpenOuting
    from slopebeat.session.outing.part_aims import PartAims


class JoinedChoice(Protocol):
    """What the user said of recordings, each by its key."""

    changed: Any

    def key(self, index: int, recording: Recording) -> str: ...

    def joined(self, key: str) -> bool | None: ...

    def decide(self, said: Mapping[str, bool | None]) -> None: ...


class OpenDay(QObject):
    """Reviews the parts in the background, after the outing on screen; only the latest result counts.

    ``parts`` holds the numbers of the recordings that are one outing with that on screen, in order of time,
    ``offered`` those that the user may join or keep apart; ``day`` is None until they are reviewed.
    """

    changed = Signal()

    def __init__(
        self,
        background: Background,
        outing: OpenOuting,
        aims: PartAims,
        keeping: AutoSave,
        said: JoinedChoice,
    ) -> None:
        super().__init__(outing)
        self._latest, self._said = Latest(background), said
        self._outing, self._aims, self._keeping = outing, aims, keeping
        self._known: dict[int, tuple[tuple[Any, ...], Review]] = {}
        self.parts: tuple[int, ...] = ()
        self.offered: tuple[int, ...] = ()
        self.day: Day | None = None
        outing.recordings_changed.connect(self._forget)
        outing.reviewed.connect(self._update)
        said.changed.connect(self._say)
        self._update()

    @property
    def joined(self) -> bool:
        return len(self.parts) > 1

    def join(self, together: bool) -> None:
        """Keep it that what is offered is one outing, or several, as an act that can be undone."""
        here = self._outing.recordings
        keys = [self._said.key(i, here[i]) for i in self.offered[1:]]
        self._said.decide(dict.fromkeys(keys, together))

    def _say(self) -> None:
        """The user said otherwise of a recording, perhaps of one of these."""
        before = self.parts
        if len(self._outing.recordings) > 1 and before != self._grouped()[0]:
            self._update()

    def _forget(self) -> None:
        self._known.clear()
        self.parts, self.offered, self.day = (), (), None
        self._latest.drop()
        self.changed.emit()

    def _update(self) -> None:
        """Another recording, band or note: the day is another one, too."""
        here, shown = self._outing.recordings, self._outing.review
        if len(here) < 2 or shown is None or self._aims.trying:
            return
        self.parts, self.offered = self._grouped()
        self._latest.drop()
        if not self.joined:
            self.day = None
            self.changed.emit()
            return
        self._latest.start(self._work(shown), self._take)

    def _grouped(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The parts of the day on screen, and what the user may join or keep apart."""
        here, index = self._outing.recordings, self._outing.index
        # What is not one file has places to go by; of one file the name is the same.
        ends = [ends_of(each, each.file_name) for each in here]
        day = local_day(here[index].start_utc, here[index].utc_offset_s)
        that_day = [i for i, each in enumerate(here) if local_day(each.start_utc, each.utc_offset_s) == day]
        choices = [self._said.joined(self._said.key(i, each)) for i, each in enumerate(here)]
        parts = next(group for group in days_of(ends, choices) if index in group)
        offered = sorted({*that_day, *parts})
        wide = next(
            group
            for group in days_of([ends[i] for i in offered], [True] * len(offered))
            if offered.index(index) in group
        )
        return parts, tuple(offered[i] for i in wide)

    def _work(self, shown: Review) -> Callable[[Progress], Day]:
        here, known, index = self._outing.recordings, self._known, self._outing.index
        parts = self.parts
        kept = {i: (self._aim_of(i), *self._outing.kept_of(i)) for i in parts}

        def work(progress: Progress) -> Day:
            reviews = []
            for done, i in enumerate(parts):
                if i == index:
                    known[i] = (kept[i], shown)
                elif i not in known or known[i][0] != kept[i]:
                    known[i] = (kept[i], review_recording(here[i], *kept[i]))
                reviews.append(known[i][1])
                progress((done + 1) / len(parts))
            return review_day(reviews, [kept[i][2] for i in parts])

        return work

    def _aim_of(self, index: int) -> Aim:
        """What a part is reviewed with; where nothing was said of a load the usual one was carried."""
        if index == self._outing.index:
            return self._aims.aim_of(index)
        load_kg, until_s = self._keeping.load_at(index) or (self._keeping.usual_load_kg, None)
        return replace(self._aims.aim_of(index), load_kg=load_kg, load_until_s=until_s)

    def _take(self, day: Day) -> None:
        self.day = day
        self.changed.emit()
