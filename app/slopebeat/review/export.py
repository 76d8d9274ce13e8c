"""A review as tables in CSV files and as text for the clipboard."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from slopebeat.analysis.account.time_account import BandState
from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import System, decimal_sign, figure
from slopebeat.model.notes import RULES, Note, NoteKind, present
from slopebeat.model.recording import title_of
from slopebeat.model.units import clock, percent
from slopebeat.review.answer import answer, why
from slopebeat.review.cautions import cautions
from slopebeat.review.outing import Review
from slopebeat.review.present.account import parts_of
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import csv_table
from slopebeat.review.present.stretch import NUMBER, STRETCH_FIGURES, SplitBy, splits
from slopebeat.review.samples import SAMPLE_COLUMNS
from slopebeat.review.words.names import NAMES, key_name

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


def splits_csv(review: Review) -> str:
    """Laps of the device, then kilometres, then steps of 100 m of ascent, each measured as on screen."""
    header: list[str] = []
    rows: list[list[Any]] = []
    for by in SplitBy:
        header, cells = csv_table((NUMBER, *STRETCH_FIGURES), splits(review, by, System.METRIC))
        rows += [[by.value, *row] for row in cells]
    return csv_text(["cut by", *header], rows)


TABLE_NAMES = ("samples.csv", "climbs.csv", "episodes.csv", "splits.csv", "notes.csv")
"""Files in a folder of tables."""


def write_csv_folder(review: Review, folder: Path, notes: Iterable[Note] = ()) -> tuple[Path, ...]:
    """Write the five tables into a folder, made where it is missing; returns the files.

    Raises
    ------
    UserError
        With a sentence, when the folder cannot be written to; a file is whole or not there.
    """
    contents = (
        *(samples_csv(review), climbs_csv(review), episodes_csv(review), splits_csv(review)),
        notes_csv(notes),
    )
    tables = dict(zip(TABLE_NAMES, contents, strict=True))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        sentence = tr("The tables could not be written to {folder}: {reason}.")
        raise UserError(sentence.format(folder=folder, reason=reason)) from problem
    for name, text in tables.items():
        # The mark of UTF-8 at its start is what spreadsheets know it by.
        write_whole(folder / name, text.encode("utf-8-sig"))
    return tuple(folder / name for name in tables)


MOST_NOTES = 20
"""Notes in a summary; more would make it no summary [project choice]."""


def summary_text(review: Review, notes: Iterable[Note] = ()) -> str:
    """The answer and the notes in a few lines that can be pasted into a message."""
    recording, account, fair = review.recording, review.account, review.terrain_fair
    lines = [
        f"{title_of(recording) or tr('Outing')}, {recording.start_text}",
        answer(review),
        why(review),
    ]
    if account is not None:
        shares = [
            tr("{part} {time} ({share})").format(
                part=part.name, time=clock(part.seconds), share=percent(part.share)
            )
            for part in parts_of(account)
            if account.covered and part.state in (BandState.IN_BAND, BandState.ABOVE, BandState.BELOW)
        ]
        listed = ", ".join(shares) or tr("too little trusted heart rate")
        lines.append(tr("Band {band}: {shares}.").format(band=review.aim.band, shares=listed))
    if fair.percent is not None and fair.interval_percent is not None:
        low, high = (figure(end, 1) for end in fair.interval_percent)
        lines.append(
            tr("Terrain-fair decoupling {percent} % (95 % interval {low} to {high} %), {status}.").format(
                percent=figure(fair.percent, 1), low=low, high=high, status=key_name(fair.status)
            )
        )
    lines += _note_lines(present(notes))
    lines += cautions(0)
    return "\n".join(" ".join(line.split()) for line in lines if line)


def _note_lines(notes: Sequence[Note]) -> list[str]:
    lines = []
    for note in notes[:MOST_NOTES]:
        values = {
            "place": note.place,
            "author": key_name(note.author),
            "heading": note.heading,
            "text": note.text,
        }
        worded = tr("Note, {place}, {author}: {heading}: {text}") if note.text.strip() else None
        lines.append((worded or tr("Note, {place}, {author}: {heading}")).format(**values))
    left = len(notes) - MOST_NOTES
    if left > 0:
        lines.append(trn("{count} more note.", "{count} more notes.", left).format(count=left))
    return lines


def table_text(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table as tab-separated lines, as spreadsheets paste them; no cell can be taken for a formula.

    Numbers, also negative ones, stay as they are.
    """
    return "\n".join("\t".join(_on_one_line(cell) for cell in row) for row in (header, *rows))


def _on_one_line(text: str) -> str:
    line = " ".join(text.split())
    plain = line.replace("−", "-")
    try:
        float(plain.replace(decimal_sign(), "."))
    except ValueError:
        return harmless(line)
    return plain
