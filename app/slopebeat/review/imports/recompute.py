"""Review outings again whose kept results no longer hold: a band was changed, or the computation."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field

from slopebeat.library.faults import LibraryFault
from slopebeat.library.results import Result, StaleOuting
from slopebeat.library.store import Library
from slopebeat.model.errors import Cancelled, UserError
from slopebeat.model.language import tr
from slopebeat.review.imports.importing import ImportProgress
from slopebeat.review.imports.pool import WORKERS, WorkerDied, Workers
from slopebeat.review.imports.report import Unreadable
from slopebeat.review.imports.work import ReviewAgain, review_again
from slopebeat.review.kept_days import find_days
from slopebeat.review.summary import COMPUTATION_VERSION

FEW = 2
"""So many outings are reviewed sooner than worker processes have started [project choice]."""

_log = logging.getLogger(__name__)


@dataclass
class RecomputeReport:
    """What a recomputation did: identities of the outings renewed, and those that could not be.

    ``cancelled`` and ``fault`` are those of :class:`slopebeat.review.imports.importing.ImportReport`.
    """

    renewed: list[str] = field(default_factory=list)
    failed: list[Unreadable] = field(default_factory=list)
    cancelled: bool = False
    fault: str | None = None


def recompute(
    library: Library,
    athlete: str | None = None,
    progress: ImportProgress | None = None,
    workers: int = WORKERS,
    few_here: bool = False,
) -> RecomputeReport:
    """Review every stale outing of an athlete, or of all, with the band in force on its day and ground.

    Each result is on the disk before it is reported; stopped, the next call goes on with the rest.
    ``few_here``: up to :data:`FEW` are reviewed in this process, which no window may be waiting for.
    """
    report = RecomputeReport()
    stale = library.stale_outings(COMPUTATION_VERSION, athlete)
    done = 0

    def tell(name: str = "") -> None:
        if progress is not None:
            progress(done, len(stale), name)

    try:
        count = min(workers, max(len(stale), 1))
        orders = _orders(library, stale, report)
        with Workers(review_again, count, lambda again: len(again.data)) as pool:
            here = few_here and len(stale) <= FEW
            for again, outcome in _reviewed_here(orders, tell) if here else pool.run(orders, tell):
                _take(library, report, again, outcome)
                done = len(report.renewed) + len(report.failed)
                tell(again.stale.outing.file_name)
    except Cancelled:
        report.cancelled = True
    except UserError as fault:
        report.fault = str(fault)
    if report.fault is None:
        # Also where nothing was stale: a library of an earlier version has its days still to be found.
        with suppress(LibraryFault):
            find_days(library, athlete)
    return report


def _orders(library: Library, stale: Sequence[StaleOuting], report: RecomputeReport) -> Iterator[ReviewAgain]:
    for each in stale:
        try:
            data = library.outings.original(each.outing.identity)
        except KeyError:
            continue  # Removed while others were computed.
        except UserError as problem:
            report.failed.append(Unreadable(each.outing.file_name, str(problem)))
            continue
        yield ReviewAgain(each, data)


def _reviewed_here(
    orders: Iterator[ReviewAgain], waiting: Callable[[], None]
) -> Iterator[tuple[ReviewAgain, Result | str | Exception]]:
    """Each order with its outcome as workers give it, one after the other."""
    for again in orders:
        try:
            outcome: Result | str | Exception = review_again(again, lambda share: waiting())
        except Exception as problem:
            outcome = problem
        yield again, outcome


def _take(
    library: Library, report: RecomputeReport, again: ReviewAgain, outcome: Result | str | Exception
) -> None:
    outing = again.stale.outing
    if isinstance(outcome, Cancelled):
        raise outcome
    if isinstance(outcome, Result):
        if library.results.put(outing.identity, outcome):
            report.renewed.append(outing.identity)
    elif isinstance(outcome, str):
        report.failed.append(Unreadable(outing.file_name, outcome))
    else:
        _log.error("The review failed on %s", outing.file_name, exc_info=outcome)
        text = tr("The review of {file} failed ({reason}).")
        if isinstance(outcome, WorkerDied):
            text = tr("The review of {file} stopped twice.")
        names = {"file": outing.file_name, "reason": type(outcome).__name__}
        report.failed.append(Unreadable(outing.file_name, text.format(**names)))
