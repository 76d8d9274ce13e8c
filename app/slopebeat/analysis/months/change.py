"""What a trend means, in a sentence: noise of the days, chance, or a change."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slopebeat.analysis.months.trend import LEAST_POINTS, SIGNIFICANT_P, PMethod, Trend
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import Measure, decimal_sign

HR_DAY_CV_PERCENT = (1.1, 1.4)
"""Day-to-day variation of submaximal heart rate (Lamberts 2004, J Strength Cond Res 18:641)."""

DECOUPLING_NOISE_POINTS = 4.0
"""Changes of decoupling under this are not told from day-to-day heart rate: its variation makes a smallest
detectable change of 3.0-3.9 % (``trend.mdc95``). No test-retest study of decoupling itself was found."""

SPEED_NOISE_SHARE = 0.06
"""The same 3.9 % of a heart rate of 120 bpm, 4.7 bpm, is 6.9 % of the 68 bpm that walking adds to an
intercept of 52 bpm; by the published cost of level walking (Looney 2019) that is 6.3 % of 1.4 m/s
[derived; project choice]."""


class Kind(StrEnum):
    """What a trend may be called."""

    TOO_FEW = mark("too few outings")
    NOISE = mark("day-to-day noise")
    CHANCE = mark("may be chance")
    BETTER = mark("better")
    WORSE = mark("worse")
    CHANGED = mark("changed")


@dataclass(frozen=True)
class Figure:
    """How to speak of one figure.

    Attributes
    ----------
    name : the start of a sentence. unit : after a number. digits : shown. scale : shown per stored unit.
        Words are marked for :func:`tr`.
    rising_is_better : None when neither direction is good in itself.
    noise : size of a change, in stored units, that days alone make; None when none is known.
    noise_basis : where that size comes from, in words.
    measure : of a quantity with a unit the user chose; it takes the place of unit and scale.
    """

    name: str
    unit: str
    digits: int
    scale: float = 1.0
    rising_is_better: bool | None = None
    noise: float | None = None
    noise_basis: str = ""
    measure: Measure | None = None

    def text(self, value: float, sign: str = "") -> str:
        return f"{self._shown(value):{sign}.{self.digits}f}".replace(".", decimal_sign())

    @property
    def shown_unit(self) -> str:
        """The unit in words, that of :attr:`measure` where there is one."""
        return tr(self.unit) if self.measure is None else self.measure.unit

    def rounds_to_nothing(self, value: float) -> bool:
        return round(self._shown(value), self.digits) == 0.0

    def _shown(self, value: float) -> float:
        return value * self.scale if self.measure is None else self.measure.shown(value)

    def amount(self, value: float) -> str:
        """A size with its unit."""
        return f"{self.text(value)} {self.shown_unit}"


@dataclass(frozen=True)
class Verdict:
    """What a trend may be called, and the sentence that says so with its numbers."""

    kind: Kind
    sentence: str


def judge(found: Trend, figure: Figure) -> Verdict:
    """Judge a trend over weeks.

    The total change over the span is held against the noise first: a small change is called noise however
    consistent it is, and its numbers are given all the same.
    """
    change, interval = found.change, found.change_interval
    if found.n < LEAST_POINTS or change is None or interval is None or found.p is None:
        return Verdict(Kind.TOO_FEW, _too_few(found, figure))
    moved = _moved(change, found, figure)
    if figure.noise is not None and abs(change) < figure.noise:
        sentence = (
            tr("{moved}. A change under {noise} is within day-to-day noise: {basis}.")
            if found.p <= SIGNIFICANT_P
            else tr("{moved}. A change under {noise} is day-to-day noise: {basis}.")
        ).format(moved=moved, noise=figure.amount(figure.noise), basis=tr(figure.noise_basis))
        return Verdict(Kind.NOISE, sentence)
    if found.p > SIGNIFICANT_P or interval[0] <= 0.0 <= interval[1]:
        return Verdict(Kind.CHANCE, _may_be_chance(moved))
    if figure.rising_is_better is None:
        return Verdict(Kind.CHANGED, f"{moved}.")
    better = (change > 0.0) == figure.rising_is_better
    sentence = f"{moved}."
    if figure.noise is not None:
        sentence = tr("{moved}, more than days alone make.").format(moved=moved)
    return Verdict(Kind.BETTER if better else Kind.WORSE, sentence)


def _may_be_chance(moved: str) -> str:
    return tr("{moved}. That may be chance: the outings differ too much to tell.").format(moved=moved)


def _moved(change: float, found: Trend, figure: Figure) -> str:
    """The change with its evidence, a sentence without its full stop."""
    if figure.rounds_to_nothing(change):
        sentence = tr("{figure} did not change in {weeks} ({evidence})")
    elif change > 0.0:
        sentence = tr("{figure} rose by {amount} in {weeks} ({evidence})")
    else:
        sentence = tr("{figure} fell by {amount} in {weeks} ({evidence})")
    whole = round(found.span)
    return sentence.format(
        figure=tr(figure.name),
        amount=figure.amount(abs(change)),
        weeks=trn("{n} week", "{n} weeks", whole).format(n=whole),
        evidence=_evidence(found, figure),
    )


def _evidence(found: Trend, figure: Figure) -> str:
    assert found.change_interval is not None
    assert found.p is not None
    low, high = (figure.text(value, "+") for value in found.change_interval)
    p = "p < 0.001" if found.p < 0.001 else f"p = {found.p:.3f}"
    p = p.replace(".", decimal_sign())
    if found.p_method in (PMethod.EXACT, PMethod.TIES):
        p = f"{p}, {tr(found.p_method)}"
    return tr("95 % interval {low} to {high} {unit}, {p}, {outings}").format(
        low=low, high=high, unit=figure.shown_unit, p=p, outings=_outings(found.grouped_from)
    )


def _too_few(found: Trend, figure: Figure) -> str:
    if found.n >= LEAST_POINTS:
        sentence = tr("{figure}: all {n} outings have one figure or one time, so there is no trend to test.")
        return sentence.format(figure=tr(figure.name), n=found.n)
    more = LEAST_POINTS - found.n
    return trn(
        "{figure}: {outings} cannot show a trend; {more} more is needed.",
        "{figure}: {outings} cannot show a trend; {more} more are needed.",
        more,
    ).format(figure=tr(figure.name), outings=_outings(found.n), more=more)


def _outings(count: int) -> str:
    return trn("{n} outing", "{n} outings", count).format(n=count)
