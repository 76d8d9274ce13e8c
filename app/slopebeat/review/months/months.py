"""Months of outings: weeks against the prescription, figures over time, and whether the base changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from slopebeat.analysis.months.change import ChangeQuestion, FigureChange, GroupChanges, changes_of
from slopebeat.analysis.months.choice import Candidate, Choice, Terrain, ground_of, one_a_day, terrain_of
from slopebeat.analysis.months.weeks import Prescribed, Week, outing_count, weeks, weeks_since
from slopebeat.model.evidence import RIDE, OutingEvidence, OutingSummary
from slopebeat.model.language import tr, trn
from slopebeat.model.measures import figure as number_text
from slopebeat.model.people import Ground
from slopebeat.model.track import Array
from slopebeat.review.months.changes import (
    DECOUPLING,
    LEVEL,
    SPEED,
    YIELD,
    MonthsFigure,
    NotDrawn,
    change_sentence,
)
from slopebeat.review.words.names import key_name

WIDEST_DECOUPLING_POINTS = 20.0
"""Terrain-fair figures with wider intervals say nothing and are not drawn [project choice]."""

EVERYTHING = Choice()


@dataclass(frozen=True, eq=False)
class ChosenEvidence:
    """What an outing teaches, and whether the user lets it."""

    evidence: OutingEvidence
    chosen: bool = True


@dataclass(frozen=True, eq=False)
class Series:
    """One figure over time on one kind of ground.

    Attributes
    ----------
    ground, terrain : what it is of; terrain None = all.
    outing : (n,) indices into :attr:`Months.outings`. week : (n,) weeks since :attr:`Months.origin`.
    value, low, high : (n,) in SI units or percent, with the 95 % interval of each; NaN without one.
    left_out : sentences on outings that could not enter. not_drawn : each of them, by index, and why.
    line : (2, 2) first and last week, and the model's level there; None without one.
    change : the lasting change reported for this figure; None where none is judged by it.
    """

    figure: MonthsFigure
    ground: Ground
    terrain: Terrain | None
    outing: np.ndarray
    week: Array
    value: Array
    low: Array
    high: Array
    left_out: tuple[str, ...] = ()
    line: Array | None = None
    change: FigureChange | None = None
    not_drawn: tuple[tuple[int, NotDrawn], ...] = ()

    @property
    def title(self) -> str:
        """What the series is of, in words."""
        names = {"figure": tr(self.figure.name), "ground": key_name(self.ground)}
        if self.terrain is None:
            return tr("{figure} {ground}").format(**names)
        return tr("{figure} {ground}, {terrain}").format(terrain=key_name(self.terrain), **names)


@dataclass(frozen=True, eq=False)
class Months:
    """What months of outings add up to.

    Attributes
    ----------
    outings : those chosen, in order of time, every part of a day by itself.
    origin : start of the first, None when there is none.
    weeks : ISO weeks, long breaks folded. series : one per figure, ground and terrain with data.
    changes : what changed in each kind of outings.
    """

    outings: tuple[OutingSummary, ...]
    origin: datetime | None
    weeks: tuple[Week, ...]
    series: tuple[Series, ...]
    changes: tuple[GroupChanges, ...] = ()

    @property
    def count(self) -> int:
        """How many outings, the parts of a day as one."""
        return outing_count(self.outings)

    def find(self, figure: MonthsFigure, ground: Ground, terrain: Terrain | None = None) -> Series | None:
        """The series of a figure, None when no outing has it."""
        wanted = (figure.name, ground, terrain)
        found = (s for s in self.series if (s.figure.name, s.ground, s.terrain) == wanted)
        return next(found, None)

    @property
    def not_drawn(self) -> tuple[tuple[int, NotDrawn], ...]:
        """Outings that are no point of some chart, each once for each reason."""
        return tuple(dict.fromkeys(pair for series in self.series for pair in series.not_drawn))

    @property
    def sentences(self) -> tuple[str, ...]:
        """The weeks in a sentence, then what changed in each kind of outings."""
        found = [change_sentence(group, c) for group in self.changes for c in group.changes]
        return (weeks_sentence(self.weeks), *found)


def review_months(
    outings: Iterable[OutingSummary],
    prescribed: Prescribed | None = None,
    choice: Choice = EVERYTHING,
    teaching: Mapping[int, ChosenEvidence] | None = None,
    *,
    until: date | None = None,
) -> Months:
    """Weeks, series and changes of the chosen outings.

    Parameters
    ----------
    teaching : what outings teach, by ``id`` of their summary; without it nothing is said of changes.
    prescribed : the prescription in force on a day, None where there is none.
    until : today: weeks run to it, and the one that holds it is under way.
    """
    kept = tuple(sorted((o for o in outings if choice.keeps(o)), key=lambda o: o.start_utc))
    table = weeks(kept, prescribed, until=until)
    origin = kept[0].start_utc if kept else None
    known = teaching or {}
    candidates = [
        Candidate(i, known[id(o)].chosen, known[id(o)].evidence) for i, o in enumerate(kept) if id(o) in known
    ]
    changes = changes_of(one_a_day(candidates, [outing.day for outing in kept]))
    levels = [s for group in changes if origin is not None for s in _levels(group, origin)]
    series = [s for ground in Ground for s in _series_of(kept, ground, changes)]
    return Months(kept, origin, table, (*levels, *series), changes)


def _levels(group: GroupChanges, origin: datetime) -> Iterable[Series]:
    """Heart rate at the usual work of each outing of one kind, with the model's line."""
    if not group.entered.size or group.origin is None:
        return
    week = group.week + weeks_since(group.origin, origin)
    value, reach = group.value[:, 0], 1.96 * group.sd[:, 0]
    line = None if group.line is None else np.array([week[[0, -1]], group.line])
    ground = Ground.BIKE if group.group == RIDE else Ground.FOOT
    lasting = _lasting(group, "level")
    yield Series(
        LEVEL, ground, None, group.entered, week, value, value - reach, value + reach, (), line, lasting
    )


