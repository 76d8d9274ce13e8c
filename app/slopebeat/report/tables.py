"""The tables of a report as words, ready for any format."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from slopebeat.model.language import tr, trn
from slopebeat.review.outing import Review
from slopebeat.review.present.climbs import CLIMB_FIGURES, CLIMBS
from slopebeat.review.present.decoupling import ROW_FIGURES, left_out, rows_of
from slopebeat.review.present.episodes import EPISODE_FIGURES, EPISODES, episode_rows
from slopebeat.review.present.figure import Figure, On, shown_on
from slopebeat.review.wording import no_climb

Rows = tuple[tuple[str, ...], ...]
"""Cells as words."""


@dataclass(frozen=True)
class ReportColumn:
    """Header, and whether what is under it stands right, as figures do."""

    header: str
    right: bool = True


@dataclass(frozen=True)
class Table:
    """Rows of words under headers; ``foot`` says what was left out or how to read it."""

    title: str
    columns: tuple[ReportColumn, ...]
    rows: Rows
    foot: str = ""


def _columns(figures: Sequence[Figure]) -> tuple[ReportColumn, ...]:
    return tuple(ReportColumn(each.header, right=not each.kind.words) for each in figures)


def _cells(figures: Sequence[Figure], rows: Sequence[Any], chosen: Iterable[int]) -> Rows:
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
    shown, rows, found = shown_on(On.REPORT, ROW_FIGURES), rows_of(review), review.decoupling
    foot = tr(
        "Positive: the heart rate rose for the same output. Only the terrain-fair row may be compared from "
        "one terrain to another. The first two rows: {plain}; the last: {fair}."
    ).format(plain=left_out(found.pace.excluded_s), fair=left_out(review.terrain_fair.excluded_s))
    title = tr("Decoupling, second half against first")
    return Table(title, _columns(shown), _cells(shown, rows, range(len(rows))), foot)
