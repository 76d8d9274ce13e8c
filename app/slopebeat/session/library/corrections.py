"""Title and sport of many outings put right as one act of the history."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from slopebeat.model.language import tr, trn
from slopebeat.model.recording import Sport, typed_title
from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.undo import History

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.model.notes import Author

T = TypeVar("T")


@dataclass(eq=False)
class CorrectionAct(Generic[T]):
    """What is kept of outings by identity, before and after; ``put`` keeps it."""

    words: str
    before: Mapping[str, T]
    after: Mapping[str, T]
    put: Callable[[Mapping[str, T]], None]

    def do(self) -> None:
        self.put(self.after)

    def undo(self) -> None:
        self.put(self.before)


class Corrections:
    """Reads what stands, keeps what is put right, and calls ``after`` once it is kept."""

    def __init__(self, opened: OpenLibrary, history: History, after: Callable[[], None]) -> None:
        self._opened, self._history, self._after = opened, history, after

    def set_titles(self, outings: Sequence[str], typed: str) -> None:
        """Give outings one title; nothing typed changes nothing."""
        from slopebeat.review.notes.corrections import put_titles, titles_of

        title = typed_title(typed)
        if not title or not outings:
            return
        words = trn("title of {n} outing", "title of {n} outings", len(outings)).format(n=len(outings))
        self._correct(
            words, lambda library: titles_of(library, outings), dict.fromkeys(outings, title), put_titles
        )

    def set_sport(self, outings: Sequence[str], sport: Sport | None, author: Author) -> None:
        """Put the sport of outings right, or take the file's word again."""
        from slopebeat.review.notes.corrections import put_sports, sports_entered

        def put(library: Library, sports: Mapping[str, Sport | None]) -> None:
            put_sports(library, sports, author)

        words = trn("sport of {n} outing", "sport of {n} outings", len(outings)).format(n=len(outings))
        after = dict.fromkeys(outings, sport)
        self._correct(words, lambda library: sports_entered(library, outings), after, put)

    def _correct(
        self,
        words: str,
        read: Callable[[Library], Mapping[str, T]],
        after: Mapping[str, T],
        put: Callable[[Library, Mapping[str, T]], None],
    ) -> None:
        def keep(values: Mapping[str, T]) -> None:
            self._opened.ask(lambda library: put(library, values), lambda _: self._after())

        def act(before: Mapping[str, T]) -> None:
            if dict(before) != dict(after):
                self._history.do(CorrectionAct(words, before, after, keep), lasts=True)

        self._opened.ask(read, act)


def sport_choice_words(sport: Sport | None) -> str:
    """What a choice of sports offers."""
    from slopebeat.review.words.names import key_name

    return tr("As the file says") if sport is None else key_name(sport)
