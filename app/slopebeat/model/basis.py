"""How a band was found: a stable key with its numbers, kept as one JSON value and worded when shown.

What a library or an archive holds may depend on no language; the words of a user stay as written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from slopebeat.model.language import tr
from slopebeat.model.measures import decimal_sign, shortest_number
from slopebeat.model.message import KeyEnum

UNSTATED = "unstated"
"""Nothing is known but the method."""
MAXIMUM = "maximum"
"""``hr_max_bpm``, ``low_share``, ``high_share``; so have the next four."""
MEASURED_MAXIMUM = "measured_maximum"
INVENTED_MAXIMUM = "invented_maximum"
SEEN_MAXIMUM = "seen_maximum"
AGE = "age_formula"
"""Also ``formula``, ``age_years``."""
RESERVE = "reserve"
"""Also ``hr_rest_bpm``."""
LACTATE = "lactate_test"
"""``lower_mmol_l``, ``upper_mmol_l``, ``from_easiest_stage``; the test's stages, unit and value at rest."""
DRIFT_TEST = "drift_test"
"""``percent``, ``threshold_percent``, ``day``, or else ``result``, a user's words."""
BY_HAND = "by_hand"
OWN_WORDS = "own_words"
"""``text``, which any other key may have as well: it is then said instead."""

HARD_THRESHOLD_BPM = "hard_threshold_bpm"
"""A number any key may have as well: heart rate at the hard threshold, entered with the band."""

MOST_LEVELS = 12
"""Objects and lists within one another; a lactate test has 3 [project choice]."""

LARGEST = 1e6
"""No number here is as large [project choice]."""


class BandMethod(KeyEnum):
    """How a band was found."""

    HR_MAX = "hr_max"
    RESERVE = "reserve"
    MANUAL = "manual"
    LACTATE = "lactate"
    DRIFT_TEST = "drift_test"


@dataclass(frozen=True)
class Basis:
    """A key with its numbers, as canonical JSON text: equal bases have equal texts.

    ``before`` among the values is the basis of a band that was tested or set anew.
    """

    text: str = f'{{"key": "{UNSTATED}"}}'

    @classmethod
    def of(cls, key: str, **values: Any) -> Basis:
        return cls.of_values({**values, "key": key})

    @classmethod
    def of_values(cls, values: object) -> Basis:
        """From what :attr:`values` gives.

        Raises
        ------
        ValueError, TypeError
            When it is no such JSON object, or one that cannot be stored.
        """
        if not isinstance(values, Mapping) or not isinstance(values.get("key"), str):
            raise ValueError("a basis is an object with a key")
        _check_levels(values)
        text = json.dumps(values, ensure_ascii=False, sort_keys=True, allow_nan=False)
        text.encode("utf-8")  # JSON can name halves of characters, which nothing can store.
        return cls(text)

    @classmethod
    def read(cls, text: str) -> Basis:
        """From kept text; raises ValueError, TypeError or RecursionError when that is none."""
        return cls.of_values(json.loads(text))

    @classmethod
    def own(cls, text: str) -> Basis:
        """A user's own words; none of them leave it unstated."""
        return cls.of(OWN_WORDS, text=text) if text else cls()

    def called(self, key: str, **values: Any) -> Basis:
        """The same numbers and these under another key."""
        return Basis.of_values({**self.values, **values, "key": key})

    def followed_by(self, key: str, **values: Any) -> Basis:
        """Another basis that keeps this one as ``before``, of which again nothing before is kept."""
        earlier = {name: value for name, value in self.values.items() if name != "before"}
        kept = {} if self.key == UNSTATED else {"before": earlier}
        return Basis.of(key, **values, **kept)

    @property
    def values(self) -> dict[str, Any]:
        """Key and numbers as JSON values."""
        found: dict[str, Any] = json.loads(self.text)
        return found

    @property
    def key(self) -> str:
        return str(self.values["key"])

    def numbers(self, *names: str) -> tuple[float, ...] | None:
        """These numbers, None unless all of them are there."""
        values = self.values
        found: list[Any] = [values.get(name) for name in names]
        return tuple(float(value) for value in found) if all(map(_is_number, found)) else None

    def words_of(self, name: str) -> str:
        """A text among the values, empty where there is none."""
        value = self.values.get(name)
        return value if isinstance(value, str) else ""

    def short(self, upper_bpm: int) -> str:
        """In words of the language in force, without what goes with them; empty where nothing is to say.

        ``upper_bpm`` is the upper edge of the band it is the basis of.
        """
        key = self.key
        if key == BY_HAND:
            return self.words_of("short_text")
        return self.words_of("short_text") or _SHORT.get(key, _own)(self, upper_bpm)

    def full(self, upper_bpm: int) -> str:
        """In words of the language in force; empty where nothing is known but the method."""
        full = self.words_of("text") or _FULL.get(self.key, Basis.short)(self, upper_bpm)
        hard = self.numbers(HARD_THRESHOLD_BPM)
        if full and hard is not None:
            text = tr("{basis}; hard threshold {bpm} bpm, entered")
            full = text.format(basis=full, bpm=shortest_number(hard[0]))
        earlier = self._before()
        before = "" if earlier is None else earlier.full(upper_bpm)
        return f"{full} ({before})" if full and before else full

    def _before(self) -> Basis | None:
        before = self.values.get("before")
        # Of what was before that only the numbers are kept: depth is bounded whatever a file holds.
        if not isinstance(before, dict) or "before" in before or not isinstance(before.get("key"), str):
            return None
        return Basis.of_values(before)


