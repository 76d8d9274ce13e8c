"""Whether heart rate at the same work, or its drift, changed over months: one model over all outings.

Two questions are kept apart. A lasting change is a line through all outings, with the wandering of weeks as
noise. Now against then compares the course of the last four weeks with that of the first four, wandering
included. Either is judged by its own interval, and only where it holds without the doubtful outings too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np

from slopebeat.analysis.months.choice import Candidate
from slopebeat.analysis.months.course import (
    Answer,
    contrast_of_course,
    contrast_of_known,
    mean_reverting_grid,
    random_walk_grid,
)
from slopebeat.analysis.months.levels import SCALE, NamedChange, known_of, levels_of, named_changes, series_of
from slopebeat.analysis.months.weeks import weeks_since
from slopebeat.analysis.response.teaching import NotTeaching, group_of, why_not
from slopebeat.model.evidence import OutingEvidence
from slopebeat.model.track import Array

LEAST_ENTER_S = 1800.0
"""Trusted moving time under which an outing has no level of its own [project choice]."""

LEAST_OUTINGS, LEAST_WEEKS = 6, 6.0
"""Under either nothing is said: in four weeks only a change of about 30 bpm would show [measured]."""

END_WEEKS, LEAST_COURSE_WEEKS, LEAST_AT_END = 4.0, 10.0, 2
"""Now and then are the last and the first four weeks, of at least ten, with two outings or more in each
[project choice]."""

LONGEST_GAP_WEEKS = 26.0
"""A longer time without outings parts what is judged; only what came after it is [project choice]."""

RESIDUAL_MADS = 4.0
"""Outings whose heart rate strays further from its own line than others' are left out [project choice]."""

DOUBTFUL_COVERAGE, DOUBTFUL_TRUST = 0.8, 0.5
"""Outings with less trusted heart rate, or as odd a level, are doubtful: a change has to hold without
them [project choice]."""

STEP_PER_ROOT_WEEK = 1.6 / SCALE["level"]
"""How much a course wanders on in a week, as a share of the day-to-day spread; with less, intervals held only
77 % of true changes within twelve weeks [project choice, measured]."""

SEEN_SDS = 1.96 + 0.84
"""A true change this many standard deviations large is called in 80 % of such months (normal quantiles)."""

MOST_DETECTABLE_SCALES = 6.0
"""Where not even a change of so many day-to-day spreads would show, no figure is given [project choice]."""


class ChangeQuestion(StrEnum):
    """Keys of the two questions."""

    LASTING = "lasting"
    NOW_AGAINST_THEN = "now_against_then"


class ChangeVerdict(StrEnum):
    """Keys of what may be said."""

    LOWER = "lower"
    HIGHER = "higher"
    NOT_TOLD = "no_change_told"
    NOTHING = "nothing"


class Why(StrEnum):
    """Keys of why an outing is left out or is doubtful, or why nothing is said."""

    NO_FIT = "no_usable_fit"
    STRAYS = "heart_rate_strays"
    BEFORE_BREAK = "before_a_long_break"
    DOUBTFUL = "doubtful"
    TOO_FEW = "too_few_outings"
    TOO_SHORT = "too_few_weeks"
    TOO_VAGUE = "too_vague"
    ENDS_EMPTY = "too_few_outings_at_the_ends"


@dataclass(frozen=True)
class FigureChange:
    """The answer to one question about one figure.

    Attributes
    ----------
    figure : ``level`` (bpm) or ``drift`` (bpm/h). change, low, high : over the span, with its 95 % interval;
        None where nothing can be said, ``why`` then says why.
    detectable : size of a change that would show in 80 % of such months.
    holds : False where it would be called a change but only with the doubtful outings.
    weeks : from the first outing to the last. outings : how many entered.
    """

    figure: str
    question: ChangeQuestion
    verdict: ChangeVerdict
    outings: int
    weeks: float
    change: float | None = None
    low: float | None = None
    high: float | None = None
    detectable: float | None = None
    why: Why | None = None
    holds: bool = True


@dataclass(frozen=True, eq=False)
class GroupChanges:
    """What changed in one kind of outings.

    Attributes
    ----------
    group : key of the kind. changes : level and drift, two questions each.
    entered : (n,) indices of outings; week : (n,) since the first of them.
    value, sd : (n, 2) level and drift of each outing and how well it tells them.
    line : level at the first and the last week by the lasting change; None where nothing is said.
    day_sd : expected spread of levels from day to day. usual_work_w_per_kg : what levels are compared at.
    left_out : index and key of the reason of each; doubtful ones are among those that entered.
    named : what else changed meanwhile.
    """

    group: str
    changes: tuple[FigureChange, ...]
    entered: np.ndarray
    week: Array
    value: Array
    sd: Array
    day_sd: float
    usual_work_w_per_kg: float
    left_out: tuple[tuple[int, NotTeaching | Why], ...]
    doubtful: tuple[int, ...] = ()
    named: tuple[NamedChange, ...] = ()
    origin: datetime | None = None
    line: tuple[float, float] | None = None


