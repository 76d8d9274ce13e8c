"""A page made when it is first wanted: all of it at once, or a piece in each turn of the event loop."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Generic, TypeVar

P = TypeVar("P")


class PageInPieces(Generic[P]):
    """A page and what is missing of it.

    ``begin`` makes it empty, ``rest`` puts it in its place and makes the parts; ``done`` is called once all
    of it is made.
    """

    def __init__(
        self,
        begin: Callable[[], P],
        rest: Callable[[P], Iterator[None]],
        done: Callable[[], None] = lambda: None,
    ) -> None:
        self._begin, self._rest, self._done = begin, rest, done
        self.begun: P | None = None
        """The page from its beginning on."""
        self.whole = False

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

    def _through(self, page: P) -> Iterator[None]:
        yield from self._rest(page)
        self.whole = True
        self._done()
