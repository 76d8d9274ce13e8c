"""What a trend means, in a sentence: noise of the days, chance, or a change."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slopebeat.analysis.trend import LEAST_POINTS, SIGNIFICANT_P, PMethod, Trend

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

    TOO_FEW = "too few outings"
    NOISE = "day-to-day noise"
    CHANCE = "may be chance"
    BETTER = "better"
    WORSE = "worse"
    CHANGED = "changed"


@dataclass(frozen=True)
class Figure:
    """How to speak of one figure.

    Attributes
    ----------
    name : the start of a sentence. unit : after a number. digits : shown. scale : shown per stored unit.
    rising_is_better : None when neither direction is good in itself.
    noise : size of a change, in stored units, that days alone make; None when none is known.
    noise_basis : where that size comes from, in words.
    """

    name: str
    unit: str
    digits: int
    scale: float = 1.0
    rising_is_better: bool | None = None
    noise: float | None = None
    noise_basis: str = ""

    def text(self, value: float, sign: str = "") -> str:
        return f"{value * self.scale:{sign}.{self.digits}f}"


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
    moved = f"{figure.name} {_moved(change, figure)} in {_weeks(found.span)} ({_evidence(found, figure)})"
    if figure.noise is not None and abs(change) < figure.noise:
        tail = "is within day-to-day noise" if found.p <= SIGNIFICANT_P else "is day-to-day noise"
        return Verdict(
            Kind.NOISE,
            f"{moved}. A change under {figure.text(figure.noise)} {figure.unit} {tail}: "
            f"{figure.noise_basis}.",
        )
    if found.p > SIGNIFICANT_P or interval[0] <= 0.0 <= interval[1]:
        return Verdict(Kind.CHANCE, f"{moved}. That may be chance: the outings differ too much to tell.")
    if figure.rising_is_better is None:
        return Verdict(Kind.CHANGED, f"{moved}.")
    better = (change > 0.0) == figure.rising_is_better
    beyond = "" if figure.noise is None else ", more than days alone make"
    return Verdict(Kind.BETTER if better else Kind.WORSE, f"{moved}{beyond}.")


def _moved(change: float, figure: Figure) -> str:
    if float(figure.text(change)) == 0.0:
        return "did not change"
    return f"{'rose' if change > 0 else 'fell'} by {figure.text(abs(change))} {figure.unit}"


def _weeks(span: float) -> str:
    whole = round(span)
    return f"{whole} week{'' if whole == 1 else 's'}"


def _evidence(found: Trend, figure: Figure) -> str:
    assert found.change_interval is not None
    assert found.p is not None
    low, high = (figure.text(value, "+") for value in found.change_interval)
    p = "p < 0.001" if found.p < 0.001 else f"p = {found.p:.3f}"
    how = f", {found.p_method}" if found.p_method in (PMethod.EXACT, PMethod.TIES) else ""
    return f"95 % interval {low} to {high} {figure.unit}, {p}{how}, {found.grouped_from} outings"


def _too_few(found: Trend, figure: Figure) -> str:
    if found.n >= LEAST_POINTS:
        return (
            f"{figure.name}: all {found.n} outings have one figure or one time, so there is no trend to test."
        )
    count = f"{found.n} outing{'' if found.n == 1 else 's'}"
    more = LEAST_POINTS - found.n
    return f"{figure.name}: {count} cannot show a trend; {more} more {'is' if more == 1 else 'are'} needed."
