"""Samples, climbs, episodes and notes as CSV tables with units in their headers."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import RULES, Note, NoteKind, present
from slopebeat.review.outing import Review
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import csv_table
from slopebeat.review.samples import SAMPLE_COLUMNS
from slopebeat.review.words.names import NAMES

Cell = str | float | int | None

ACTING = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""First characters by which a spreadsheet takes a text for a formula (OWASP, CSV injection)."""


def harmless(text: str) -> str:
    """The text with an apostrophe before it where a spreadsheet would run it."""
    kept = text.replace("\x00", " ").encode("utf-8", "replace").decode("utf-8")
    return f"'{kept}" if kept.lstrip(" ").startswith(ACTING) else kept


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """A table as CSV (RFC 4180): numbers stay numbers, unknown ones are empty, texts are made harmless."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([harmless(name) for name in header])
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: Cell) -> str | float | int:
    if value is None:
        return ""
    if isinstance(value, str):
        return harmless(value)
    if isinstance(value, float):
        # Ten figures hold every channel and spare the noise of binary fractions.
        return float(f"{value:.10g}") if math.isfinite(value) else ""
    return value


def samples_csv(review: Review) -> str:
    """Every record as the file has it, and beside it what cleaning and analysis made of it."""
    header, columns = [], []
    for column in SAMPLE_COLUMNS:
        values = column.get(review)
        if values is not None:
            header.append(column.csv)
            columns.append(_cells(values, column.csv_factor))
    return csv_text(header, zip(*columns, strict=True))


def _cells(values: Sequence[Any] | np.ndarray, factor: float) -> Sequence[Cell]:
    if not isinstance(values, np.ndarray):
        return values
    if values.dtype == bool:
        return ["yes" if value else "no" for value in values.tolist()]
    cells: list[Cell] = (values * factor).tolist()
    return cells


def climbs_csv(review: Review) -> str:
    """Every climb, numbered as on the charts."""
    return csv_text(*csv_table(CLIMB_FIGURES, review.climbs))


def episodes_csv(review: Review) -> str:
    """Every episode out of band with its cause and the number of its climb."""
    return csv_text(*csv_table(EPISODE_FIGURES, episode_rows(review)))


def notes_csv(notes: Iterable[Note]) -> str:
    """Notes that were not taken back."""
    header = ["start (s)", "end (s)", "kind", "value", "unit", "in words", "author", "text"]
    header += ["created (UTC)", "changed (UTC)"]
    rows = [
        [
            *(note.start_s, note.end_s, note.kind.value, note.value, RULES[note.kind].unit, _in_words(note)),
            *(note.author.value, note.text, note.created_utc.isoformat(), note.changed_utc.isoformat()),
        ]
        for note in present(notes)
    ]
    return csv_text(header, rows)


def _in_words(note: Note) -> str:
    """The heading of a note as files have it: in English and SI, whatever is on screen."""
    kind = NAMES[NoteKind][note.kind]
    if note.value is None:
        return kind
    if note.kind is NoteKind.TALK_TEST:
        return f"{kind}: {_TALK[int(note.value)]}"
    return f"{kind} {note.value:g} {RULES[note.kind].unit}"


_TALK = {1: "single words", 2: "phrases", 3: "full sentences"}


TABLE_NAMES = ("samples.csv", "climbs.csv", "episodes.csv", "notes.csv")
"""Files in a folder of tables."""


def write_csv_folder(review: Review, folder: Path, notes: Iterable[Note] = ()) -> tuple[Path, ...]:
    """Write the four tables into a folder, made where it is missing; returns the files.

    Raises
    ------
    UserError
        With a sentence, when the folder cannot be written to; a file is whole or not there.
    """
    contents = (samples_csv(review), climbs_csv(review), episodes_csv(review), notes_csv(notes))
    tables = dict(zip(TABLE_NAMES, contents, strict=True))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        told = tr("The tables could not be written to {folder}: {reason}.")
        raise UserError(told.format(folder=folder, reason=reason)) from problem
    for name, text in tables.items():
        # The mark of UTF-8 at its start is what spreadsheets know it by.
        write_whole(folder / name, text.encode("utf-8-sig"))
    return tuple(folder / name for name in tables)
