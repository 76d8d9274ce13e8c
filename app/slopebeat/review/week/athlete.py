"""The weeks of one athlete, as the command and files have them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from slopebeat.analysis.months.choice import Choice
from slopebeat.library.store import Library
from slopebeat.model.evidence import EDGE_OFF_BPM
from slopebeat.model.language import trn
from slopebeat.model.people import Athlete, Phase
from slopebeat.review.export import csv_text
from slopebeat.review.present.figure import csv_table, json_of
from slopebeat.review.present.phases import PHASE_FIGURES
from slopebeat.review.present.weeks import WEEK_FIGURES
from slopebeat.review.week.board import WeekRow, read_outings, week_rows
from slopebeat.review.week.phases import PhaseRow, phase_rows
from slopebeat.review.week.words import apart_counts

EVERYTHING = Choice()


@dataclass(frozen=True)
class AthleteWeeks:
    """The weeks of one athlete; ``waiting`` outings are not computed yet and in none of them."""

    athlete: Athlete
    rows: tuple[WeekRow, ...]
    waiting: int
    phases: tuple[PhaseRow, ...] = ()

    @property
    def waiting_words(self) -> str:
        """That some outings are not computed yet; empty where all are."""
        if not self.waiting:
            return ""
        told = trn(
            "{n} outing is not computed yet and in no week; open the library to do so.",
            "{n} outings are not computed yet and in no week; open the library to do so.",
            self.waiting,
        )
        return told.format(n=self.waiting)


def weeks_of(
    library: Library, athlete: Athlete, until: date, choice: Choice = EVERYTHING, only: date | None = None
) -> AthleteWeeks:
    """The weeks up to the one that holds ``until``; ``only``: Monday of the one week wanted."""
    outings = read_outings(library, athlete.identity)
    inputs = library.inputs(athlete.identity)
    rows = week_rows(inputs, outings, until, choice)
    if only is not None:
        rows = tuple(row for row in rows if row.week.monday == only)
    waiting = sum(each.summary is None for each in outings)
    return AthleteWeeks(athlete, rows, waiting, phase_rows(inputs, outings, until))


def weeks_values(found: Sequence[AthleteWeeks], notes: tuple[str, ...] = ()) -> dict[str, Any]:
    """The weeks as JSON values: seconds, minutes as prescribed, names of outings."""
    return {
        "edge_off_bpm": EDGE_OFF_BPM,
        "athletes": [
            {
                "athlete": each.athlete.name,
                "waiting": each.waiting,
                "phases": [_phase_values(at, row) for at, row in enumerate(each.phases)],
                "weeks": [_values(at, row) for at, row in enumerate(each.rows)],
            }
            for each in found
        ],
        "warnings": list(notes),
    }


def weeks_csv(found: Sequence[AthleteWeeks]) -> str:
    """The same as CSV, a row for each week of each athlete; times in minutes."""
    return csv_text(*csv_table(WEEK_FIGURES, [row for each in found for row in each.rows]))


def _phase_values(at: int, row: PhaseRow) -> dict[str, Any]:
    """The figures of a phase a week, under the name of its kind; of the days of none under null."""
    return {"phase": None if row.phase is None else _named(row.phase), **json_of(PHASE_FIGURES, at, row)}


def _named(phase: Phase) -> dict[str, Any]:
    return {
        "kind": phase.kind.value,
        "text": phase.text,
        "first_day": phase.first_day.isoformat(),
        "last_day": None if phase.last_day is None else phase.last_day.isoformat(),
    }


def _values(at: int, row: WeekRow) -> dict[str, Any]:
    phases = [_named(each) for each in row.phases]
    return json_of(WEEK_FIGURES, at, row) | {"phases": phases, "apart": apart_counts(row)}
