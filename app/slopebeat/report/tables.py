"""What a report says in figures and tables, as words ready for any format."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from slopebeat.analysis.account.time_account import Extension
from slopebeat.analysis.price.next_outing import (
    INTERVAL_LEVEL,
    LONGEST_S,
    NextAnswers,
    NextOuting,
    NoLength,
)
from slopebeat.analysis.response.decoupling import TerrainFair
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.units import duration, percent, rest_s
from slopebeat.review.outing import Review
from slopebeat.review.present.climbs import CLIMB_FIGURES, CLIMBS
from slopebeat.review.present.decoupling import ROW_FIGURES, left_out, rows_of
from slopebeat.review.present.episodes import EPISODE_FIGURES, EPISODES, episode_rows
from slopebeat.review.present.figure import Figure, On, headers, shown_on
from slopebeat.review.present.figure import aligned_lines as lines_of
from slopebeat.review.words.names import key_name, no_climb


@dataclass(frozen=True)
class ReportFigure:
    """One figure with its name above and its interval or basis below."""

    name: str
    value: str
    beside: str


def figures_of(review: Review) -> tuple[ReportFigure, ...]:
    """The figures a coach looks for first, each with its interval."""
    longer, account = review.extension, review.account
    found = []
    if longer is not None and account is not None and account.covered:
        of_all = tr("of {time}").format(time=duration(account.known_s))
        found.append(ReportFigure(tr("In band"), duration(account.in_band_s), of_all))
        found.append(ReportFigure(tr("Share in band"), percent(longer.yield_share), ""))
        found.append(_target(longer))
        found += _next_outings(review.next_outings, longer.target_s)
    return (*found, _terrain_fair(review.terrain_fair))


def _target(longer: Extension) -> ReportFigure:
    """How far the outing was from what was prescribed."""
    if longer.missing_s < 60.0:
        return ReportFigure(tr("Target"), tr("reached"), tr("by this outing"))
    missing_s = rest_s(longer.target_s, longer.target_s - longer.missing_s)
    short = tr("{time} short").format(time=duration(missing_s))
    if longer.more_s is None:
        return ReportFigure(tr("Target"), short, tr("not on ground like this"))
    return ReportFigure(tr("Target"), short, tr("{time} more here").format(time=duration(longer.more_s)))


def _terrain_fair(fair: TerrainFair) -> ReportFigure:
    name = tr("Terrain-fair decoupling")
    if fair.percent is None:
        return ReportFigure(name, tr("not known"), key_name(fair.status))
    value = f"{figure(fair.percent, 1)} %"
    if fair.interval_percent is None:
        return ReportFigure(name, value, key_name(fair.status))
    low, high = (figure(end, 1) for end in fair.interval_percent)
    if fair.status is not FitStatus.USABLE:
        value = key_name(fair.status)
    return ReportFigure(name, value, tr("95 %: {low} to {high} %").format(low=low, high=high))


def _next_outings(answers: NextAnswers | None, target_s: float) -> list[ReportFigure]:
    """How long the next outing must last in both ways to go, with the interval of next times."""
    if answers is None or answers.as_usual.share is None:
        return []
    target = duration(target_s)
    ways = (
        (tr("{time} in band as usual"), answers.as_usual),
        (tr("{time} in band, mean kept"), answers.aimed),
    )
    return [_next(name.format(time=target), answer) for name, answer in ways]


def _next(name: str, answer: NextOuting) -> ReportFigure:
    if answer.needed_s is None:
        off = answer.off_bpm or 0.0
        far = tr("mean {bpm} bpm off").format(bpm=figure(abs(off)))
        return ReportFigure(name, tr("no length"), far if answer.reason is NoLength.OFF_BAND else "")
    level = percent(INTERVAL_LEVEL)
    low, high = duration(answer.needed_s.low), duration(min(answer.needed_s.high, LONGEST_S))
    if answer.needed_s.high > LONGEST_S:
        ends = tr("{level}: {low} to over {high}")
    else:
        ends = tr("{level}: {low} to {high}")
    return ReportFigure(name, duration(answer.needed_s.middle), ends.format(level=level, low=low, high=high))


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
    rows: tuple[tuple[str, ...], ...]
    foot: str = ""


def table_lines(table: Table) -> list[str]:
    """The table as plain text; words stand left, figures right."""
    heads = headers([column.header for column in table.columns])
    left = [at for at, column in enumerate(table.columns) if not column.right]
    rows = lines_of([*heads, *table.rows], left) if table.rows else []
    return [each for each in (table.title, *rows, table.foot) if each]


def table_of(
    title: str,
    figures: Sequence[Figure],
    rows: Sequence[Any],
    where: On,
    chosen: Iterable[int] | None = None,
    foot: str = "",
) -> Table:
    """Rows, all or those of some numbers, under the figures that are shown at a place."""
    shown = shown_on(where, figures)
    columns = tuple(ReportColumn(each.header, right=not each.kind.words) for each in shown)
    numbers = range(len(rows)) if chosen is None else sorted(chosen)
    return Table(
        title, columns, tuple(tuple(each.text_of(i, rows[i]) for each in shown) for i in numbers), foot
    )


def climb_table(review: Review, most: int) -> Table:
    """The climbs of most gain, in order of time, with their numbers on the chart."""
    climbs = review.climbs
    ranked = sorted(range(len(climbs)), key=lambda i: -climbs[i].gain_m)[:most]
    foot = "" if ranked else no_climb()
    left = len(climbs) - len(ranked)
    if left > 0:
        foot = trn("{n} smaller climb not shown.", "{n} smaller climbs not shown.", left).format(n=left)
    return table_of(tr(CLIMBS.name), CLIMB_FIGURES, climbs, On.REPORT, ranked, foot)


def episode_table(review: Review, most: int) -> Table:
    """The episodes farthest and longest out of band, in order of time."""
    episodes = episode_rows(review)
    ranked = sorted(range(len(episodes)), key=lambda i: -episodes[i].bpm_minutes)[:most]
    foot = "" if ranked else tr("The band was never left for 10 s or more.")
    if not np.isfinite(review.track.hr_bpm).any():
        foot = tr("Not known without heart rate.")
    left = len(episodes) - len(ranked)
    if left > 0:
        foot = trn("{n} smaller episode not shown.", "{n} smaller episodes not shown.", left).format(n=left)
    return table_of(tr(EPISODES.name), EPISODE_FIGURES, episodes, On.REPORT, ranked, foot)


def decoupling_table(review: Review) -> Table:
    """The plain rows and the terrain-fair one; positive = heart rate rose for the same output."""
    foot = tr(
        "Positive: the heart rate rose for the same output. Only the terrain-fair row may be compared from "
        "one terrain to another. The first two rows: {plain}; the last: {fair}."
    ).format(plain=left_out(review.decoupling.pace.excluded_s), fair=left_out(review.response.excluded_s))
    title = tr("Decoupling, second half against first")
    return table_of(title, ROW_FIGURES, rows_of(review), On.REPORT, foot=foot)
