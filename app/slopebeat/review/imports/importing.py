"""Bring recordings into a library: files, folders and archives, in the background, again without harm."""

from __future__ import annotations

import logging
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import ExitStack, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from slopebeat.files.reading import read
from slopebeat.library.faults import LibraryFault
from slopebeat.library.imports import ImportedOuting, IncomingOuting
from slopebeat.library.notebooks import NotebookFault, Notebooks
from slopebeat.library.outings import Original, StoredOuting
from slopebeat.library.results import Inputs
from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.language import tr
from slopebeat.model.outing.notebooks import ContentKey
from slopebeat.model.recording import content_hash
from slopebeat.review.archive.archive import is_archive
from slopebeat.review.archive.library import merge_archive, no_progress
from slopebeat.review.duplicates import match_of
from slopebeat.review.imports.pool import WORKERS, WorkerDied, Workers
from slopebeat.review.imports.report import Asked, Duplicate, ImportReport, TakenOver, Unreadable
from slopebeat.review.imports.sources import ImportSource, find_sources, printable
from slopebeat.review.imports.work import Order, ReadOutcome, read_and_review
from slopebeat.review.kept_days import find_days
from slopebeat.review.notes.keeping import move_to_outing

_log = logging.getLogger(__name__)

ImportProgress = Callable[[int, int, str], None]
"""Told how many files are done, of how many, and the name of one under way; raises Cancelled to stop."""


def import_files(
    library: Library,
    athlete: str | Inputs | None,
    paths: Sequence[Path | ImportSource],
    progress: ImportProgress | None = None,
    on_kept: Callable[[ImportedOuting], None] | None = None,
    load_kg: float = 0.0,
    load_until_s: float | None = None,
    workers: int = WORKERS,
    anyway: bool = False,
    only: Collection[str] | None = None,
) -> ImportReport:
    """Import recordings for an athlete; KeyError for an unknown one.

    Parameters
    ----------
    athlete : whose recordings they are; a new athlete with the first bands comes into the library together
        with the first outing, or not at all. None where there are only archives of this program, which know.
    paths : files, folders (with all folders in them) and ZIP archives; or what was read of a file before. An
        archive of this program is recognised by its content and taken in.
    progress : called after each file and several times a second in between.
    on_kept : called with each outing after it is on the disk.
    load_kg, load_until_s : load carried on all of them, until so many seconds from the start or throughout.
    anyway : what is another recording of an outing that is there is kept beside it; the same bytes never are.
    only : hashes of the files to keep, as a report has them; all of them where None.
    """
    archives = [path for path in paths if isinstance(path, Path) and is_archive(path)]
    paths = [path for path in paths if path not in archives]
    report = ImportReport()
    if paths and athlete is not None:
        load = (load_kg, load_until_s)
        report = _Import(library, athlete, progress, on_kept, load, anyway, only).run(paths, workers)
    if not report.cancelled and report.fault is None:
        _take_in(library, archives, progress, report)
    _find_days(library, report)
    return report


def _find_days(library: Library, report: ImportReport) -> None:
    """What came in may go on where another ended; after half an import, too."""
    try:
        find_days(library)
    except LibraryFault as fault:
        report.fault = report.fault or str(fault)


def _take_in(
    library: Library, archives: Sequence[Path], progress: ImportProgress | None, report: ImportReport
) -> None:
    """Archives of this program go to the athletes they are of."""
    for path in archives:
        try:
            report.archives.append(merge_archive(library, path, progress=progress or no_progress))
        except Cancelled:
            report.cancelled = True
            break
        except LibraryFault as fault:
            report.fault = str(fault)
            break
        except UserError as problem:
            report.unreadable.append(Unreadable(printable(path.name), printable(str(problem))))


