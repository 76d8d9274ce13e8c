"""The aerobic gap of an athlete over time: the bands' upper edges and the hard thresholds known, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from slopebeat.analysis.band.aerobic_gap import GAP, HardThreshold, hard_threshold
from slopebeat.analysis.band.lactate import LactateTest, Stage
from slopebeat.model.bands import PLAUSIBLE_BPM, Band
from slopebeat.model.basis import HARD_THRESHOLD_BPM, LACTATE, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import figure
from slopebeat.model.people import BandPeriod, Ground
from slopebeat.model.units import percent
from slopebeat.review.words.names import key_name

LEAST_CHANGE = 0.01
"""Gaps that differ by less are reported as the same: they round alike [project choice]."""


@dataclass(frozen=True)
class Gap:
    """From ``day`` on: the upper edge in force, and the hard threshold last known, of ``known_day``."""

    ground: Ground
    day: date
    upper_bpm: int
    hard: HardThreshold
    known_day: date

    @property
    def share(self) -> float:
        """How far the threshold lies over the edge, as a share of it."""
        return self.hard.over(self.upper_bpm)


def gaps(periods: Iterable[BandPeriod]) -> tuple[Gap, ...]:
    """In order of ground and day: one for each band from the first whose ground knows a hard threshold on."""
    found: list[Gap] = []
    every = tuple(periods)
    for ground in Ground:
        here = sorted((p for p in every if p.ground is ground), key=lambda p: p.from_day)
        known: tuple[HardThreshold, date] | None = None
        for period in here:
            own = hard_of(period.band.basis)
            known = known if own is None else (own, period.from_day)
            if known is not None:
                found.append(Gap(ground, period.from_day, period.band.upper_bpm, *known))
    return tuple(found)


def with_hard_threshold(band: Band, hard_bpm: float) -> Band:
    """The band with a hard threshold entered; UserError with a sentence where it lies not over the band."""
    if not band.upper_bpm < hard_bpm <= PLAUSIBLE_BPM[1]:
        refusal = tr("The hard threshold lies over the band: over {upper} bpm, and up to {most}.")
        raise UserError(refusal.format(upper=band.upper_bpm, most=figure(PLAUSIBLE_BPM[1])))
    values = {**band.basis.values, HARD_THRESHOLD_BPM: float(hard_bpm)}
    return replace(band, basis=Basis.of_values(values))


def without_hard_threshold(band: Band) -> Band:
    """The band without what was entered of a hard threshold."""
    values = {name: value for name, value in band.basis.values.items() if name != HARD_THRESHOLD_BPM}
    return replace(band, basis=Basis.of_values(values))


def hard_of(basis: Basis) -> HardThreshold | None:
    """The hard threshold a band's basis knows: as entered, else of the step test."""
    entered = basis.numbers(HARD_THRESHOLD_BPM)
    if entered is not None:
        return HardThreshold(entered[0], entered[0], entered[0])
    test = test_of(basis)
    return None if test is None else hard_threshold(test)


def test_of(basis: Basis) -> LactateTest | None:
    """The step test a band was found by; None where there is none or it cannot be one."""
    if basis.key != LACTATE:
        return None
    values = basis.values
    try:
        stages = tuple(
            Stage(*(float(each[name]) for name in ("load", "lactate_mmol_l", "hr_bpm")))
            for each in values["stages"]
        )
        rest = values.get("resting_mmol_l")
        return LactateTest(stages, str(values.get("load_unit", "W")), None if rest is None else float(rest))
    except (KeyError, TypeError, ValueError, UserError):
        return None


def gap_sentences(found: tuple[Gap, ...]) -> tuple[str, ...]:
    """The latest of each ground, and how it changed since the first; empty without any."""
    sentences = []
    for ground in Ground:
        here = [each for each in found if each.ground is ground]
        if here:
            sentences.append(" ".join(text for text in (_now(here[-1]), _changed(here[0], here[-1])) if text))
    return tuple(sentences)


def _now(gap: Gap) -> str:
    if gap.hard.hr_bpm <= gap.upper_bpm:
        wrong = tr(
            "{ground}: the hard threshold ({hard} bpm, {day}) lies under the band's upper edge ({upper} "
            "bpm); one of both is not right."
        )
        return _filled(wrong, gap)
    if gap.share > GAP:
        wide = tr(
            "{ground}: the hard threshold ({hard} bpm, {how}, {day}) lies {bpm} bpm or {share} over the "
            "band's upper edge ({upper} bpm). Over {limit} is called an aerobic gap by common practice, for "
            "which no source is known."
        )
        return _filled(wide, gap)
    narrow = tr(
        "{ground}: the hard threshold ({hard} bpm, {how}, {day}) lies {bpm} bpm or {share} over the band's "
        "upper edge ({upper} bpm); up to {limit} is no aerobic gap by common practice, for which no source "
        "is known."
    )
    return _filled(narrow, gap)


def _filled(sentence: str, gap: Gap) -> str:
    return sentence.format(
        ground=key_name(gap.ground).capitalize(),
        hard=figure(gap.hard.hr_bpm),
        how=_how(gap.hard),
        day=gap.known_day,
        bpm=figure(gap.hard.hr_bpm - gap.upper_bpm),
        share=percent(gap.share),
        upper=gap.upper_bpm,
        limit=percent(GAP),
    )


def _how(hard: HardThreshold) -> str:
    if hard.entered:
        return tr("entered by hand")
    ends = tr("step test, {low} to {high} by method")
    return ends.format(low=figure(hard.low_bpm), high=figure(hard.high_bpm))


def _changed(first: Gap, last: Gap) -> str:
    if first.day == last.day:
        return ""
    names = {"day": first.day, "before": percent(first.share)}
    if abs(last.share - first.share) < LEAST_CHANGE:
        return tr("On {day} it was the same.").format(**names)
    if last.share < first.share:
        return tr("It has narrowed: on {day} it was {before}.").format(**names)
    return tr("It has widened: on {day} it was {before}.").format(**names)


def gap_values(found: tuple[Gap, ...]) -> list[dict[str, Any]]:
    """All of them as JSON values."""
    return [
        {
            "ground": str(gap.ground),
            "from_day": gap.day.isoformat(),
            "upper_edge_bpm": gap.upper_bpm,
            "hard_threshold_bpm": gap.hard.hr_bpm,
            "hard_threshold_low_bpm": gap.hard.low_bpm,
            "hard_threshold_high_bpm": gap.hard.high_bpm,
            "hard_threshold_day": gap.known_day.isoformat(),
            "share": gap.share,
            "over_limit": gap.share > GAP,
        }
        for gap in found
    ]
