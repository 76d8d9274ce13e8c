"""Words that are kept, as how a band was found: kept in one language, said in the one in force.

What a library or an archive holds may depend on no language. These sentences are made from templates,
so they can be taken apart again and said in another language; a user's own words stay as they are.
"""

from __future__ import annotations

import re

from slopebeat.model.language import mark, tr
from slopebeat.model.measures import decimal_sign

PERCENT_OF_MAXIMUM = mark("{shares} % of {hr_max} bpm")
PERCENT_OF_RESERVE = mark("{shares} % of the reserve from {hr_rest} to {hr_max} bpm")
BY_MAXIMUM = mark("Measured maximum: {basis}")
BY_RESERVE = mark("Heart-rate reserve: {basis}")
BY_AGE = mark("By age only ({formula}, {age} years, ±10-12 bpm)")
BY_LACTATE = mark("Lactate step test. {how}")
LACTATE_BASIS = mark("lactate step test: {how}")
BY_DRIFT_TEST = mark("Drift test: {result}")

_NUMBERS = re.compile(r"[0-9][0-9.-]*")
_WIDEST = r"(?P<\1>.+)"
_ONLY_NUMBERS = r"(?P<\1>[0-9.-]+)"


def _pattern(words: str, inner: str) -> re.Pattern[str]:
    return re.compile(re.sub(r"\\\{(\w+)\\\}", inner, re.escape(words)), re.DOTALL)


_TEMPLATES = (
    *((_pattern(words, _ONLY_NUMBERS), words) for words in (PERCENT_OF_MAXIMUM, PERCENT_OF_RESERVE)),
    *(
        (_pattern(words, _WIDEST), words)
        for words in (BY_MAXIMUM, BY_RESERVE, BY_AGE, BY_LACTATE, LACTATE_BASIS, BY_DRIFT_TEST)
    ),
)


def said(kept: str) -> str:
    """Kept words in the language in force; words of a user unchanged."""
    for pattern, words in _TEMPLATES:
        found = pattern.fullmatch(kept)
        if found is not None:
            return tr(words).format(**{name: _part(text) for name, text in found.groupdict().items()})
    return tr(kept)


def _part(text: str) -> str:
    return text.replace(".", decimal_sign()) if _NUMBERS.fullmatch(text) else said(text)
