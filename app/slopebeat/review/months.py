"""Months of outings: weeks against the prescription, and whether the aerobic base changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, tzinfo

import numpy as np

from slopebeat.analysis.months.change import (
    DECOUPLING_NOISE_POINTS,
    SPEED_NOISE_SHARE,
    Figure,
    Kind,
    Verdict,
    judge,
)
from slopebeat.analysis.months.trend import Array, Trend, trend
from slopebeat.analysis.months.weeks import Choice, Terrain, Week, ground_of, terrain_of, weeks, weeks_since
from slopebeat.model import measures
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import figure as number_text
from slopebeat.model.people import Ground
from slopebeat.model.summary import OutingSummary
from slopebeat.model.units import KMH_PER_MPS
from slopebeat.review.wording import begun

WIDEST_DECOUPLING_POINTS = 20.0
"""Terrain-fair figures with wider intervals say nothing and enter no trend [project choice]."""

EVERYTHING = Choice()

DECOUPLING = Figure(
    mark("Terrain-fair decoupling"),
    mark("points"),
    1,
    rising_is_better=False,
    noise=DECOUPLING_NOISE_POINTS,
    noise_basis=mark("heart rate at equal work differs by 3.0-3.9 % between days (Lamberts 2004)"),
)
SPEED = Figure(
    mark("Flat-equivalent speed at mid-band"),
    "km/h",
    2,
    scale=KMH_PER_MPS,
    measure=measures.SPEED,
    rising_is_better=True,
    noise_basis=mark("about 6 %, what the day-to-day variation of heart rate makes of speed"),
)
YIELD = Figure(mark("Share of time in band"), mark("points"), 0, scale=100.0, rising_is_better=True)
"""No day-to-day noise of it is known; ground and weather decide as much as the athlete."""


@dataclass(frozen=True, eq=False)
class Series:
    """One figure over time on one kind of ground.

    Attributes
    ----------
    ground, terrain : what it is of; terrain None = all.
    outing : (n,) indices into :attr:`Months.outings`. week : (n,) weeks since :attr:`Months.origin`.
    value, low, high : (n,) in SI units or percent, with the 95 % interval of each; NaN without one.
    left_out : sentences on outings that could not enter.
    """

    figure: Figure
    ground: Ground
    terrain: Terrain | None
    outing: np.ndarray
    week: Array
    value: Array
    low: Array
    high: Array
    trend: Trend
    verdict: Verdict
    left_out: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """What the series is of, in words."""
        names = {"figure": tr(self.figure.name), "ground": tr(self.ground)}
        if self.terrain is None:
            return tr("{figure} {ground}").format(**names)
        return tr("{figure} {ground}, {terrain}").format(terrain=tr(self.terrain), **names)

    @property
    def sentence(self) -> str:
        """The verdict after what it is of."""
        ground = begun(tr(self.ground))
        if self.terrain is None:
            return tr("{ground}: {sentence}").format(ground=ground, sentence=self.verdict.sentence)
        return tr("{ground}, {terrain}: {sentence}").format(
            ground=ground, terrain=tr(self.terrain), sentence=self.verdict.sentence
        )


@dataclass(frozen=True, eq=False)
class Months:
    """What months of outings add up to.

    Attributes
    ----------
    outings : those chosen, in order of time. origin : start of the first, None when there is none.
    weeks : every ISO week, empty ones included. series : one per figure, ground and terrain with data.
    """

    outings: tuple[OutingSummary, ...]
    origin: datetime | None
    weeks: tuple[Week, ...]
    series: tuple[Series, ...]

    def find(self, figure: Figure, ground: Ground, terrain: Terrain | None = None) -> Series | None:
        """The series of a figure, None when no outing has it."""
        wanted = (figure.name, ground, terrain)
        found = (s for s in self.series if (s.figure.name, s.ground, s.terrain) == wanted)
        return next(found, None)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The weeks in a sentence, then a verdict per series with enough outings to have one."""
        judged = tuple(s.sentence for s in self.series if s.verdict.kind is not Kind.TOO_FEW)
        return (weeks_sentence(self.weeks), *judged)


def review_months(
    outings: Iterable[OutingSummary],
    minutes_per_week: float | None = None,
    sessions_per_week: int | None = None,
    choice: Choice = EVERYTHING,
    *,
    home: tzinfo | None = None,
    until: date | None = None,
) -> Months:
    """Weeks, series and verdicts of the chosen outings.

    Parameters
    ----------
    minutes_per_week, sessions_per_week : the prescription, None where there is none.
    home : time zone for outings whose file knows no local time; None = this computer's.
    until : last day to show weeks for, where it is later than the last outing.
    """
    kept = tuple(sorted((o for o in outings if choice.keeps(o, home)), key=lambda o: o.start_utc))
    table = weeks(kept, minutes_per_week, sessions_per_week, home=home, until=until)
    origin = kept[0].start_utc if kept else None
    series = [s for ground in Ground for s in _series_of(kept, ground)]
    return Months(kept, origin, table, tuple(series))


