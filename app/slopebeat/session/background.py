"""Work off the window's thread: long work that can be stopped, and writing that is never given up."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, Qt, Signal

from slopebeat.model.errors import Cancelled, UserError

Progress = Callable[[float], None]
"""Takes the share done, 0 to 1; raises ``Cancelled`` to stop."""

Work = Callable[[Progress], Any]

WORKERS = 2
"""One outing may be read while another is reviewed [project choice]."""


def raise_error(error: Exception) -> None:
    """Where nothing of the world can go wrong an error is ours: it crashes loudly."""
    raise error


def say_problem(say: Callable[[str], None]) -> Callable[[Exception], None]:
    """What says a problem of the world as its sentence; an error of ours crashes loudly."""

    def refused(error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        say(str(error))

    return refused


class Job:
    """A piece of background work that can be cancelled."""

    def __init__(self) -> None:
        self._stop = threading.Event()

    def cancel(self) -> None:
        """Stop at the next sign of progress; neither result nor error is delivered any more."""
        self._stop.set()

    @property
    def cancelled(self) -> bool:
        return self._stop.is_set()


@dataclass(frozen=True)
class _Callbacks:
    """Whom to tell of a job, in the window's thread."""

    on_done: Callable[[Any], None]
    on_error: Callable[[Exception], None]
    on_progress: Progress | None


class Background(QObject):
    """Runs work in threads and delivers progress, results and errors in the thread it lives in.

    The callbacks stay in that thread: were the working thread the last to hold them, it would take apart the
    views that they belong to.
    """

    _progressed = Signal(object, float)
    _finished = Signal(object, object, object)

    def __init__(self, parent: QObject | None = None, workers: int = WORKERS) -> None:
        super().__init__(parent)
        self._pool = ThreadPoolExecutor(workers, thread_name_prefix="slopebeat")
        self._running: dict[Job, _Callbacks] = {}
        self._progressed.connect(self._deliver_progress, Qt.ConnectionType.QueuedConnection)
        self._finished.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def run_in_background(
        self,
        function: Work,
        on_done: Callable[[Any], None],
        on_error: Callable[[Exception], None],
        on_progress: Progress | None = None,
    ) -> Job:
        """Start ``function(progress)`` in a thread and return at once."""
        job = Job()
        self._running[job] = _Callbacks(on_done, on_error, on_progress)
        self._pool.submit(self._work, job, function)
        return job

    def close(self) -> None:
        """Cancel what runs and wait until it has stopped."""
        for job in self._running:
            job.cancel()
        self._pool.shutdown(wait=True)
        self._running.clear()

    @property
    def idle(self) -> bool:
        return not self._running

    def _work(self, job: Job, function: Work) -> None:
        last_percent = -1

        def progress(share: float) -> None:
            nonlocal last_percent
            if job.cancelled:
                raise Cancelled
            percent = int(share * 100)
            if percent != last_percent:
                last_percent = percent
                self._progressed.emit(job, share)

        result, error = None, None
        try:
            progress(0.0)
            result = function(progress)
        except Exception as problem:
            error = problem
        self._finished.emit(job, result, error)

    def _deliver_progress(self, job: Job, share: float) -> None:
        callbacks = self._running.get(job)
        if callbacks is not None and callbacks.on_progress is not None and not job.cancelled:
            callbacks.on_progress(share)

    def _deliver(self, job: Job, result: object, error: Exception | None) -> None:
        callbacks = self._running.pop(job, None)
        if callbacks is None or job.cancelled or isinstance(error, Cancelled):
            return
        if error is not None:
            callbacks.on_error(error)
        else:
            callbacks.on_done(result)


class Latest:
    """Work of one kind, of which only the latest counts: what is started drops what is under way.

    An error goes to ``on_error``; ``on_busy`` hears when work begins where there was none, and when it ends.
    """

    def __init__(
        self,
        background: Background,
        on_error: Callable[[Exception], None] = raise_error,
        on_busy: Callable[[bool], None] = lambda busy: None,
    ) -> None:
        self._background, self._on_error, self._on_busy = background, on_error, on_busy
        self._job: Job | None = None

    @property
    def busy(self) -> bool:
        return self._job is not None

    def start(
        self,
        work: Work,
        on_done: Callable[[Any], None],
        on_progress: Progress | None = None,
    ) -> None:
        """Begin anew."""
        before = self._job
        if before is not None:
            before.cancel()

        def done(result: Any) -> None:
            self._end()
            on_done(result)

        self._job = self._background.run_in_background(work, done, self._failed, on_progress)
        if before is None:
            self._on_busy(True)

    def drop(self) -> None:
        """Give up what is under way; nothing of it is delivered any more."""
        if self._job is not None:
            self._job.cancel()
            self._end()

    def _failed(self, error: Exception) -> None:
        self._end()
        self._on_error(error)

    def _end(self) -> None:
        self._job = None
        self._on_busy(False)


def when_loaded(background: Background, names: Sequence[str], then: Callable[[], None]) -> None:
    """Load modules in a thread, as the window's would be stopped by it for long; then act in that one."""

    def load(progress: Progress) -> None:
        for number, name in enumerate(names):
            progress(number / len(names))
            import_module(name)

    background.run_in_background(load, lambda _: then(), raise_error)


class Newest:
    """What was asked for last stays: a result that comes after one that was asked for later is too late."""

    def __init__(self) -> None:
        self._asked = self._arrived = 0

    def ask(self) -> Callable[[], bool]:
        """Something is asked for; the answer tells, once its result is there, whether that is in time."""
        self._asked += 1
        number = self._asked

        def in_time() -> bool:
            self._arrived = max(self._arrived, number)
            return number == self._arrived

        return in_time


class Writer(Background):
    """Does one thing after the other; unlike other background work it is waited for, not cancelled."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent, workers=1)

    def put(
        self, work: Callable[[], Any], on_done: Callable[[Any], None], on_error: Callable[[Exception], None]
    ) -> None:
        """Do this after all that was put before; the callbacks run in the window's thread."""
        self.run_in_background(lambda _: work(), on_done, on_error)

    def close(self) -> None:
        """Wait until all is done, and tell what came of it."""
        self._pool.shutdown(wait=True)
        QCoreApplication.sendPostedEvents(self)
