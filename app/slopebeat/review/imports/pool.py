"""Worker processes for long work on many files: bounded, stoppable, gone when their parent is."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait
from multiprocessing.synchronize import Event
from types import TracebackType
from typing import Any, Generic, TypeVar

from slopebeat.files.progress import Progress
from slopebeat.model.errors import Cancelled
from slopebeat.model.language import language, use_language
from slopebeat.model.measures import System, decimal_sign, system, use_decimal_sign, use_system

WORKERS = 2
"""Worker processes: enough to keep reading and reviewing busy beside a window [project choice]."""

AHEAD_PER_WORKER = 2
"""Orders handed out per worker, so that none waits and memory stays bounded [project choice]."""

MOST_BYTES_AHEAD = 64 * 1024**2
"""Bytes of orders handed out from which on no further one is read: an outing is a few MB, but the largest
file that is read 256 MB, of which four at once would be held several times over [project choice]."""

ASK_EVERY_S = 0.1
"""Time between two questions whether to stop [project choice]."""

NICER_BY = 5
"""How much workers step back behind the window, on the scale of the system's niceness [project choice]."""

_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")

_MOST_KEPT_BYTES = 256 * 1024**2
_MEMORY = ("MALLOC_MMAP_THRESHOLD_", "MALLOC_TRIM_THRESHOLD_")
"""Memory a worker has freed stays with it (mallopt(3) of the GNU C library; others do not look): it is asked
for again in the next moment, and a file would take a thousand pages from the system anew [project choice]."""

_ENVIRONMENT = dict.fromkeys(_THREADS, "1") | dict.fromkeys(_MEMORY, str(_MOST_KEPT_BYTES))

Order = TypeVar("Order")
Outcome = TypeVar("Outcome")

_stop: Event | None = None


class WorkerDied(Exception):
    """A worker process ended in the middle of an order, twice."""


class Workers(Generic[Order, Outcome]):
    """Processes that carry out ``work(order, progress)``; outcomes come in the order of the orders.

    ``work`` is a function of a module, as it is found by name in a fresh process. ``bytes_of`` says how much
    an order holds.
    """

    def __init__(
        self,
        work: Callable[[Order, Progress], Outcome],
        count: int = WORKERS,
        bytes_of: Callable[[Order], int] = lambda order: 0,
    ) -> None:
        self._work = work
        self._count = count
        self._bytes_of = bytes_of
        self._context = multiprocessing.get_context("spawn")
        self._stop = self._context.Event()
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Workers[Order, Outcome]:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Stop what runs, and wait until the processes are gone.

        After an error, which cancelling is one of, nobody waits for them: each ends within the file it is at,
        and what it brings is no longer wanted.
        """
        self._stop.set()
        self._shut_down(until_gone=kind is None)

    def run(
        self, orders: Iterable[Order], waiting: Callable[[], None]
    ) -> Iterator[tuple[Order, Outcome | Exception]]:
        """Each order with its outcome, or with the exception it ended in.

        ``waiting`` is called again and again while nothing is ready; what it raises ends the work.
        """
        todo = iter(orders)
        given: deque[tuple[Order, Future[Outcome]]] = deque()
        while True:
            while (
                len(given) < self._count * AHEAD_PER_WORKER
                and sum(self._bytes_of(order) for order, _ in given) < MOST_BYTES_AHEAD
            ):
                try:
                    order = next(todo)
                except StopIteration:
                    break
                given.append((order, self._submit(order)))
            if not given:
                return
            order, future = given.popleft()
            outcome = self._outcome(future, waiting)
            if isinstance(outcome, BrokenProcessPool):
                # All that was given out is lost; alone, this order shows whether it was to blame.
                self._shut_down()
                outcome = self._outcome(self._submit(order), waiting)
                if isinstance(outcome, BrokenProcessPool):
                    self._shut_down()
                    outcome = WorkerDied()
                given = deque((other, self._submit(other)) for other, _ in given)
            yield order, outcome

    def _submit(self, order: Order) -> Future[Outcome]:
        if self._pool is None:
            spoken = language(), system(), decimal_sign()
            self._pool = ProcessPoolExecutor(self._count, self._context, _prepare, (self._stop, *spoken))
        try:
            with _worker_environment(), _interrupts_held_back():
                return self._pool.submit(_carry_out, self._work, order)
        except BrokenProcessPool as broken:
            failed: Future[Outcome] = Future()
            failed.set_exception(broken)
            return failed

    def _outcome(self, future: Future[Outcome], waiting: Callable[[], None]) -> Outcome | Exception:
        while True:
            try:
                return future.result(timeout=ASK_EVERY_S)
            except NotYet as problem:
                if future.done():
                    return problem
                waiting()
            except Exception as problem:
                return problem

    def _shut_down(self, until_gone: bool = True) -> None:
        pool, self._pool = self._pool, None
        if pool is None:
            return
        if until_gone:
            pool.shutdown(wait=True, cancel_futures=True)
        else:
            # A process that is only starting still wants the event, which goes with the last who has it.
            threading.Thread(target=_see_off, args=(pool, self._stop)).start()


def _see_off(pool: ProcessPoolExecutor, _stop: Event) -> None:
    """Wait until the processes are gone, beside whatever goes on; the interpreter does not end before."""
    pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def _worker_environment() -> Iterator[None]:
    """Processes started in here do linear algebra in one thread each and keep the memory they work in.

    More threads would only be in the way. Libraries read this when they are loaded, which a worker does
    before anything of it runs; so it has to be in the environment it inherits. What the user has set holds.
    """
    added = {name: value for name, value in _ENVIRONMENT.items() if name not in os.environ}
    os.environ.update(added)
    try:
        yield
    finally:
        for name in added:
            os.environ.pop(name, None)


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """Processes started in here are deaf to an interrupt from the first moment on; here it waits meanwhile.

    The mask of signals is inherited (POSIX, 2.4.1). Elsewhere they ignore it once they are set up.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _prepare(stop: Event, code: str, units: System, sign: str) -> None:
    """Set up a worker process; it says what goes wrong in the language and units of its parent."""
    global _stop
    _stop = stop
    use_language(code)
    use_system(units)
    use_decimal_sign(sign)
    if hasattr(os, "nice"):
        os.nice(NICER_BY)
    # An interrupt from the keyboard reaches every process; the parent decides what it means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A worker whose parent was killed would wait for orders forever."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _carry_out(work: Callable[[Any, Progress], Any], order: Any) -> Any:
    return work(order, _ask)


def _ask(share: float) -> None:
    """Progress of a reading inside a worker: stops it when the parent asked to."""
    if _stop is not None and _stop.is_set():
        raise Cancelled
