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
from slopebeat.review.present.names import NAMES

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
    recorded = [(_RECORDED[name], samples[name].to_numpy(dtype=float)) for name in _RECORDED]
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

_CLIMB = (
    ("start_s", "foot (s)", 1.0),
    ("end_s", "top (s)", 1.0),
    ("start_m", "foot (m along the ground)", 1.0),
    ("foot_m", "foot elevation (m)", 1.0),
    ("top_m", "top elevation (m)", 1.0),
    ("gain_m", "gain (m)", 1.0),
    ("length_m", "length (m)", 1.0),
    ("grade_mean", "mean grade (%)", 100.0),
    ("grade_steepest", "steepest 100 m (%)", 100.0),
    ("vertical_speed_m_per_h", "vertical speed (m/h)", 1.0),
    ("moving_s", "moving (s)", 1.0),
    ("standing_s", "standing (s)", 1.0),
    ("hr_mean_bpm", "mean heart rate (bpm)", 1.0),
    ("hr_max_bpm", "highest heart rate (bpm)", 1.0),
    ("hr_foot_bpm", "heart rate at the foot (bpm)", 1.0),
    ("hr_top_bpm", "heart rate at the top (bpm)", 1.0),
    ("above_s", "above the band (s)", 1.0),
    ("share_above", "share above (%)", 100.0),
    ("time_to_exit_s", "band left after (s)", 1.0),
    ("exit_grade", "grade where it was left (%)", 100.0),
    ("exit_speed_mps", "speed where it was left (m/s)", 1.0),
    ("return_s", "back in band after the top (s)", 1.0),
)

_EPISODE = (
    ("start_s", "start (s)", 1.0),
    ("end_s", "end (s)", 1.0),
    ("peak_bpm", "farthest heart rate (bpm)", 1.0),
    ("bpm_minutes", "beyond the edge (bpm min)", 1.0),
    ("grade", "grade before (%)", 100.0),
    ("speed_mps", "speed before (m/s)", 1.0),
    ("vertical_speed_m_per_h", "vertical speed before (m/h)", 1.0),
    ("work_w_per_kg", "work rate before (W/kg)", 1.0),
    ("return_s", "back in band after the farthest (s)", 1.0),
)


def _figures(item: object, columns: Sequence[tuple[str, str, float]]) -> list[Cell]:
    values = [(getattr(item, name), factor) for name, _, factor in columns]
    return [None if value is None else float(value) * factor for value, factor in values]


def climbs_csv(review: Review) -> str:
    """Every climb, numbered as on the charts."""
    rows = [[number, *_figures(climb, _CLIMB)] for number, climb in enumerate(review.climbs, start=1)]
    return csv_text(["number", *(header for _, header, _ in _CLIMB)], rows)


def episodes_csv(review: Review) -> str:
    """Every episode out of band with its cause and the number of its climb."""
    rows: list[list[Cell]] = []
    for number, episode in enumerate(review.episodes, start=1):
        causes = review.causes
        cause = None if causes is None else causes.main_cause(review.track, episode.start_s, episode.end_s)
        climb = None if episode.climb is None else episode.climb + 1
        words: list[Cell] = [number, episode.direction.value, None if cause is None else cause.value, climb]
        rows.append([*words, *_figures(episode, _EPISODE)])
    header = ["number", "side", "cause", "climb number", *(header for _, header, _ in _EPISODE)]
    return csv_text(header, rows)


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