def _lasting(group: GroupChanges, figure: str) -> FigureChange | None:
    wanted = (figure, ChangeQuestion.LASTING)
    return next((c for c in group.changes if (c.figure, c.question) == wanted), None)


def weeks_sentence(table: tuple[Week, ...]) -> str:
    """How many weeks met the prescription, or what an average week held."""
    if not table:
        return tr("No outing has been chosen.")
    if all(week.unbanded == week.outings for week in table if week.outings):
        return tr("No outing has a band in force, so no minutes can be counted; give the athlete a band.")
    ended = [week for week in table if week.over] or table
    judged = [week for week in table if week.met is not None]
    names = {
        "minutes": number_text(sum(week.in_band_s for week in ended) / len(ended) / 60.0),
        "sessions": number_text(sum(week.sessions for week in ended) / len(ended), 1),
    }
    if not judged:
        return trn(
            "In {n} week an average week held {minutes} minutes in band in {sessions} sessions.",
            "In {n} weeks an average week held {minutes} minutes in band in {sessions} sessions.",
            len(ended),
        ).format(n=len(ended), **names)
    return trn(
        "{met} of {n} week met the prescription; an average week held {minutes} minutes in band in "
        "{sessions} sessions.",
        "{met} of {n} weeks met the prescription; an average week held {minutes} minutes in band in "
        "{sessions} sessions.",
        len(judged),
    ).format(met=sum(week.met is True for week in judged), n=len(judged), **names)


