"""How a band was found: a stable key with its numbers, kept as one JSON value.

``review.words.basis`` says it in words. What a library or an archive holds may depend on no language; the
words of a user stay as written.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

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

    @property
    def before(self) -> Basis | None:
        """The basis this one followed; None where there is none."""
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
