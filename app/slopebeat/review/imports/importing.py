"""Bring recordings into a library: files, folders and archives, in the background, again without harm."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from slopebeat.library.arrivals import Arrival, Kept
from slopebeat.library.faults import LibraryFault
from slopebeat.library.notebooks import ContentKey, NotebookFault, Notebooks
from slopebeat.library.originals import Original
from slopebeat.library.outings import StoredOuting
from slopebeat.library.results import Inputs
from slopebeat.library.store import Library
from slopebeat.model.content import content_hash
from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.language import tr
from slopebeat.review.archive.archive import is_archive
from slopebeat.review.archive.library import ArchiveMerge, merge_archive, no_progress
from slopebeat.review.imports.pool import WORKERS, WorkerDied, Workers
from slopebeat.review.imports.sources import ImportSource, find_sources, plain
from slopebeat.review.imports.work import Order, Outcome, read_and_review
from slopebeat.review.notes.keeping import hand_over

_log = logging.getLogger(__name__)

ImportProgress = Callable[[int, int, str], None]
"""Told how many files are done, of how many, and the name of one under way; raises Cancelled to stop."""


@dataclass(frozen=True)
class Unreadable:
    """A file that gave nothing, and why in a sentence."""

    name: str
    sentence: str


@dataclass(frozen=True)
class Duplicate:
    """An activity that was in the library already, and as what."""

    name: str
    outing: StoredOuting


@dataclass
class ImportReport:
    """What an import did.

    Attributes
    ----------
    imported : new outings, each on the disk. duplicates : activities already there.
    unreadable : files and archives that gave nothing.
    archives : what taking in each archive of this program did.
    notebooks : outings that brought notes or decisions along, made while they were in no library.
    cancelled : whether it was stopped before the end. fault : why the library could take no more, in a
        sentence; None when it could. In both cases what is listed as imported stays, and the same import
        started again goes on from there.
    """

    imported: list[StoredOuting] = field(default_factory=list)
    duplicates: list[Duplicate] = field(default_factory=list)
    unreadable: list[Unreadable] = field(default_factory=list)
    archives: list[ArchiveMerge] = field(default_factory=list)
    notebooks: int = 0
    cancelled: bool = False
    fault: str | None = None


def import_files(
    library: Library,
    athlete: str | Inputs | None,
    paths: Sequence[Path | ImportSource],
    progress: ImportProgress | None = None,
    on_kept: Callable[[Kept], None] | None = None,
    load_kg: float = 0.0,
    load_until_s: float | None = None,
    workers: int = WORKERS,
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
    """
    archives = [path for path in paths if isinstance(path, Path) and is_archive(path)]
    paths = [path for path in paths if path not in archives]
    if not paths or athlete is None:
        return _take_in(library, archives, progress, ImportReport())
    run = _Import(library, athlete, progress, on_kept, (load_kg, load_until_s))
    with ExitStack() as stack:
        try:
            sources = find_sources(paths, stack, run.unreadable)
            run.total = len(sources)
            with Workers(read_and_review, min(workers, max(len(sources), 1))) as pool:
                for order, outcome in pool.run(run.orders(sources), run.tell):
                    run.take(order, outcome)
        except Cancelled:
            run.report.cancelled = True
        except UserError as fault:
            run.report.fault = str(fault)
    if run.report.cancelled or run.report.fault is not None:
        return run.report
    return _take_in(library, archives, progress, run.report)


def _take_in(
    library: Library, archives: Sequence[Path], progress: ImportProgress | None, report: ImportReport
) -> ImportReport:
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
            report.unreadable.append(Unreadable(plain(path.name), plain(str(problem))))
    return report


class _Import:
    """One import under way."""

    def __init__(
        self,
        library: Library,
        athlete: str | Inputs,
        progress: ImportProgress | None,
        on_kept: Callable[[Kept], None] | None,
        load: tuple[float, float | None],
    ) -> None:
        self.report = ImportReport()
        self.total = 0
        self._library = library
        self._inputs = library.inputs(athlete) if isinstance(athlete, str) else athlete
        self._athlete = self._inputs.athlete.identity
        self._is_new = not isinstance(athlete, str)
        self._progress = progress
        self._on_kept = on_kept
        self._load = load
        self._notebooks = Notebooks()
        self._done = 0
        self._name = ""

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
            known = self._library.arrivals.known(self._athlete, digest)
            if known:
                self.report.duplicates += [Duplicate(source.name, outing) for outing in known]
                for outing in known:
                    self._bring_notebook(source.name, ContentKey(digest, outing.activity), outing)
                self._finished()
                continue
            yield Order(source.name, source.file_name, data, self._inputs, *self._load)

    def take(self, order: Order, outcome: Outcome | Exception) -> None:
        """Keep what came of an order, and only then report it."""
        if isinstance(outcome, Exception):
            outcome = Outcome(problem=_fault_of_ours(order, outcome))
        if outcome.original is None:
            self.unreadable(order.name, outcome.problem or tr("It gave nothing."))
        else:
            kept = self._keep(order, outcome.original, outcome.arrivals)
            for each in kept:
                self._report(order.name, each)
            for arrival, each in zip(outcome.arrivals, kept, strict=True):
                key = ContentKey(outcome.original.content_hash, arrival.facts.activity)
                self._bring_notebook(order.name, key, each.outing)
        self._finished()

    def _keep(self, order: Order, original: Original, arrivals: Sequence[Arrival]) -> tuple[Kept, ...]:
        """Keep a file, and with the first one an athlete who is new: an empty one is of no use to anybody."""
        with self._library.together():
            if self._is_new:
                self._library.athletes.add(self._inputs.athlete)
                for period in self._inputs.periods:
                    self._library.bands.put(period)
            kept = self._library.arrivals.keep(self._athlete, original, order.file_name, arrivals)
        self._is_new = False
        return kept

    def unreadable(self, name: str, sentence: str) -> None:
        self.report.unreadable.append(Unreadable(plain(name), plain(sentence)))

    def tell(self) -> None:
        """Say how far it is; the listener may raise Cancelled."""
        if self._progress is not None:
            self._progress(self._done, self.total, self._name)

    def _finished(self) -> None:
        self._done += 1
        self.tell()

    def _bring_notebook(self, name: str, key: ContentKey, outing: StoredOuting) -> None:
        """What was noted on the recording goes along; a notebook that cannot be read keeps no outing out."""
        try:
            brought, problem = hand_over(self._library, outing, self._notebooks, key)
            self.report.notebooks += brought
        except NotebookFault as fault:
            problem = str(fault)
        if problem:
            self.unreadable(name, problem)

    def _report(self, name: str, kept: Kept) -> None:
        if kept.is_new:
            self.report.imported.append(kept.outing)
        else:
            self.report.duplicates.append(Duplicate(name, kept.outing))
        if self._on_kept is not None:
            self._on_kept(kept)


def _fault_of_ours(order: Order, problem: Exception) -> str:
    """One file this program stumbles over must not keep a thousand others out; the log has the rest."""
    if isinstance(problem, Cancelled):
        raise problem
    _log.error("The import failed on %s", order.name, exc_info=problem)
    if isinstance(problem, WorkerDied):
        told = tr("{file} brought the reader to a stop twice; it was left out.")
        return told.format(file=order.file_name)
    told = tr("{file} met a fault of this program ({reason}); it was left out.")
    return told.format(file=order.file_name, reason=type(problem).__name__)
