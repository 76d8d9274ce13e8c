"""Selecting parts, causes, climbs and episodes of the outing on screen, by name or by place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from slopebeat.analysis.account.causes import Cause
from slopebeat.model.language import tr
from slopebeat.review import pieces
from slopebeat.review.words.causes import side_of
from slopebeat.review.words.names import key_name
from slopebeat.session.outing.view_state import Ends, Picked, Selection

if TYPE_CHECKING:
    from slopebeat.session.outing.outing import OpenOuting

STANDING = "/standing"
"""After the key of a part: only its standing time."""


class PieceSelection(QObject):
    """Selects pieces of the outing on screen; what no longer holds after another review is unselected."""

    def __init__(self, outing: OpenOuting, selection: Selection, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._outing, self._selection = outing, selection
        outing.reviewed.connect(self._drop_stale)

    def part(self, key: str, standing: bool = False) -> None:
        """Select all of a part of the account, or its standing time; called again, its next stretch."""
        self._many(Picked.PART, key + STANDING * standing)

    def cause(self, cause: Cause) -> None:
        """Select all stretches of a cause; called again, the next one."""
        self._many(Picked.CAUSE, cause.value)

    def climb(self, number: int) -> None:
        """Select a climb by its number, from 0."""
        review = self._outing.review
        if review is not None and number < len(review.climbs):
            climb = review.climbs[number]
            self._selection.select(Picked.CLIMB, number, climb.start_s, climb.end_s)

    def episode_at(self, t_s: float) -> bool:
        """Select the episode out of band at a second of the outing; return whether there is one."""
        review = self._outing.review
        number = None if review is None else pieces.episode_at(review, t_s)
        if review is None or number is None:
            return False
        episode = review.episodes[number]
        self._selection.select(Picked.EPISODE, number, episode.start_s, episode.end_s)
        return True

    def words_at(self, t_s: float) -> str:
        """What lies at a second of the outing, in words."""
        return "" if self._outing.review is None else pieces.words_at(self._outing.review, t_s)

    @property
    def cause_shown(self) -> Cause | None:
        """The cause that is selected, or that of the episode that is."""
        chosen, review = self._selection, self._outing.review
        if chosen.kind is Picked.CAUSE:
            return Cause(chosen.key)
        if chosen.kind is Picked.EPISODE and review is not None and chosen.index < len(review.episodes):
            return pieces.cause_of(review, chosen.index)
        return None

    @property
    def part_shown(self) -> str:
        """Key of the part of the account that is selected, or that holds the selected cause or episode."""
        chosen, review = self._selection, self._outing.review
        if chosen.kind is Picked.PART:
            return chosen.key.removesuffix(STANDING)
        if chosen.kind is Picked.CAUSE and Cause(chosen.key) is not Cause.CANNOT_TELL:
            return pieces.part_of_state(side_of(Cause(chosen.key))).key
        if chosen.kind is Picked.EPISODE and review is not None and chosen.index < len(review.episodes):
            return pieces.part_of_state(pieces.state_of(review, chosen.index)).key
        return ""

    @property
    def words(self) -> str:
        """What is selected is called so on the charts; "" for what has its name there already."""
        chosen, review = self._selection, self._outing.review
        if chosen.kind is Picked.CLIMB:
            return pieces.climb_name(chosen.index)
        if chosen.kind is Picked.EPISODE and review is not None and chosen.index < len(review.episodes):
            return pieces.episode_name(review, chosen.index)
        if chosen.kind is Picked.CAUSE:
            return self._with_place(key_name(Cause(chosen.key)))
        if chosen.kind is Picked.PART:
            standing = chosen.key.endswith(STANDING)
            return self._with_place(pieces.part_name(chosen.key.removesuffix(STANDING), standing))
        return ""

    def _with_place(self, name: str) -> str:
        number, count = self._selection.index + 1, len(self._selection.stretches)
        if number == 0:
            return name
        return tr("{name}, {number} of {count}").format(name=name, number=number, count=count)

    def _many(self, kind: Picked, key: str) -> None:
        chosen = self._selection
        if chosen.kind is kind and chosen.key == key:
            chosen.step(1)
        elif stretches := self._stretches(kind, key):
            chosen.select_all(kind, key, stretches)

    def _stretches(self, kind: Picked, key: str) -> tuple[Ends, ...]:
        review = self._outing.review
        if review is None:
            return ()
        if kind is Picked.CAUSE:
            return pieces.cause_stretches(review, Cause(key))
        standing = True if key.endswith(STANDING) else None
        return pieces.part_stretches(review, key.removesuffix(STANDING), standing)

    def _drop_stale(self) -> None:
        chosen = self._selection
        if chosen.kind in (Picked.PART, Picked.CAUSE):
            assert chosen.kind is not None
            if self._stretches(chosen.kind, chosen.key) != chosen.stretches:
                chosen.clear()
