"""The tables of a report as words, ready for any format."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from slopebeat.analysis.response.decoupling import HalfComparison
from slopebeat.analysis.response.terrain_fair import TerrainFair
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED, figure
from slopebeat.model.units import SECONDS_PER_HOUR, clock, duration, minutes_seconds, percent
from slopebeat.review.outing import Review
from slopebeat.review.wording import begun, no_climb


@dataclass(frozen=True)
class Column:
    """Header, share of the table's width, and whether figures stand right.

    In the tables of columns below the header waits for its language, and ``{unit}`` for its unit.
    """

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


DECOUPLING_COLUMNS = (
    Column(mark("Output taken"), 1.4, right=False),
    Column(mark("Decoupling"), 1.9, right=False),
    Column(mark("First half"), 2.3, right=False),
    Column(mark("Second half"), 2.3, right=False),
    Column(mark("How far to trust it"), 5.3, right=False),
)


def worded(columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """The columns with their headers in the language and the units in force."""
    units = {"height": HEIGHT.unit, "ground": GROUND.unit, "rise": VERTICAL_SPEED.unit}
    return tuple(replace(column, header=tr(column.header).format(**units)) for column in columns)


def _columns(figures: Sequence[Figure]) -> tuple[Column, ...]:
    return tuple(Column(each.header, right=not each.kind.words) for each in figures)


def _cells(figures: Sequence[Figure], rows: Sequence[Any], chosen: Sequence[int]) -> tuple[tuple[str, ...], ...]:
    """The rows of these numbers, in order."""
    return tuple(tuple(each.text_of(i, rows[i]) for each in figures) for i in sorted(chosen))


def climb_table(review: Review, most: int) -> Table:
    """The climbs of most gain, in order of time, with their numbers on the chart."""
    shown, climbs = shown_on(On.REPORT, CLIMB_FIGURES), review.climbs
    ranked = sorted(range(len(climbs)), key=lambda i: -climbs[i].gain_m)[:most]
    foot = "" if ranked else no_climb()
    left = len(climbs) - len(ranked)
    if left > 0:
        foot = trn("{n} smaller climb not shown.", "{n} smaller climbs not shown.", left).format(n=left)
    return Table(tr(CLIMBS.name), _columns(shown), _cells(shown, climbs, ranked), foot)


def episode_table(review: Review, most: int) -> Table:
    """The episodes farthest and longest out of band, in order of time."""
    shown, episodes = shown_on(On.REPORT, EPISODE_FIGURES), episode_rows(review)
    ranked = sorted(range(len(episodes)), key=lambda i: -episodes[i].bpm_minutes)[:most]
    foot = "" if ranked else tr("The band was never left for 10 s or more.")
    if not np.isfinite(review.track.hr_bpm).any():
        foot = tr("Not known without heart rate.")
    left = len(episodes) - len(ranked)
    if left > 0:
        foot = trn("{n} smaller episode not shown.", "{n} smaller episodes not shown.", left).format(n=left)
    return Table(tr(EPISODES.name), _columns(shown), _cells(shown, episodes, ranked), foot)


def decoupling_table(review: Review) -> Table:
    """The plain rows and the terrain-fair one; positive = heart rate rose for the same output."""
    found = review.decoupling
    work = tr("recorded power") if "power" in found.work.unit else tr("work rate")
    rows = (_plain(tr("speed"), found.pace), _plain(work, found.work), _fair(review.terrain_fair))
    foot = tr(
        "Positive: the heart rate rose for the same output. Only the terrain-fair row may be compared from "
        "one terrain to another. Left out of the first two rows: {plain}; of the last: {fair}."
    ).format(plain=_left_out(found.pace.excluded_s), fair=_left_out(review.terrain_fair.excluded_s))
    title = tr("Decoupling, second half against first")
    return Table(title, worded(DECOUPLING_COLUMNS), rows, foot)


def _plain(name: str, row: HalfComparison) -> tuple[str, ...]:
    share = tr("not known") if row.percent is None else f"{figure(row.percent, 1)} %"
    first = _output(row.first_output, row.first_hr_bpm, row.unit)
    second = _output(row.second_output, row.second_hr_bpm, row.unit)
    return name, share, first, second, f"{begun(tr(row.verdict.value))}. {row.reason}".strip()


def _fair(row: TerrainFair) -> tuple[str, ...]:
    share = tr("not known") if row.percent is None else f"{figure(row.percent, 1)} %"
    if row.interval_percent is not None:
        share += "\n" + _interval(row.interval_percent)
    trust = f"{begun(tr(row.status.value))}. {row.reason}".strip()
    if row.drift_bpm_per_h is not None:
        trust += " " + _drift(row.drift_bpm_per_h, row.drift_interval_bpm_per_h)
    same = [
        "" if bpm is None else tr("same work at {bpm} bpm").format(bpm=figure(bpm))
        for bpm in (row.first_hr_bpm, row.second_hr_bpm)
    ]
    return tr("terrain-fair"), share, *same, trust


def _interval(ends: tuple[float, float]) -> str:
    low, high = (figure(end, 1) for end in ends)
    return tr("95 %: {low} to {high}").format(low=low, high=high)


def _drift(drift: float, interval: tuple[float, float] | None) -> str:
    if interval is None:
        return tr("Drift {drift} bpm/h.").format(drift=figure(drift, 1))
    return tr("Drift {drift} bpm/h ({interval}).").format(
        drift=figure(drift, 1), interval=_interval(interval)
    )


def _output(value: float | None, hr_bpm: float | None, unit: str) -> str:
    if value is None:
        return ""
    shown = SPEED.text(value) if "speed" in unit else f"{figure(value, 2)} W/kg"
    return tr("{output} at {bpm} bpm").format(output=shown, bpm=figure(hr_bpm))


def _left_out(excluded_s: dict[str, float]) -> str:
    parts = [f"{tr(name)} ({duration(s)})" for name, s in excluded_s.items() if s >= 1]
    return ", ".join(parts) or tr("nothing")
