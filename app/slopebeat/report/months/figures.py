"""Weeks as JSON values and as CSV, and the figures of months as CSV."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from slopebeat.model.evidence import EDGE_OFF_BPM
from slopebeat.model.people import Phase
from slopebeat.review.export import csv_text
from slopebeat.review.months.months import Months
from slopebeat.review.present.figure import csv_table, json_of
from slopebeat.review.present.weeks import PHASE_FIGURES, WEEK_FIGURES
from slopebeat.review.week.athlete import AthleteWeeks
from slopebeat.review.week.board import PhaseRow, WeekRow
from slopebeat.review.week.words import apart_counts


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


CSV_NAMES = (
    *("figure", "unit", "ground", "terrain", "start_utc", "title", "value", "low", "high"),
    *("left_out",),
)


def months_csv(months: Months) -> str:
    """Every point of every figure as CSV, a row each; outings left out of a figure with the reason."""
    rows: list[list[Any]] = []
    for series in months.series:
        terrain = None if series.terrain is None else str(series.terrain)
        head = [series.figure.name, series.figure.stored, str(series.ground), terrain]
        columns = zip(series.outing, series.value, series.low, series.high, strict=True)
        for index, *values in columns:
            rows.append(
                [
                    *head,
                    *_outing(months, index),
                    *(each if math.isfinite(each) else None for each in values),
                    None,
                ]
            )
        for index, why in series.not_drawn:
            rows.append([*head, *_outing(months, index), None, None, None, str(why)])
    return csv_text(CSV_NAMES, rows)


def _outing(months: Months, index: int) -> tuple[str, str]:
    outing = months.outings[index]
    return outing.start_utc.isoformat(), outing.title