def _series_of(
    outings: tuple[OutingSummary, ...], ground: Ground, changes: tuple[GroupChanges, ...]
) -> Iterable[Series]:
    here = [(i, o) for i, o in enumerate(outings) if ground_of(o) is ground]
    if not here:
        return
    origin = outings[0].start_utc
    at = np.array([weeks_since(outing.start_utc, origin) for _, outing in here])
    index = np.array([i for i, _ in here])
    rows = [outing for _, outing in here]
    sure, doubt = _decoupling_rows(rows, index)
    # Kinds on one ground are judged apart; what is drawn together is named by the one with most outings.
    of_ground = (group for group in changes if (group.group == RIDE) is (ground is Ground.BIKE))
    judged = next(of_ground, None)
    drift, level = (None if judged is None else _lasting(judged, name) for name in ("drift", "level"))
    yield from _series(DECOUPLING, ground, None, rows, index, at, sure, doubt, drift)
    same, changed = _same_band(rows, index)
    yield from _series(SPEED, ground, None, rows, index, at, same, changed, level)
    classes = np.array([terrain_of(outing) for outing in rows], dtype=object)
    for terrain in Terrain:
        yield from _series(YIELD, ground, terrain, rows, index, at, same & (classes == terrain), changed)


_COLUMNS: dict[str, Callable[[OutingSummary], tuple[float | None, float | None, float | None]]] = {
    DECOUPLING.name: lambda o: (o.terrain_fair_percent, o.terrain_fair_low, o.terrain_fair_high),
    SPEED.name: lambda o: (o.mid_band_speed_mps, o.mid_band_speed_low_mps, o.mid_band_speed_high_mps),
    YIELD.name: lambda o: (o.yield_share, None, None),
}


def _series(
    figure: MonthsFigure,
    ground: Ground,
    terrain: Terrain | None,
    rows: list[OutingSummary],
    index: np.ndarray,
    at: Array,
    allowed: np.ndarray,
    left: _Left,
    change: FigureChange | None = None,
) -> Iterable[Series]:
    """The series, or nothing when no allowed outing has the figure."""
    values = np.array([_COLUMNS[figure.name](outing) for outing in rows], dtype=float)
    used = allowed & np.isfinite(values[:, 0])
    if not used.any():
        return
    value, low, high = values[used].T
    points = index[used], at[used], value, low, high
    yield Series(figure, ground, terrain, *points, left.sentences, None, change, left.outings)


@dataclass(frozen=True)
class _Left:
    """What could not enter some series, in sentences and by index."""

    sentences: tuple[str, ...] = ()
    outings: tuple[tuple[int, NotDrawn], ...] = ()


def _decoupling_rows(rows: list[OutingSummary], index: np.ndarray) -> tuple[np.ndarray, _Left]:
    """Outings whose terrain-fair figure is sure enough to be drawn."""
    ends = np.array([(o.terrain_fair_low, o.terrain_fair_high) for o in rows], dtype=float)
    vague = (ends[:, 1] - ends[:, 0]) > WIDEST_DECOUPLING_POINTS
    if not vague.any():
        return ~vague, _Left()
    left_out = trn(
        "{n} outing left out: time and terrain could not be told apart there (interval wider than "
        "{points} points).",
        "{n} outings left out: time and terrain could not be told apart there (interval wider than "
        "{points} points).",
        int(vague.sum()),
    )
    told = left_out.format(n=int(vague.sum()), points=f"{WIDEST_DECOUPLING_POINTS:.0f}")
    return ~vague, _Left((told,), tuple((int(i), NotDrawn.VAGUE) for i in index[vague]))


def _same_band(rows: list[OutingSummary], index: np.ndarray) -> tuple[np.ndarray, _Left]:
    """Outings with the band of the latest one: speed and share at another band are another figure."""
    bands = [(o.band_lower_bpm, o.band_upper_bpm) for o in rows]
    latest = next((band for band in reversed(bands) if None not in band), None)
    same = np.array([band == latest and latest is not None for band in bands])
    others = [int(i) for i, band in zip(index, bands, strict=True) if None not in band and band != latest]
    other = len(others)
    if latest is None or not other:
        return same, _Left()
    left_out = trn(
        "{n} outing with another band left out; the latest is {low}-{high} bpm.",
        "{n} outings with another band left out; the latest is {low}-{high} bpm.",
        other,
    )
    told = left_out.format(n=other, low=latest[0], high=latest[1])
    return same, _Left((told,), tuple((i, NotDrawn.OTHER_BAND) for i in others))
