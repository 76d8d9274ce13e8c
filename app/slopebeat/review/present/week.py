"""The week of every athlete: the columns of the board."""

from __future__ import annotations

from typing import Any

from slopebeat.model.language import mark
from slopebeat.model.units import MISSING
from slopebeat.review.present.figure import SHARE, WORDS, Figure, Topic
from slopebeat.review.present.weeks import PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.words import (
    above_words,
    in_band_words,
    last_words,
    met_words,
    sessions_words,
    to_review_words,
    verdict_words,
)


def _board(figure_key: str, name: str, line: str, **rest: Any) -> Figure:
    return Figure(f"board.{figure_key}", name, line, **rest)


BOARD_FIGURES: tuple[Figure, ...] = (
    _board(
        "athlete",
        mark("Athlete"),
        mark("By name; Enter opens the first outing that is to be reviewed."),
        get=lambda _, row: row.athlete.name,
        kind=WORDS,
    ),
    _board(
        "in_band",
        mark("In band\nmin"),
        mark("Minutes in band of the week, of those prescribed."),
        get=lambda _, row: row.week.in_band_s,
        words=lambda row: in_band_words(row.week),
    ),
    _board(
        "above",
        mark("Above\nmin"),
        mark("Minutes above the band, beside those in it."),
        get=lambda _, row: row.week.above_s,
        words=lambda row: above_words(row.week),
    ),
    _board(
        "sessions",
        mark("Sessions"),
        mark("Outings that hold at least 20 minutes in band."),
        get=lambda _, row: row.week.sessions,
        words=lambda row: sessions_words(row.week),
    ),
    _board(
        "met",
        mark("Prescription"),
        mark("Whether what is in force this week was done."),
        get=lambda _, row: met_words(row.week),
        kind=WORDS,
    ),
    _board(
        "last",
        mark("Last outing"),
        mark("The latest up to the end of the week."),
        get=lambda _, row: row.last.outing.start_utc.timestamp() if row.last else None,
        words=last_words,
        kind=WORDS,
    ),
    _board(
        "verdict",
        mark("Steady or drifted"),
        mark("Terrain-fair decoupling of that outing, with 5 % as the limit of steady."),
        text=mark(
            "Steady where all of the 95 % interval lies under 5 %, drifted where all of it lies over, else "
            "it cannot be told from this outing."
        ),
        source=mark("5 % is common practice, no source."),
        get=lambda _, row: verdict_words(row.last.summary) if row.last else None,
        words=lambda row: verdict_words(row.last.summary) if row.last else MISSING,
        kind=WORDS,
    ),
    _board(
        "notes",
        mark("New\nnotes"),
        mark("Written or changed since the outing was ticked off."),
        get=lambda _, row: row.new_notes,
    ),
    _board(
        "doubts",
        mark("Doubts"),
        mark("Doubtful stretches of the week nobody has decided on."),
        get=lambda _, row: row.doubts,
    ),
    _board(
        "coverage",
        mark("Trusted\nheart rate"),
        mark("Share of the recorded time with trusted heart rate."),
        get=lambda _, row: row.coverage,
        kind=SHARE,
    ),
    _board(
        "to_review",
        mark("To\nreview"),
        mark("Outings of the week that nobody has ticked off yet."),
        get=lambda _, row: len(row.to_review),
        words=to_review_words,
    ),
)
"""The row is an :class:`AthleteWeek`."""

WEEK = Topic("week", mark("The week"), (*BOARD_FIGURES, *WEEK_FIGURES, *PHASE_FIGURES))
