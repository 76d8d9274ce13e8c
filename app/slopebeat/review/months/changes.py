"""The figures shown over months, how to speak of each, and what changed in them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from slopebeat.analysis.months.change import ChangeQuestion, ChangeVerdict, FigureChange, GroupChanges, Why
from slopebeat.analysis.months.levels import NamedChange
from slopebeat.analysis.response.teaching import NotTeaching
from slopebeat.model import measures
from slopebeat.model.evidence import POWER, RIDE, RUN, WALK, OutingSummary
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import Measure, decimal_sign
from slopebeat.model.recording import Sport
from slopebeat.model.units import KMH_PER_MPS
from slopebeat.review.words.names import change_interval, key_name


@dataclass(frozen=True)
class MonthsFigure:
    """How to speak of one figure.

    Attributes
    ----------
    name : the start of a sentence. unit : after a number. digits : shown. scale : shown per stored unit.
        Words are marked for :func:`tr`.
    stored : unit of the values as they are kept.
    measure : of a quantity with a unit the user chose; it takes the place of unit and scale.
    """

    name: str
    unit: str
    digits: int
    stored: str
    scale: float = 1.0
    measure: Measure | None = None

    @property
    def factor(self) -> float:
        """From what is stored to what is shown, in the unit in force."""
        return self.scale if self.measure is None else self.measure.scale.factor

    def text(self, value: float, sign: str = "") -> str:
        return f"{value * self.factor:{sign}.{self.digits}f}".replace(".", decimal_sign())

    @property
    def shown_unit(self) -> str:
        """The unit in words, that of :attr:`measure` where there is one."""
        return tr(self.unit) if self.measure is None else self.measure.unit

    def amount(self, value: float) -> str:
        """A size with its unit."""
        return f"{self.text(value)} {self.shown_unit}"


LEVEL = MonthsFigure(mark("Heart rate at your usual work"), mark("bpm"), 0, "bpm")
DRIFT = MonthsFigure(mark("Drift"), mark("bpm/h"), 1, "bpm/h")
DECOUPLING = MonthsFigure(mark("Terrain-fair decoupling"), mark("points"), 1, "percent")
SPEED = MonthsFigure(
    mark("Flat-equivalent speed at mid-band"),
    "km/h",
    2,
    "m/s",
    scale=KMH_PER_MPS,
    measure=measures.SPEED,
)
YIELD = MonthsFigure(mark("Share of time in band"), mark("points"), 0, "share", scale=100.0)


FIGURES = {"level": LEVEL, "drift": DRIFT}

GROUP_WORDS = {RUN: mark("Running"), WALK: mark("Walking and hiking"), RIDE: mark("Riding")}

TOLD_WORDS = {
    ChangeVerdict.LOWER: mark("Lower"),
    ChangeVerdict.HIGHER: mark("Higher"),
    ChangeVerdict.NOT_TOLD: mark("No change can be told"),
    ChangeVerdict.NOTHING: mark("Nothing can be said yet"),
}

QUESTION_WORDS = {
    ChangeQuestion.LASTING: mark("A lasting change"),
    ChangeQuestion.NOW_AGAINST_THEN: mark("The last four weeks against the first four"),
}


class NotDrawn(StrEnum):
    """Why an outing is no point of a chart that it has a figure for."""

    VAGUE = "interval too wide"
    OTHER_BAND = "another band"


LEFT_OUT_WORDS: dict[NotTeaching | Why | NotDrawn, str] = {
    NotDrawn.VAGUE: mark("not in the chart of decoupling: time and terrain could not be told apart"),
    NotDrawn.OTHER_BAND: mark("not in the charts of speed and time in band: it had another band"),
    NotTeaching.LEFT_OUT: mark("left out by hand"),
    NotTeaching.NO_WORK: mark("no work rate"),
    NotTeaching.LITTLE_HEART_RATE: mark("under half of the time with trusted heart rate"),
    NotTeaching.TOO_SHORT: mark("under 30 minutes of moving with trusted heart rate"),
    Why.NO_FIT: mark("heart rate could not be read against work"),
    Why.STRAYS: mark("heart rate strays far more than on the other outings"),
    Why.BEFORE_BREAK: mark("before a break of more than half a year"),
    Why.DOUBTFUL: mark("doubtful: a change has to hold without it"),
}

NOTHING_WORDS = {
    Why.TOO_FEW: mark("at least six outings of half an hour and more are needed"),
    Why.TOO_SHORT: mark("at least six weeks are needed"),
    Why.TOO_VAGUE: mark("the outings differ so much that not even a large change would show"),
    Why.ENDS_EMPTY: mark("it takes ten weeks, with two outings in the first four and two in the last four"),
}

NAMED_WORDS = {
    "work_source": mark("The source of the work rate changed meanwhile, from {before} to {after} ({day})"),
    "sport": mark("The sport changed meanwhile, from {before} to {after} ({day})"),
    "device": mark("The device changed meanwhile ({day})"),
}

LEAST_PART = {"level": 0.5, "drift": 0.05}
"""Smaller changes are shown as none: they round to nothing."""


@dataclass(frozen=True)
class LeftOut:
    """An outing that did not enter, or is doubtful, by its title, with the reason in words.

    ``index`` is its place among the months' outings. ``by_hand`` is True where the user left it out, who can
    take it in again, and False where it entered and can be left out; None where neither is to be decided.
    """

    title: str
    reason: str
    index: int = -1
    by_hand: bool | None = None


def group_words(group: str) -> str:
    """The kind of outings, as a heading says it."""
    return tr(GROUP_WORDS.get(group, group))


def change_sentence(found: GroupChanges, change: FigureChange) -> str:
    """The answer with its numbers, a whole sentence or two."""
    figure = FIGURES[change.figure]
    head = tr("{group}, {outings} in {weeks}").format(
        group=group_words(found.group),
        outings=trn("{n} outing", "{n} outings", change.outings).format(n=change.outings),
        weeks=trn("{n} week", "{n} weeks", round(change.weeks)).format(n=round(change.weeks)),
    )
    if change.change is None or change.low is None or change.high is None:
        why = tr(NOTHING_WORDS[change.why or Why.TOO_FEW])
        nothing = tr("{head}: whether {figure} is another now than in the first weeks cannot be said; {why}.")
        if change.question is ChangeQuestion.LASTING:
            nothing = tr("{head}: whether {figure} changed for good cannot be said; {why}.")
        return nothing.format(head=head, figure=_begun_low(figure), why=why)
    text = tr("{head}: {moved} ({interval}); {verdict}.").format(
        head=head,
        moved=_moved(change, figure),
        interval=change_interval(change.low, change.high, figure.text),
        verdict=_verdict(change),
    )
    if change.detectable is None:
        return text
    seen = tr("With so many outings about {amount} would show.")
    return f"{text} {seen.format(amount=figure.amount(change.detectable))}"


_MOVED = {
    (0, ChangeQuestion.LASTING): mark("{figure} is what it was at the start"),
    (0, ChangeQuestion.NOW_AGAINST_THEN): mark("{figure} is what it was in the first weeks"),
    (-1, ChangeQuestion.LASTING): mark("{figure} is {amount} lower than at the start"),
    (-1, ChangeQuestion.NOW_AGAINST_THEN): mark("{figure} is {amount} lower than in the first weeks"),
    (1, ChangeQuestion.LASTING): mark("{figure} is {amount} higher than at the start"),
    (1, ChangeQuestion.NOW_AGAINST_THEN): mark("{figure} is {amount} higher than in the first weeks"),
}


def _moved(change: FigureChange, figure: MonthsFigure) -> str:
    value = change.change or 0.0
    way = 0 if abs(value) < LEAST_PART[change.figure] else -1 if value < 0.0 else 1
    text = tr(_MOVED[way, change.question])
    return text.format(figure=_begun_low(figure), amount=figure.amount(abs(value)))


def _begun_low(figure: MonthsFigure) -> str:
    return tr("heart rate at your usual work") if figure is LEVEL else tr("its drift")


def _verdict(change: FigureChange) -> str:
    if not change.holds:
        return tr("it does not hold without the doubtful outings, so no change can be told")
    if change.verdict is ChangeVerdict.NOT_TOLD:
        return tr("no change can be told")
    return tr("a change, more than days and weeks make")


def left_out_of(found: GroupChanges, outings: tuple[OutingSummary, ...]) -> tuple[LeftOut, ...]:
    """The outings that did not enter, and the doubtful ones, by name."""
    return left_out_rows([*found.left_out, *((i, Why.DOUBTFUL) for i in found.doubtful)], outings)


_DECIDED: dict[NotTeaching | Why | NotDrawn, bool] = {
    NotTeaching.LEFT_OUT: True,
    Why.DOUBTFUL: False,
    Why.STRAYS: False,
}
"""What one click can change: True takes an outing in again, False leaves it out."""


def left_out_rows(
    rows: Iterable[tuple[int, NotTeaching | Why | NotDrawn]], outings: tuple[OutingSummary, ...]
) -> tuple[LeftOut, ...]:
    """Outings, by their place among those given, in words."""
    return tuple(
        LeftOut(
            day_and_title(outings[i].title, outings[i].start_utc),
            tr(LEFT_OUT_WORDS[why]),
            i,
            _DECIDED.get(why),
        )
        for i, why in rows
    )


def left_out_lists(
    changes: Iterable[GroupChanges],
    not_drawn: Iterable[tuple[int, NotDrawn]],
    outings: tuple[OutingSummary, ...],
) -> tuple[tuple[str, tuple[LeftOut, ...]], ...]:
    """Every outing left out of what changed or of a chart, under a heading each; none without outings."""
    head = tr("{group}: left out of what changed, or doubtful")
    found = [(head.format(group=group_words(each.group)), left_out_of(each, outings)) for each in changes]
    found.append((tr("Left out of the charts"), left_out_rows(not_drawn, outings)))
    return tuple((name, rows) for name, rows in found if rows)


def day_and_title(title: str, start_utc: datetime) -> str:
    """How an outing is named where it stands alone."""
    return tr("{title}, {day}").format(title=title, day=f"{start_utc:%Y-%m-%d}")


def named_sentences(found: GroupChanges, outings: tuple[OutingSummary, ...]) -> tuple[str, ...]:
    """What else changed meanwhile, a sentence each."""
    return tuple(_named(each, outings[int(found.entered[each.first])]) for each in found.named)


def _named(named: NamedChange, outing: OutingSummary) -> str:
    words = {POWER: tr("a power meter"), "model": tr("speed and ground")}
    words |= {str(sport): key_name(sport) for sport in Sport} if named.what == "sport" else {}
    text = tr(NAMED_WORDS[named.what]).format(
        before=words.get(named.before, named.before),
        after=words.get(named.after, named.after),
        day=f"{outing.start_utc:%Y-%m-%d}",
    )
    known = (
        tr("it is allowed for") if named.what != "device" else tr("it may pass for a change of the athlete")
    )
    return tr("{told}; {known}.").format(told=text, known=known)