@dataclass(eq=False)
class _Import:
    """One import under way; see :func:`import_files`."""

    _library: Library
    _whose: str | Inputs
    _progress: ImportProgress | None
    _on_kept: Callable[[ImportedOuting], None] | None
    _load: tuple[float, float | None]
    _anyway: bool
    _only: Collection[str] | None
    _done: int = 0
    _total: int = 0
    _name: str = ""

    def __post_init__(self) -> None:
        self.report, self._notebooks = ImportReport(), Notebooks()
        self._is_new = not isinstance(self._whose, str)
        self._inputs = self._library.inputs(self._whose) if isinstance(self._whose, str) else self._whose
        self._athlete = self._inputs.athlete.identity

    def run(self, paths: Sequence[Path | ImportSource], workers: int) -> ImportReport:
        self.report.asked = Asked(self._athlete, tuple(paths), *self._load)
        with self._notebooks.for_many(), ExitStack() as stack:
            try:
                sources = find_sources(paths, stack, self.unreadable)
                self._total = len(sources)
                count = min(workers, max(len(sources), 1))
                with Workers(read_and_review, count, lambda order: len(order.data)) as pool:
                    for order, outcome in pool.run(self.orders(sources), self.tell):
                        self.take(order, outcome)
            except Cancelled:
                self.report.cancelled = True
            except UserError as fault:
                self.report.fault = str(fault)
        return self.report

    def orders(self, sources: Sequence[ImportSource]) -> Iterator[Order]:
        """What has to be read; files whose content is here already are passed over."""
        for source in sources:
            self._name = source.name
            self.tell()
            try:
                data = source.read()
            except UserError as problem:
                self.unreadable(source.name, str(problem))
                self._finished()
                continue
            digest = content_hash(data)
            if self._only is not None and digest not in self._only:
                self._finished()
                continue
            known = self._library.imports.known(self._athlete, digest, as_others=not self._anyway)
            if known:
                self._pass_over(source, data, digest, known)
                continue
            yield Order(source.name, source.file_name, data, digest, self._inputs, *self._load)

    def take(self, order: Order, outcome: ReadOutcome | Exception) -> None:
        """Keep what came of an order, and only then report it."""
        if isinstance(outcome, Exception):
            outcome = ReadOutcome(problem=_fault_of_ours(order, outcome))
        if outcome.original is None:
            self.unreadable(order.name, outcome.problem or tr("It gave nothing."))
        else:
            met = self._met(outcome)
            kept = self._keep(order, outcome.original, met)
            for arrival, each in zip(met, kept, strict=True):
                self._report(order.name, each, outcome.original.content_hash)
                key = ContentKey(outcome.original.content_hash, arrival.facts.activity)
                self._bring_notebook(order.name, key, each.outing, arrival.facts.start_utc)
        self._finished()

    def _pass_over(
        self, source: ImportSource, data: bytes, digest: str, known: Sequence[StoredOuting]
    ) -> None:
        """A file that is here already; what was noted on it meanwhile goes along."""
        for outing in known:
            duplicate = Duplicate(source.name, outing, digest)
            self.report.duplicates.append(duplicate)
            if duplicate.same_file:
                self._bring_notebook(source.name, ContentKey(digest, outing.activity), outing)
        for activity in range(len(known)):
            self._bring_from_other(source, data, ContentKey(digest, activity))
        self._finished()

    def _bring_from_other(self, source: ImportSource, data: bytes, key: ContentKey) -> None:
        """What was noted on a recording whose outing is kept by another; the file is read only then."""
        if self._notebooks.read(key)[0].empty:
            return
        for outing in self._library.imports.holding(key.content_hash, key.activity):
            if outing.athlete == self._athlete and outing.content_hash != key.content_hash:
                with suppress(UserError, IndexError):
                    start_utc = read(data, name=source.file_name).recordings[key.activity].start_utc
                    self._bring_notebook(source.name, key, outing, start_utc)

    def _met(self, outcome: ReadOutcome) -> tuple[IncomingOuting, ...]:
        """The arrivals, each with what it is to the outings kept of other files."""
        if self._anyway or self._is_new or outcome.original is None:
            return outcome.arrivals
        digest = outcome.original.content_hash
        return tuple(
            replace(arrival, match=match_of(self._library, self._athlete, arrival, trace, digest, marks))
            for arrival, trace, marks in zip(outcome.arrivals, outcome.traces, outcome.proposed, strict=True)
        )

    def _keep(
        self, order: Order, original: Original, arrivals: Sequence[IncomingOuting]
    ) -> tuple[ImportedOuting, ...]:
        """Keep a file, and with the first one an athlete who is new: an empty one is of no use to anybody."""
        with self._library.together():
            if self._is_new:
                self._library.athletes.add(self._inputs.athlete)
                for period in self._inputs.periods:
                    self._library.bands.put(period)
            kept = self._library.imports.keep(self._athlete, original, order.file_name, arrivals)
        self._is_new = False
        return kept

    def unreadable(self, name: str, sentence: str) -> None:
        self.report.unreadable.append(Unreadable(printable(name), printable(sentence)))

    def tell(self) -> None:
        """Say how far it is; the listener may raise Cancelled."""
        if self._progress is not None:
            self._progress(self._done, self._total, self._name)

    def _finished(self) -> None:
        self._done += 1
        self.tell()

    def _bring_notebook(
        self, name: str, key: ContentKey, outing: StoredOuting, start_utc: datetime | None = None
    ) -> None:
        """What was noted on the recording goes along; a notebook that cannot be read keeps no outing out."""
        try:
            brought, problem = move_to_outing(self._library, outing, self._notebooks, key, start_utc)
            self.report.notebooks += brought
        except NotebookFault as fault:
            problem = str(fault)
        if problem:
            self.unreadable(name, problem)

    def _report(self, name: str, kept: ImportedOuting, digest: str) -> None:
        report, outing = self.report, kept.outing
        if kept.is_new:
            report.imported.append(outing)
        elif kept.took_over:
            report.taken_over.append(TakenOver(name, outing, kept.took_over))
            # One that came in just before is now kept by another file; one that was a part is gone.
            there = {each.identity for each in self._library.outings.of(self._athlete)}
            here = [each for each in report.imported if each.identity in there]
            report.imported = [outing if each.identity == outing.identity else each for each in here]
        else:
            report.duplicates.append(Duplicate(name, outing, digest))
        if self._on_kept is not None:
            self._on_kept(kept)


def _fault_of_ours(order: Order, problem: Exception) -> str:
    """One file this program stumbles over must not keep a thousand others out; the log has the rest."""
    if isinstance(problem, Cancelled):
        raise problem
    _log.error("The import failed on %s", order.name, exc_info=problem)
    if isinstance(problem, WorkerDied):
        text = tr("{file} brought the reader to a stop twice; it was left out.")
        return text.format(file=order.file_name)
    text = tr("{file} met a fault of this program ({reason}); it was left out.")
    return text.format(file=order.file_name, reason=type(problem).__name__)
