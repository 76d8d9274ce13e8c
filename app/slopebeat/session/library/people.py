"""Athletes merged and removed, and outings given to another: asked first with what goes, then done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from slopebeat.session.library.opened import OpenLibrary
from slopebeat.session.undo import History

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.model.people import Athlete

Told = Callable[[str], None]


class PeopleActs:
    """Acts on the athletes of the library that is open; none of them can be undone, so each has its words.

    ``after`` is called once something was done, ``tell`` with what became of it.
    """

    def __init__(self, opened: OpenLibrary, history: History, after: Callable[[], None], tell: Told) -> None:
        self._opened, self._history, self._after, self._tell = opened, history, after, tell

    def ask_merge(self, gone: Athlete, into: Athlete, on_words: Told) -> None:
        """What would go where, and what would fall away."""
        from slopebeat.review.people import merge_question

        self._opened.ask(lambda library: merge_question(library, gone, into), on_words, self._tell)

    def merge(self, gone: Athlete, into: Athlete) -> None:
        """Make two athletes one."""
        from slopebeat.review.people import transferred_words

        def act(library: Library) -> str:
            return transferred_words(library.transfers.merge(gone.identity, into.identity), into)

        self._do(act)

    def ask_removal(self, gone: Athlete, on_words: Told) -> None:
        """What would go with an athlete."""
        from slopebeat.review.people import removal_question

        self._opened.ask(lambda library: removal_question(library, gone), on_words, self._tell)

    def remove(self, gone: Athlete) -> None:
        """Remove an athlete with everything."""
        from slopebeat.library.notebooks import Notebooks
        from slopebeat.review.people import remove_athlete, removed_words

        self._do(lambda library: removed_words(gone, remove_athlete(library, gone.identity, Notebooks())))

    def ask_move(self, outings: Sequence[str], gone: Athlete, into: Athlete, on_words: Told) -> None:
        """What would go with outings."""
        from slopebeat.review.people import move_question

        self._opened.ask(lambda library: move_question(library, outings, gone, into), on_words, self._tell)

    def move(self, outings: Sequence[str], into: Athlete) -> None:
        """Give outings another athlete, with all that was written on them."""
        from slopebeat.review.people import transferred_words

        self._do(lambda library: transferred_words(library.transfers.move(outings, into.identity), into))

    def _do(self, act: Callable[[Library], str]) -> None:
        def done(words: str) -> None:
            # What could be taken back may rest on what is no more.
            self._history.clear_lasting()
            self._tell(words)
            self._after()

        self._opened.ask(act, done, self._tell)
