"""The tables of a report as words, ready for any format."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.decoupling import HalfComparison
from slopebeat.analysis.terrain_fair import TerrainFair
from slopebeat.model.units import KMH_PER_MPS, clock, duration, percent
from slopebeat.review.outing import Review
from slopebeat.session.display import minutes_seconds, number


@dataclass(frozen=True)
class Column:
    """Header, share of the table's width, and whether figures stand right."""

    header: str
    share: float
    right: bool = True


@dataclass(frozen=True)
class Table:
    """Rows of words under headers; ``foot`` says what was left out or how to read it."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: str = ""


CLIMB_COLUMNS = (
    Column("No.", 0.7),
    Column("From", 1.3),
    Column("Gain\nm", 0.9),
    Column("Length\nkm", 1.1),
    Column("Grade\n%", 1.0),
    Column("Up\nm/h", 0.9),
    Column("HR\ntop", 0.8),
    Column("Share\nabove", 1.0),
    Column("Band left\nafter", 1.4),
)

EPISODE_COLUMNS = (
    Column("From", 1.2),
    Column("Lasts", 1.1),
    Column("Side", 1.15, right=False),
    Column("Cause", 1.9, right=False),
    Column("Farthest\nbpm", 1.3),
    Column("Beyond\nbpm·min", 1.3),
    Column("Grade\n%", 0.9),
    Column("Back\nafter", 1.15),
)

DECOUPLING_COLUMNS = (
    Column("Output taken", 1.4, right=False),
    Column("Decoupling", 1.9, right=False),
    Column("First half", 2.3, right=False),
    Column("Second half", 2.3, right=False),
    Column("How far to trust it", 5.3, right=False),
)


def climb_table(review: Review, most: int) -> Table:
    """The climbs of most gain, in order of time, with their numbers on the chart."""
    ranked = sorted(range(len(review.climbs)), key=lambda i: -review.climbs[i].gain_m)[:most]
    rows = []
    for i in sorted(ranked):
        climb = review.climbs[i]
        rows.append(
            (
                str(i + 1),
                clock(climb.start_s),
                number(climb.gain_m),
                number(climb.length_m, 2, 0.001),
                number(climb.grade_mean, 1, 100),
                number(climb.vertical_speed_m_per_h),
                number(climb.hr_top_bpm),
                percent(climb.share_above),
                minutes_seconds(climb.time_to_exit_s),
            )
        )
    foot = "" if rows else "No climb of 30 m or more at 3 % or more."
    left = len(review.climbs) - len(rows)
    return Table("Climbs", CLIMB_COLUMNS, tuple(rows), _left(left, "smaller climb") or foot)


def episode_table(review: Review, most: int) -> Table:
    """The episodes farthest and longest out of band, in order of time."""
    episodes, causes = review.episodes, review.causes
    ranked = sorted(range(len(episodes)), key=lambda i: -episodes[i].bpm_minutes)[:most]
    rows = []
    for i in sorted(ranked):
        episode = episodes[i]
        cause = None if causes is None else causes.main_cause(review.track, episode.start_s, episode.end_s)
        rows.append(
            (
                clock(episode.start_s),
                minutes_seconds(episode.end_s - episode.start_s),
                episode.direction.value,
                "not known" if cause is None else cause.value,
                number(episode.peak_bpm),
                number(episode.bpm_minutes),
                number(episode.grade, 0, 100),
                minutes_seconds(episode.return_s),
            )
        )
    foot = "" if rows else "The band was never left for 10 s or more."
    if not np.isfinite(review.track.hr_bpm).any():
        foot = "Not known without heart rate."
    left = len(episodes) - len(rows)
    return Table("Out of band", EPISODE_COLUMNS, tuple(rows), _left(left, "smaller episode") or foot)


def _left(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'} not shown." if count > 0 else ""


def decoupling_table(review: Review) -> Table:
    """The plain rows and the terrain-fair one; positive = heart rate rose for the same output."""
    found = review.decoupling
    work = "recorded power" if "power" in found.work.unit else "work rate"
    rows = (_plain("speed", found.pace), _plain(work, found.work), _fair(review.terrain_fair))
    foot = (
        "Positive: the heart rate rose for the same output. Only the terrain-fair row may be compared from "
        f"one terrain to another. Left out of the first two rows: {_left_out(found.pace.excluded_s)}; "
        f"of the last: {_left_out(review.terrain_fair.excluded_s)}."
    )
    return Table("Decoupling, second half against first", DECOUPLING_COLUMNS, rows, foot)


def _plain(name: str, row: HalfComparison) -> tuple[str, ...]:
    figure = "not known" if row.percent is None else f"{number(row.percent, 1)} %"
    first = _output(row.first_output, row.first_hr_bpm, row.unit)
    second = _output(row.second_output, row.second_hr_bpm, row.unit)
    return name, figure, first, second, f"{row.verdict.value.capitalize()}. {row.reason}".strip()


def _fair(row: TerrainFair) -> tuple[str, ...]:
    figure = "not known" if row.percent is None else f"{number(row.percent, 1)} %"
    if row.interval_percent is not None:
        low, high = row.interval_percent
        figure += f"\n95 %: {number(low, 1)} to {number(high, 1)}"
    trust = f"{row.status.value.capitalize()}. {row.reason}".strip()
    if row.drift_bpm_per_h is not None:
        trust += f" Drift {number(row.drift_bpm_per_h, 1)} bpm/h"
        if row.drift_interval_bpm_per_h is not None:
            low, high = row.drift_interval_bpm_per_h
            trust += f" (95 %: {number(low, 1)} to {number(high, 1)})"
        trust += "."
    same = [
        "" if bpm is None else f"same work at {number(bpm)} bpm"
        for bpm in (row.first_hr_bpm, row.second_hr_bpm)
    ]
    return "terrain-fair", figure, *same, trust


def _output(value: float | None, hr_bpm: float | None, unit: str) -> str:
    if value is None:
        return ""
    speed = "speed" in unit
    shown = f"{number(value, 1, KMH_PER_MPS)} km/h" if speed else f"{number(value, 2)} W/kg"
    return f"{shown} at {number(hr_bpm)} bpm"


def _left_out(excluded_s: dict[str, float]) -> str:
    parts = [f"{name} ({duration(s)})" for name, s in excluded_s.items() if s >= 1]
    return ", ".join(parts) or "nothing"