def weeks_sentence(table: tuple[Week, ...]) -> str:
    """How many weeks met the prescription, or what an average week held."""
    if not table:
        return tr("No outing has been chosen.")
    if all(week.unbanded == week.outings for week in table):
        return tr("No outing has a band in force, so no minutes can be counted; give the athlete a band.")
    names = {
        "n": len(table),
        "minutes": number_text(sum(week.in_band_s for week in table) / len(table) / 60.0),
        "sessions": number_text(sum(week.sessions for week in table) / len(table), 1),
    }
    if table[0].met is None:
        return trn(
            "In {n} week an average week held {minutes} minutes in band in {sessions} sessions.",
            "In {n} weeks an average week held {minutes} minutes in band in {sessions} sessions.",
            len(table),
        ).format(**names)
    return trn(
        "{met} of {n} week met the prescription; an average week held {minutes} minutes in band in "
        "{sessions} sessions.",
        "{met} of {n} weeks met the prescription; an average week held {minutes} minutes in band in "
        "{sessions} sessions.",
        len(table),
    ).format(met=sum(week.met is True for week in table), **names)


def _series_of(outings: tuple[OutingSummary, ...], ground: Ground) -> Iterable[Series]:
    """All series of one kind of ground that hold at least one outing."""
    here = [(i, o) for i, o in enumerate(outings) if ground_of(o) is ground]
    if not here:
        return
    origin = outings[0].start_utc
    at = np.array([weeks_since(outing.start_utc, origin) for _, outing in here])
    index = np.array([i for i, _ in here])
    rows = [outing for _, outing in here]
    sure, doubt = _decoupling_rows(rows)
    yield from _series(DECOUPLING, ground, None, rows, index, at, sure, doubt)
    same, changed = _same_band(rows)
    yield from _series(SPEED, ground, None, rows, index, at, same, changed)
    classes = np.array([terrain_of(outing) for outing in rows], dtype=object)
    for terrain in Terrain:
        yield from _series(YIELD, ground, terrain, rows, index, at, same & (classes == terrain), changed)


_COLUMNS: dict[str, Callable[[OutingSummary], tuple[float | None, float | None, float | None]]] = {
    DECOUPLING.name: lambda o: (o.terrain_fair_percent, o.terrain_fair_low, o.terrain_fair_high),
    SPEED.name: lambda o: (o.mid_band_speed_mps, o.mid_band_speed_low_mps, o.mid_band_speed_high_mps),
    YIELD.name: lambda o: (o.yield_share, None, None),
}


def _series(
    figure: Figure,
    ground: Ground,
    terrain: Terrain | None,
    rows: list[OutingSummary],
    index: np.ndarray,
    at: Array,
    allowed: np.ndarray,
    left_out: tuple[str, ...],
) -> Iterable[Series]:
    """The series, or nothing when no allowed outing has the figure."""
    values = np.array([_COLUMNS[figure.name](outing) for outing in rows], dtype=float)
    used = allowed & np.isfinite(values[:, 0])
    if not used.any():
        return
    value, low, high = values[used].T
    if figure.name == SPEED.name:
        figure = replace(figure, noise=SPEED_NOISE_SHARE * float(np.median(value)))
    found = trend(at[used], value)
    verdict = judge(found, figure)
    yield Series(figure, ground, terrain, index[used], at[used], value, low, high, found, verdict, left_out)


def _decoupling_rows(rows: list[OutingSummary]) -> tuple[np.ndarray, tuple[str, ...]]:
    """Outings whose terrain-fair figure is sure enough for a trend."""
    ends = np.array([(o.terrain_fair_low, o.terrain_fair_high) for o in rows], dtype=float)
    vague = (ends[:, 1] - ends[:, 0]) > WIDEST_DECOUPLING_POINTS
    if not vague.any():
        return ~vague, ()
    left_out = trn(
        "{n} outing left out: time and terrain could not be told apart there (interval wider than "
        "{points} points).",
        "{n} outings left out: time and terrain could not be told apart there (interval wider than "
        "{points} points).",
        int(vague.sum()),
    )
    return ~vague, (left_out.format(n=int(vague.sum()), points=f"{WIDEST_DECOUPLING_POINTS:.0f}"),)


def _same_band(rows: list[OutingSummary]) -> tuple[np.ndarray, tuple[str, ...]]:
    """Outings with the band of the latest one: speed and share at another band are another figure."""
    bands = [(o.band_lower_bpm, o.band_upper_bpm) for o in rows]
    latest = next((band for band in reversed(bands) if None not in band), None)
    same = np.array([band == latest and latest is not None for band in bands])
    other = sum(None not in band and band != latest for band in bands)
    if latest is None or not other:
        return same, ()
    left_out = trn(
        "{n} outing with another band left out; the latest is {low}-{high} bpm.",
        "{n} outings with another band left out; the latest is {low}-{high} bpm.",
        other,
    )
    return same, (left_out.format(n=other, low=latest[0], high=latest[1]),)
