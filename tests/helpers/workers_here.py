"""Imports and reviews made again without processes of their own, which take a second or more to start.

What is done, in what order and what is handed across is the same: orders are read ahead as they are for
processes, and orders and outcomes are pickled. A test that needs the processes themselves asks for
``real_workers``.
"""

from __future__ import annotations

import pickle
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any

from slopebeat.files.progress import Progress
from slopebeat.review.imports.pool import AHEAD_PER_WORKER, WORKERS

USERS = ("slopebeat.review.imports.importing", "slopebeat.review.imports.recompute")
"""Who hands work to worker processes."""


class WorkersHere:
    """Takes the place of ``Workers``; each order is carried out in this thread when its outcome is wanted."""

    def __init__(
        self,
        work: Callable[[Any, Progress], Any],
        count: int = WORKERS,
        bytes_of: Callable[[Any], int] = lambda order: 0,
    ) -> None:
        self._work = work
        self._ahead = count * AHEAD_PER_WORKER

    def __enter__(self) -> WorkersHere:
        return self

    def __exit__(self, *_error: object) -> None:
        """Nothing is left to wait for."""

    def run(self, orders: Iterable[Any], waiting: Callable[[], None]) -> Iterator[tuple[Any, Any]]:
        """Each order with its outcome, or with the exception it ended in."""
        todo = iter(orders)
        given = deque(islice(todo, self._ahead))
        while given:
            order = given.popleft()
            waiting()
            yield order, self._outcome(order)
            given += islice(todo, self._ahead - len(given))

    def _outcome(self, order: Any) -> Any:
        try:
            return _across(self._work(_across(order), _no_progress))
        except Exception as problem:
            return _across(problem)


def _across(given: Any) -> Any:
    """What arrives of it in another process."""
    return pickle.loads(pickle.dumps(given))


def _no_progress(_share: float) -> None:
    """Nobody asks a worker here to stop in the middle of a file."""
