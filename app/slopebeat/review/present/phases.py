"""Phases side by side: the columns."""

from __future__ import annotations

from slopebeat.model.language import mark, tr
from slopebeat.review.present.figure import PROJECT_CHOICE, SHARE, WORDS, Figure, On, number_of
from slopebeat.review.week.phases import PhaseRow
from slopebeat.review.week.words import entry_words

SHOWN = On.WINDOW | On.TERMINAL
MINUTES = number_of(0, "min", 1 / 60)


def phase_name(row: PhaseRow) -> str:
    return tr("no phase") if row.phase is None else entry_words(row.phase)


PHASE_FIGURES: tuple[Figure, ...] = (
    Figure(
        "phases.name",
        mark("Phase"),
        mark("Blocks, camps and illness, and the days of none from the first outing on."),
        mark("A week is seven days of the phase; a phase of some days counts for that share of a week."),
        PROJECT_CHOICE,
        mark("What changed from one phase to another need not come from the phase."),
        get=lambda _, row: phase_name(row),
        kind=WORDS,
        on=SHOWN,
    ),
    Figure(
        "phases.from",
        mark("From"),
        get=lambda _, row: "" if row.phase is None else row.phase.first_day.isoformat(),
        kind=WORDS,
        on=SHOWN,
    ),
    Figure("phases.days", mark("Days"), json="days", on=SHOWN),
    Figure("phases.outings", mark("Outings"), json="outings", on=SHOWN),
    Figure("phases.in_band", mark("In band\na week"), json="in_band_s", kind=MINUTES, on=SHOWN),
    Figure("phases.above", mark("Above\na week"), json="above_s", kind=MINUTES, on=SHOWN),
    Figure("phases.sessions", mark("Sessions\na week"), json="sessions", kind=number_of(1), on=SHOWN),
    Figure("phases.share", mark("Share\nin band"), json="share", kind=SHARE, on=SHOWN),
)
"""The row is a :class:`PhaseRow`."""
