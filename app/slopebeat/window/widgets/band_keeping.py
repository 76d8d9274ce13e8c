"""Keeping a band for an athlete: a day that has one already is asked about, never silently taken."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from slopebeat.model.language import tr
from slopebeat.model.people import BandPeriod
from slopebeat.session.library.library import LibrarySession
from slopebeat.window.widgets.dialog_parts import Question


def keep_band(
    parent: QWidget,
    session: LibrarySession,
    period: BandPeriod,
    mended: BandPeriod | None = None,
    on_kept: Callable[[], None] | None = None,
    on_refused: Callable[[str], None] | None = None,
) -> None:
    """Keep a band of the athlete looked at, in the place of ``mended`` where there is one."""
    from slopebeat.review.bands import same_day, taken_words  # Of the library: not needed at the start.

    others = [each for each in session.opened.periods if each != mended]
    there = same_day(others, period)
    gone = [each for each in (mended, there) if each is not None]
    if there is not None and not Question.ask(
        parent,
        tr("A band is there already"),
        " ".join((taken_words(there), tr("Put {band} in its place?").format(band=period.band))),
        tr("Replace it"),
    ):
        if on_refused is not None:
            on_refused(tr("Nothing was changed; another day or ground is free."))
        return
    session.entries.put_band(period, on_kept, on_refused, gone)
