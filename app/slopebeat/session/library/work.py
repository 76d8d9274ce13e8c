"""Long work on the library, one piece after the other: imports, reviews made again, the demo.

The thread that does the work loads what does it.
"""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.language import tr

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.review.ground.search import SearchReport
    from slopebeat.review.imports.recompute import RecomputeReport
    from slopebeat.review.imports.report import ImportReport
    from slopebeat.review.imports.sources import ImportSource
    from slopebeat.session.background import Background, Job, Progress

TELL_EVERY_S = 0.1
"""Least time between two signs of progress: the window must not drown in them [project choice]."""


ImportProgress = Callable[[int, int, str], None]
"""Files done, of how many, and the one under way."""


class LibraryWork(QObject):
    """Runs tasks in turn; ``progressed`` gives files done, of how many, and the one under way."""

    started = Signal(str)
    progressed = Signal(int, int, str)
    ended = Signal()
    imported = Signal(object)
    arrived = Signal(object)
    """The report of an import nobody asked for at this moment."""
    recomputed = Signal(object)
    demo_filled = Signal()
    ground_found = Signal(object)
    failed = Signal(str)

    def __init__(self, background: Background, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self._waiting: deque[tuple[str, Callable[[ImportProgress], Any], Callable[[Any], None]]] = deque()
        self._job: Job | None = None
        self._stop = threading.Event()

    @property
    def busy(self) -> bool:
        return self._job is not None

    def import_files(
        self,
        library: Library,
        athlete: str | None,
        paths: Sequence[Path | ImportSource],
        load_kg: float = 0.0,
        load_until_s: float | None = None,
        anyway: Collection[str] | None = None,
        by_itself: bool = False,
    ) -> None:
        """Bring files, folders and archives in for an athlete.

        ``anyway``: hashes of those files of them that are to be kept beside other recordings of an outing.
        ``by_itself``: nobody asked for it just now; its report comes with ``arrived``.
        """
        wanted = tuple(paths)

        def run(progress: ImportProgress) -> ImportReport:
            from slopebeat.review.imports.importing import import_files

            rest: dict[str, Any] = {"load_kg": load_kg, "load_until_s": load_until_s}
            return import_files(
                library, athlete, wanted, progress, anyway=anyway is not None, only=anyway, **rest
            )

        def done(report: ImportReport) -> None:
            (self.arrived if by_itself else self.imported).emit(report)
            if report.archives:
                self.recompute(library)
            elif report.notebooks or report.taken_over:
                self.recompute(library, athlete)
            else:
                self.find_ground(library)

        self.run(tr("Importing"), run, done)

    def run(self, words: str, work: Callable[[ImportProgress], Any], done: Callable[[Any], None]) -> None:
        """Any piece of work on a library, in its turn: what it is called, and what to do with the result."""
        self._waiting.append((words, work, done))
        if self._job is None:
            self._next()

    def recompute(self, library: Library, athlete: str | None = None) -> None:
        """Review again what no longer holds."""

        def done(report: RecomputeReport) -> None:
            self.recomputed.emit(report)
            if not report.cancelled:
                self.find_ground(library)

        def run(progress: ImportProgress) -> RecomputeReport:
            from slopebeat.review.imports.recompute import recompute

            return recompute(library, athlete, progress)

        self.run(tr("Reviewing outings again"), run, done)

    def find_ground(self, library: Library, again_for: str | None = None) -> None:
        """Look for ground gone before on ways that were not searched yet, or again on all of an athlete's."""

        def run(progress: ImportProgress) -> SearchReport:
            from slopebeat.review.ground.search import find_again, find_ground

            if again_for is not None:
                return find_again(library, again_for, progress)
            return find_ground(library, progress=progress)

        self.run(tr("Looking for ground gone before"), run, self.ground_found.emit)

    def fill_demo(self, library: Library) -> None:
        """Put the demo's people and outings into a library."""

        def run(progress: ImportProgress) -> None:
            from slopebeat.review.demo_months import fill_with_demo

            fill_with_demo(library, progress)

        def done(_: None) -> None:
            self.demo_filled.emit()
            self.find_ground(library)

        self.run(tr("Building the demo library, this once"), run, done)

    def cancel(self) -> None:
        """Stop what runs at the next sign of progress and forget what waits; what is done stays."""
        self._waiting.clear()
        self._stop.set()

    def _next(self) -> None:
        # What a task's end asks for may have started already: never two at once.
        if self._job is not None or not self._waiting:
            return
        words, work, take = self._waiting.popleft()
        self._stop = stop = threading.Event()
        self.started.emit(words)

        def run(progress: Progress) -> Any:
            return work(self._teller(progress, stop))

        def done(result: Any) -> None:
            self._finish()
            take(result)
            self._next()

        self._job = self._background.run_in_background(run, done, self._failed)

    def _finish(self) -> None:
        self._job = None
        self.ended.emit()

    def _failed(self, error: Exception) -> None:
        self._finish()
        if isinstance(error, UserError):
            self.failed.emit(str(error))
        elif not isinstance(error, Cancelled):
            raise error
        self._next()

    def _teller(self, progress: Progress, stop: threading.Event) -> ImportProgress:
        last = 0.0

        def tell(done: int, total: int, name: str) -> None:
            nonlocal last
            if stop.is_set():
                raise Cancelled
            progress(done / total if total else 0.0)
            now = time.monotonic()
            if now - last >= TELL_EVERY_S or done == total:
                last = now
                self.progressed.emit(done, total, name)

        return tell
