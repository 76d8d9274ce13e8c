"""A page made when it is first wanted: all of it at once, or a piece in each turn of the event loop."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from slopebeat.session.steps import Steps

P = TypeVar("P")


class PageInPieces(Generic[P]):
    """A page and what is missing of it.

    ``begin`` makes it empty, ``rest`` puts it in its place and makes the parts; ``done`` is called once all
    of it is made. ``load`` calls what it is given once what the page is made of is loaded.
    """

    def __init__(
        self,
        steps: Steps,
        begin: Callable[[], P],
        rest: Callable[[P], Iterator[None]],
        done: Callable[[], None] = lambda: None,
        load: Callable[[Callable[[], None]], None] = lambda then: then(),
    ) -> None:
        self._steps, self._begin, self._rest, self._done, self._load = steps, begin, rest, done, load
        self._waiting: Callable[[], None] | None = None
        self.begun: P | None = None
        """The page from its beginning on."""
        self.whole = False
        self.coming = False
        """It is being made, or somebody will have it made soon."""

    @cached_property
    def pieces(self) -> Iterator[None]:
        """What is missing; asking for it begins the page, each step makes a piece."""
        self.begun = page = self._begin()
        return self._through(page)

    @property
    def page(self) -> P:
        """The whole page; what is missing of it is made now."""
        for _piece in self.pieces:
            pass
        assert self.begun is not None
        return self.begun

    def make_soon(self) -> None:
        """Make the page while nothing else is to be done, a piece in each turn."""
        self.coming = True
        self._steps.through(self.pieces)

    def when_whole(self, act: Callable[[], None]) -> None:
        """Act once all of the page is made, a piece in each turn; a later act takes the place of this."""
        if self.whole and self._waiting is None:
            act()
            return
        # Whole, but what was wanted before still waits for its turn: it would come after this.
        self._waiting = act
        self.prepare()

    def prepare(self) -> None:
        """Have the page made behind, once it is loaded; what waits for it goes on waiting."""
        if not self.coming:
            self.coming = True
            self._load(self.make_soon)

    def _through(self, page: P) -> Iterator[None]:
        yield from self._rest(page)
        self.whole = True
        self._done()
        if self._waiting is not None:
            self._steps.later(self._act)

    def _act(self) -> None:
        act, self._waiting = self._waiting, None
        if act is not None:
            act()