NOTHING_STATED = Basis()


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < LARGEST


def _check_levels(values: object) -> None:
    within = [values]
    for _ in range(MOST_LEVELS):
        within = [item for part in within for item in _items(part) if isinstance(item, dict | list | tuple)]
        if not within:
            return
    raise ValueError("too many levels")


def _items(part: Any) -> Iterable[object]:
    return part.values() if isinstance(part, Mapping) else part


def _own(basis: Basis, _upper_bpm: int) -> str:
    return basis.words_of("text")


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


def _lactate(basis: Basis) -> str:
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


def _short_lactate(basis: Basis, _upper_bpm: int) -> str:
    how = _lactate(basis)
    return tr("lactate step test: {how}").format(how=how) if how else ""


def _full_lactate(basis: Basis, _upper_bpm: int) -> str:
    how = _lactate(basis)
    return tr("Lactate step test. {how}").format(how=how) if how else ""


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


def _measured(basis: Basis, upper_bpm: int) -> str:
    words = _of_maximum(basis, upper_bpm)
    return tr("Measured maximum: {basis}").format(basis=words) if words else ""


def _seen(basis: Basis, upper_bpm: int) -> str:
    words = _of_maximum(basis, upper_bpm)
    return tr("Highest heart rate seen, no maximum reached: {basis}").format(basis=words) if words else ""


def _invented(_basis: Basis, _upper_bpm: int) -> str:
    return tr("Demo: 60-70 % of an invented maximal heart rate")


def _full_reserve(basis: Basis, upper_bpm: int) -> str:
    words = _of_reserve(basis, upper_bpm)
    return tr("Heart-rate reserve: {basis}").format(basis=words) if words else ""


def _set_by_hand(_basis: Basis, _upper_bpm: int) -> str:
    return tr("Set by hand")


_Words = Callable[[Basis, int], str]

_SHORT: Mapping[str, _Words] = {
    MAXIMUM: _of_maximum,
    MEASURED_MAXIMUM: _of_maximum,
    INVENTED_MAXIMUM: _of_maximum,
    SEEN_MAXIMUM: _seen,
    AGE: _by_age,
    RESERVE: _of_reserve,
    LACTATE: _short_lactate,
    DRIFT_TEST: _drift_test,
}
_FULL: Mapping[str, _Words] = {
    MEASURED_MAXIMUM: _measured,
    INVENTED_MAXIMUM: _invented,
    SEEN_MAXIMUM: _seen,
    AGE: _by_age,
    RESERVE: _full_reserve,
    LACTATE: _full_lactate,
    BY_HAND: _set_by_hand,
}