def changes_of(candidates: Sequence[Candidate]) -> tuple[GroupChanges, ...]:
    """What changed, for each kind of outings that has a work rate; in order of how many entered."""
    groups: dict[str, list[Candidate]] = {}
    for one in sorted(candidates, key=lambda c: c.evidence.start_utc):
        group = group_of(one.evidence)
        if group is not None:
            groups.setdefault(group, []).append(one)
    found = [_of_group(group, members) for group, members in groups.items()]
    return tuple(sorted(found, key=lambda each: -each.entered.size))


def _of_group(group: str, members: list[Candidate]) -> GroupChanges:
    entered, left_out = _entering(members)
    origin = entered[0].evidence.start_utc if entered else None
    week = (
        np.array([weeks_since(one.evidence.start_utc, origin) for one in entered]) if origin else np.zeros(0)
    )
    index = np.array([one.index for one in entered], dtype=int)
    fits = [one.evidence.fit for one in entered if one.evidence.fit is not None]
    if not fits:
        nothing = _nothing(0, 0.0, Why.TOO_FEW)
        empty = np.zeros((0, 2))
        return GroupChanges(group, nothing, index, week, empty, empty, 0.0, 0.0, tuple(left_out))
    evidence = [one.evidence for one in entered]
    levels = levels_of(fits, evidence[0].on_bike)
    work = np.array([fit.centre[0] for fit in fits])
    series = series_of(levels)
    changes, doubtful, day_sd, line = _judge(evidence, week, work, series)
    return GroupChanges(
        group=group,
        changes=changes,
        entered=index,
        week=week,
        value=np.column_stack([series["level"][0], series["drift"][0]]),
        sd=np.sqrt(np.column_stack([series["level"][1], series["drift"][1]])),
        day_sd=day_sd,
        usual_work_w_per_kg=float(levels.usual[0]),
        left_out=tuple(left_out),
        doubtful=tuple(int(index[i]) for i in np.flatnonzero(doubtful)),
        named=named_changes(evidence),
        origin=origin,
        line=line,
    )


def _entering(members: list[Candidate]) -> tuple[list[Candidate], list[tuple[int, NotTeaching | Why]]]:
    """Outings that enter, the earliest first, and why the others do not."""
    left_out: list[tuple[int, NotTeaching | Why]] = []
    usable = []
    for one in members:
        why: NotTeaching | Why | None = why_not(one.evidence, one.chosen, LEAST_ENTER_S)
        fit = one.evidence.fit
        if why is None and (fit is None or not fit.usable or fit.used_s < LEAST_ENTER_S):
            why = Why.NO_FIT
        if why is None:
            usable.append(one)
        else:
            left_out.append((one.index, why))
    strays = np.array([one.evidence.fit.residual_bpm for one in usable if one.evidence.fit is not None])
    if strays.size >= LEAST_OUTINGS:
        middle = float(np.median(strays))
        most = middle + RESIDUAL_MADS * 1.4826 * float(np.median(np.abs(strays - middle)))
        left_out += [(one.index, Why.STRAYS) for one, s in zip(usable, strays, strict=True) if s > most]
        usable = [one for one, s in zip(usable, strays, strict=True) if s <= most]
    starts = [one.evidence.start_utc for one in usable]
    breaks = [i for i in range(1, len(usable)) if weeks_since(starts[i], starts[i - 1]) > LONGEST_GAP_WEEKS]
    first = breaks[-1] if breaks else 0
    left_out += [(one.index, Why.BEFORE_BREAK) for one in usable[:first]]
    return usable[first:], left_out


def _nothing(outings: int, weeks: float, why: Why) -> tuple[FigureChange, ...]:
    return tuple(
        FigureChange(f, q, ChangeVerdict.NOTHING, outings, weeks, why=why)
        for f in SCALE
        for q in ChangeQuestion
    )


