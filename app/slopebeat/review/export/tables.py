"""Samples, climbs, episodes and notes as CSV tables with units in their headers."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from slopebeat.analysis.account.causes import NOT_OUT, ORDER
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import RULES, Note, NoteKind, present
from slopebeat.review.outing import Review
from slopebeat.review.present.climbs import CLIMB_FIGURES
from slopebeat.review.present.episodes import EPISODE_FIGURES, episode_rows
from slopebeat.review.present.figure import csv_table
from slopebeat.review.words.names import NAMES

Cell = str | float | int | None

ACTING = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""First characters by which a spreadsheet takes a text for a formula (OWASP, CSV injection)."""

_STATES = {
    BandState.BELOW: "below",
    BandState.IN_BAND: "in band",
    BandState.ABOVE: "above",
    BandState.NO_HEART_RATE: "no heart rate",
}


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
    samples, track, band = review.recording.samples, review.track, review.aim.band
    recorded = [(_RECORDED[name], samples[name]) for name in _RECORDED]
    columns: list[tuple[str, Sequence[Any] | np.ndarray]] = [
        *recorded,
        ("recorded (s)", track.recorded_s),
        ("pause (s)", track.pause_s),
        ("gap (s)", track.gap_s),
        ("trusted heart rate (bpm)", track.hr_bpm),
        ("smoothed elevation (m)", track.elevation_m),
        ("distance along the ground (m)", track.distance_m),
        ("smoothed speed (m/s)", track.speed_mps),
        ("grade (%)", track.grade * 100.0),
        ("vertical speed (m/h)", track.vertical_speed_mps * 3600.0),
        ("work rate (W/kg)", review.work_w_per_kg),
        ("moving", ["yes" if moving else "no" for moving in track.moving]),
    ]
    if band is not None:
        columns.append(("band state", [_STATES[BandState(int(s))] for s in band_state(track.hr_bpm, band)]))
    if review.causes is not None:
        causes = ["" if c == NOT_OUT else ORDER[c].value for c in review.causes.code.tolist()]
        columns.append(("cause", causes))
    values = [c.tolist() if isinstance(c, np.ndarray) else c for _, c in columns]
    return csv_text([name for name, _ in columns], zip(*values, strict=True))


_RECORDED = {
    "t_s": "time (s)",
    "hr_bpm": "heart rate (bpm)",
    "elevation_m": "elevation (m)",
    "distance_m": "distance (m)",
    "speed_mps": "speed (m/s)",
    "lat_deg": "latitude (deg)",
    "lon_deg": "longitude (deg)",
    "cadence_rpm": "cadence (rpm)",
    "power_w": "power (W)",
    "temperature_c": "temperature (°C)",
}


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
