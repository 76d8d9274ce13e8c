"""The figures a coach looks for first on the page, each with its interval."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.account.extension import Extension
from slopebeat.analysis.price.next_outing import (
    INTERVAL_LEVEL,
    LONGEST_S,
    NextAnswers,
    NextOuting,
    NoLength,
)
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.terrain_fair import TerrainFair
from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.model.units import duration, percent, rest_s
from slopebeat.review.outing import Review
from slopebeat.review.words.names import key_name


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
