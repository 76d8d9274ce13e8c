"""Sentences on how a band was found, as once kept, taken apart into a key with numbers.

Bound to what earlier versions wrote, in English and German: never changed as the words on screen change.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from typing import Any

from slopebeat.model.basis import (
    AGE,
    BY_HAND,
    DRIFT_TEST,
    INVENTED_MAXIMUM,
    LACTATE,
    MAXIMUM,
    MEASURED_MAXIMUM,
    OWN_WORDS,
    RESERVE,
    UNSTATED,
    Basis,
)

_Found = dict[str, Any]
_N = r"([0-9]{1,5}(?:[.,][0-9]{1,9})?)"
_SHARES_OF_ONE = (MAXIMUM, MEASURED_MAXIMUM, INVENTED_MAXIMUM, AGE)
_TAKEN = {"key", "text", "short_text", "before", "details"}

_NOTHING_BUT_THE_METHOD = {
    *("", "% of maximal heart rate", "% of heart-rate reserve", "set by hand", "lactate test", "drift test"),
    *("% der maximalen Herzfrequenz", "% der Herzfrequenzreserve", "von Hand gesetzt"),
    *("Laktattest", "Drifttest"),
}
_HAND = {"Set by hand", "Von Hand gesetzt"}
_DEMO = {
    "Demo: 60-70 % of an invented maximal heart rate",
    "Demo: 60-70 % einer erfundenen maximalen Herzfrequenz",
}
_AT_TWO_VALUES = {
    "Heart rate at 1.0 and 1.9 mmol/L of the step test (common practice).",
    "Herzfrequenz bei 1,0 und 1,9 mmol/L im Stufentest (gängige Praxis).",
}
_FROM_EASIEST = {
    "Heart rate of the easiest stage, where lactate was over 1.0 mmol/L already, and at 1.9 mmol/L.",
    "Herzfrequenz der leichtesten Stufe, in der das Laktat schon über 1,0 mmol/L lag, und bei 1,9 mmol/L.",
}


def basis_of_old(method: str, basis: str, how: str, details: str) -> Basis:
    """What two sentences and the JSON text beside them said; what is not recognised stays a user's words.

    ``method`` is the name of the band's method. Any text gives a basis.
    """
    numbers = _details(details)
    short, full = _recognised(basis), _recognised(how, numbers if method == "DRIFT_TEST" else {})
    found = _joined(short, full, basis, how)
    known = {name: value for name, value in numbers.items() if name not in _TAKEN}
    rest = {name: value for name, value in numbers.items() if name in _TAKEN}
    try:
        return Basis.of_values({**known, **({"details": rest} if rest else {}), **found})
    except (ValueError, TypeError):
        return Basis.of_values({"details": details, **found})


def _joined(short: _Found | None, full: _Found | None, basis: str, how: str) -> _Found:
    if full is None:
        if short is None:
            other = {} if basis in ("", how) else {"short_text": basis}
            return {"key": OWN_WORDS, "text": how, **other}
        if short["key"] == UNSTATED:
            return {"key": OWN_WORDS, "text": how}
        return {**short, "text": how}
    if short is None:
        unsaid = full["key"] == UNSTATED
        return {"key": OWN_WORDS, "text": basis} if unsaid else {**full, "short_text": basis}
    if full["key"] == UNSTATED:
        return short
    if short["key"] == UNSTATED or short["key"] == full["key"]:
        return {**short, **full}
    if {short["key"], full["key"]} <= set(_SHARES_OF_ONE):
        return {**short, **full}
    return {**full, "before": short}


def _details(text: str) -> _Found:
    try:
        found = json.loads(text) if text.strip() else {}
        json.dumps(found, allow_nan=False)
    except (ValueError, RecursionError):
        found = text
    return found if isinstance(found, dict) else {"details": found}


def _recognised(text: str, details: Mapping[str, Any] | None = None) -> _Found | None:
    if text in _NOTHING_BUT_THE_METHOD:
        return {"key": UNSTATED}
    if text in _HAND:
        return {"key": BY_HAND}
    if text in _DEMO:
        return {"key": INVENTED_MAXIMUM}
    for pattern, take in _PATTERNS:
        found = pattern.fullmatch(text)
        if found is not None:
            return take(found, details or {})
    return None


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _maximum(found: re.Match[str], _details: Mapping[str, Any]) -> _Found:
    low, high, hr_max = map(_number, found.groups())
    return {"key": MAXIMUM, "low_share": low / 100, "high_share": high / 100, "hr_max_bpm": hr_max}


def _reserve(found: re.Match[str], _details: Mapping[str, Any]) -> _Found:
    low, high, rest, most = map(_number, found.groups())
    shares = {"low_share": low / 100, "high_share": high / 100}
    return {"key": RESERVE, **shares, "hr_rest_bpm": rest, "hr_max_bpm": most}


def _measured(found: re.Match[str], _details: Mapping[str, Any]) -> _Found | None:
    inner = _recognised(found[1])
    return {**inner, "key": MEASURED_MAXIMUM} if inner is not None and inner["key"] == MAXIMUM else None


def _of_reserve(found: re.Match[str], _details: Mapping[str, Any]) -> _Found | None:
    inner = _recognised(found[1])
    return inner if inner is not None and inner["key"] == RESERVE else None


def _age(found: re.Match[str], _details: Mapping[str, Any]) -> _Found:
    return {"key": AGE, "formula": found[1], "age_years": _number(found[2])}


def _lactate(found: re.Match[str], _details: Mapping[str, Any]) -> _Found | None:
    if found[1] not in _AT_TWO_VALUES | _FROM_EASIEST:
        return None
    easiest = found[1] in _FROM_EASIEST
    return {"key": LACTATE, "lower_mmol_l": 1.0, "upper_mmol_l": 1.9, "from_easiest_stage": easiest}


def _drift(found: re.Match[str], details: Mapping[str, Any]) -> _Found:
    if all(isinstance(details.get(name), int | float) for name in ("percent", "threshold_percent")):
        # The program wrote these figures, so the sentence was its own, in the language of that day.
        return {"key": DRIFT_TEST}
    figures = _DRIFT_FIGURES.match(found[1])
    if figures is None:
        return {"key": DRIFT_TEST, "result": found[1]}
    percent, threshold = map(_number, figures.groups())
    return {"key": DRIFT_TEST, "percent": percent, "threshold_percent": threshold}


_DRIFT_FIGURES = re.compile(
    r"(?:At|Bei) [0-9]+ bpm (?:decoupling was|betrug die Entkopplung) ([+-][0-9]+[.,][0-9]) %, "
    rf"(?:not )?(?:nicht )?(?:under your threshold of|unter der eingestellten Schwelle von) {_N} % \("
)
_PATTERNS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], Mapping[str, Any]], _Found | None]], ...] = (
    (re.compile(rf"{_N}-{_N} % (?:of|von) {_N} bpm"), _maximum),
    (
        re.compile(rf"{_N}-{_N} % (?:of the reserve from|der Reserve von) {_N} (?:to|bis) {_N} bpm"),
        _reserve,
    ),
    (re.compile(r"(?:Measured maximum|Gemessenes Maximum): (.+)"), _measured),
    (re.compile(r"(?:Heart-rate reserve|Herzfrequenzreserve): (.+)"), _of_reserve),
    (
        re.compile(rf"(?:By age only|Nur nach dem Alter) \((.+), {_N} (?:years|Jahre), ±10-12 bpm\)"),
        _age,
    ),
    (re.compile(r"(?:[Ll]actate step test|Laktat-Stufentest)[.:] (.+)"), _lactate),
    (re.compile(r"(?:Drift test|Drifttest): (.+)", re.DOTALL), _drift),
)