def _judge(
    evidence: list[OutingEvidence], week: Array, work: Array, series: dict[str, tuple[Array, Array]]
) -> tuple[tuple[FigureChange, ...], np.ndarray, float, tuple[float, float] | None]:
    """The changes, which outings are doubtful, the days' spread of the level, and its line."""
    doubtful = np.array([one.coverage < DOUBTFUL_COVERAGE for one in evidence])
    span = float(np.ptp(week))
    if len(evidence) < LEAST_OUTINGS or span < LEAST_WEEKS:
        why = Why.TOO_FEW if len(evidence) < LEAST_OUTINGS else Why.TOO_SHORT
        return _nothing(len(evidence), span, why), doubtful, SCALE["level"], None
    changes, day_sd, line = [], SCALE["level"], None
    for figure, (value, variance) in series.items():
        for question in ChangeQuestion:
            asked = _Asked(figure, question, evidence, week, work, value, variance)
            whole = asked.answer(np.ones(week.size, bool))
            if whole is None:
                nothing = FigureChange(
                    figure, question, ChangeVerdict.NOTHING, week.size, span, why=Why.ENDS_EMPTY
                )
                changes.append(nothing)
                continue
            odd = doubtful | (whole.trust < DOUBTFUL_TRUST)
            changes.append(asked.change(whole, odd))
            if figure == "level" and question is ChangeQuestion.LASTING:
                doubtful, day_sd = odd, whole.day_sd
                line = asked.line(whole) if changes[-1].change is not None else None
    return tuple(changes), doubtful, day_sd, line


@dataclass(frozen=True, eq=False)
class _Asked:
    """One question about one figure of the outings that entered."""

    figure: str
    question: ChangeQuestion
    evidence: list[OutingEvidence]
    week: Array
    work: Array
    value: Array
    variance: Array

    def answer(self, keep: np.ndarray) -> Answer | None:
        """The answer of the outings kept; None where there are too few at the ends to compare."""
        week, scale = self.week[keep], SCALE[self.figure]
        y = self.value[keep] - np.median(self.value[keep])
        known = known_of(
            [one for one, k in zip(self.evidence, keep, strict=True) if k], self.work[keep], scale
        )
        if self.question is ChangeQuestion.LASTING:
            columns = np.column_stack([np.ones(week.size), week - week.mean(), known.columns])
            precision = np.concatenate([[1e-9, 1e-9], known.precision])
            contrast = np.zeros(columns.shape[1])
            contrast[1] = float(np.ptp(self.week))
            return contrast_of_known(
                week, y, self.variance[keep], columns, precision, contrast, mean_reverting_grid(scale)
            )
        first, last = self.week.min() + END_WEEKS, self.week.max() - END_WEEKS
        then, now = week[week <= first], week[week >= last]
        apart = float(np.ptp(self.week)) >= LEAST_COURSE_WEEKS
        if not apart or min(then.size, now.size) < LEAST_AT_END:
            return None
        columns = np.column_stack([np.ones(week.size), known.columns])
        precision = np.concatenate([[1e-9], known.precision])
        grid = random_walk_grid(scale, STEP_PER_ROOT_WEEK * scale, float(self.week.min()))
        return contrast_of_course(week, y, self.variance[keep], columns, precision, then, now, grid)

    def line(self, whole: Answer) -> tuple[float, float]:
        """The figure at the first and the last week, other things as usual."""
        start, slope = whole.coefficients[0] + np.median(self.value), whole.coefficients[1]
        first, last = (start + slope * (end - self.week.mean()) for end in (self.week[0], self.week[-1]))
        return float(first), float(last)

    def change(self, whole: Answer, odd: np.ndarray) -> FigureChange:
        """The change, called one only where it holds without the odd outings too."""
        low, high = whole.interval()
        detectable = SEEN_SDS * whole.spread
        verdict = _verdict(low, high)
        names = (self.figure, self.question)
        counts = (len(self.evidence), float(np.ptp(self.week)))
        if detectable > MOST_DETECTABLE_SCALES * SCALE[self.figure]:
            return FigureChange(
                *names, ChangeVerdict.NOTHING, *counts, detectable=detectable, why=Why.TOO_VAGUE
            )
        holds = True
        if verdict is not ChangeVerdict.NOT_TOLD and odd.any():
            rest = self.answer(~odd) if np.count_nonzero(~odd) >= LEAST_OUTINGS else None
            holds = rest is not None and _verdict(*rest.interval()) is verdict
        verdict = verdict if holds else ChangeVerdict.NOT_TOLD
        return FigureChange(*names, verdict, *counts, whole.value, low, high, detectable, holds=holds)


def _verdict(low: float, high: float) -> ChangeVerdict:
    if high < 0.0:
        return ChangeVerdict.LOWER
    return ChangeVerdict.HIGHER if low > 0.0 else ChangeVerdict.NOT_TOLD
