"""How a band was found, in words: each basis by its key, from its numbers."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from slopebeat.model.bands import Band
from slopebeat.model.basis import (
    AGE,
    BY_HAND,
    DRIFT_TEST,
    HARD_THRESHOLD_BPM,
    INVENTED_MAXIMUM,
    LACTATE,
    MAXIMUM,
    MEASURED_MAXIMUM,
    RESERVE,
    SEEN_MAXIMUM,
    Basis,
)
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import decimal_sign, shortest_number
from slopebeat.review.words.names import key_name

_Words = Callable[[Basis, int], str]
"""Takes how a band was found and its upper edge in bpm."""


def basis_words(band: Band) -> str:
    """How a band was found, in the language in force; empty where nothing is to say beside the method."""
    return _short(band.basis, band.upper_bpm)


def how_words(band: Band) -> str:
    """The same with what goes with it, and never empty."""
    return _full(band.basis, band.upper_bpm) or key_name(band.method)


def _short(basis: Basis, upper_bpm: int) -> str:
    if basis.key == BY_HAND:
        return basis.words_of("short_text")
    words = _SHORT.get(basis.key)
    return basis.words_of("short_text") or (words(basis, upper_bpm) if words else basis.words_of("text"))


def _full(basis: Basis, upper_bpm: int) -> str:
    """Empty where nothing is known but the method."""
    full = basis.words_of("text") or _FULL.get(basis.key, _short)(basis, upper_bpm)
    hard = basis.numbers(HARD_THRESHOLD_BPM)
    if full and hard is not None:
        text = tr("{basis}; hard threshold {bpm} bpm, entered")
        full = text.format(basis=full, bpm=shortest_number(hard[0]))
    before = "" if basis.before is None else _full(basis.before, upper_bpm)
    return f"{full} ({before})" if full and before else full


def _of_maximum(basis: Basis, _upper_bpm: int) -> str:
    found = basis.numbers("low_share", "high_share", "hr_max_bpm")
    if found is None:
        return ""
    return tr("{shares} % of {hr_max} bpm").format(
        shares=_percent(*found[:2]), hr_max=shortest_number(found[2])
    )


def _of_reserve(basis: Basis, _upper_bpm: int) -> str:
    found = basis.numbers("low_share", "high_share", "hr_rest_bpm", "hr_max_bpm")
    if found is None:
        return ""
    return tr("{shares} % of the reserve from {hr_rest} to {hr_max} bpm").format(
        shares=_percent(*found[:2]), hr_rest=shortest_number(found[2]), hr_max=shortest_number(found[3])
    )


def _percent(low: float, high: float) -> str:
    return f"{shortest_number(low * 100)}-{shortest_number(high * 100)}"


def _lactate(basis: Basis, _upper_bpm: int) -> str:
    found = basis.numbers("lower_mmol_l", "upper_mmol_l")
    if found is None:
        return ""
    text = tr("Heart rate at {low} and {high} mmol/L of the step test (common practice).")
    if basis.values.get("from_easiest_stage"):
        text = tr(
            "Heart rate of the easiest stage, where lactate was over {low} mmol/L already, and at "
            "{high} mmol/L."
        )
    return text.format(low=_tenths(found[0]), high=_tenths(found[1]))


def _tenths(value: float) -> str:
    return f"{value:.1f}".replace(".", decimal_sign())


def _drift_test(basis: Basis, upper_bpm: int) -> str:
    found = basis.numbers("percent", "threshold_percent")
    if found is None:
        result = basis.words_of("result")
        return tr("Steady-hour check: {result}").format(result=result) if result else ""
    drift = f"{found[0]:+.1f}".replace(".", decimal_sign())
    text = tr("Steady-hour check: at {edge} bpm decoupling was {drift} %, with a limit of {threshold} %")
    return text.format(edge=upper_bpm, drift=drift, threshold=shortest_number(found[1]))


def _by_age(basis: Basis, upper_bpm: int) -> str:
    age, formula = basis.numbers("age_years"), basis.words_of("formula")
    if age is None or not formula:
        return _of_maximum(basis, upper_bpm)
    text = tr("By age only ({formula}, {age} years, ±10-12 bpm)")
    return text.format(formula=formula, age=shortest_number(age[0]))


def _introduced(text: str, words_of: _Words) -> _Words:
    """Words behind others, as ``text`` says; nothing where there are none."""

    def introduced(basis: Basis, upper_bpm: int) -> str:
        words = words_of(basis, upper_bpm)
        return tr(text).format(basis=words, how=words) if words else ""

    return introduced


_seen = _introduced(mark("Highest heart rate seen, no maximum reached: {basis}"), _of_maximum)
_SHORT: Mapping[str, _Words] = {
    MAXIMUM: _of_maximum,
    MEASURED_MAXIMUM: _of_maximum,
    INVENTED_MAXIMUM: _of_maximum,
    SEEN_MAXIMUM: _seen,
    AGE: _by_age,
    RESERVE: _of_reserve,
    LACTATE: _introduced(mark("lactate step test: {how}"), _lactate),
    DRIFT_TEST: _drift_test,
}
_FULL: Mapping[str, _Words] = {
    MEASURED_MAXIMUM: _introduced(mark("Measured maximum: {basis}"), _of_maximum),
    INVENTED_MAXIMUM: lambda *_: tr("Demo: 60-70 % of an invented maximal heart rate"),
    SEEN_MAXIMUM: _seen,
    AGE: _by_age,
    RESERVE: _introduced(mark("Heart-rate reserve: {basis}"), _of_reserve),
    LACTATE: _introduced(mark("Lactate step test. {how}"), _lactate),
    BY_HAND: lambda *_: tr("Set by hand"),
}
