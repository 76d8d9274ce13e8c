"""A language for tests: every text that is looked up stands between marks, every other one does not."""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator, Set
from contextlib import contextmanager

from slopebeat.model.language import use_catalogue

BEFORE, AFTER = "⟦", "⟧"

UNITS = "bpm min h s m km kg lb ft mi mph W kJ mmol L C F p UTC"
NAMES = "Slopebeat slopebeat FIT GPX TCX PDF HTML JSON CSV"
SIGNS = frozenset(f"{UNITS} {NAMES}".split())
"""Units, and names that are the same in every language."""

_MARKED = re.compile(rf"{BEFORE}[^{BEFORE}{AFTER}]*{AFTER}")
_WORD = re.compile(r"[^\W\d_]\w*")


class _Marking(gettext.NullTranslations):
    def gettext(self, message: str) -> str:
        return f"{BEFORE}{message}{AFTER}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@contextmanager
def marked() -> Iterator[None]:
    """Inside, every text that is looked up comes back between marks."""
    use_catalogue(_Marking())
    try:
        yield
    finally:
        use_catalogue(gettext.NullTranslations())


def words(*texts: str) -> set[str]:
    """The words of texts that are shown as they came."""
    return {word for text in texts for word in _WORD.findall(text)}


def unmarked(text: str, allowed: Set[str] = frozenset()) -> list[str]:
    """The words outside all marks, without units and what is allowed; marks may stand in one another."""
    while True:
        text, found = _MARKED.subn(" ", text)
        if not found:
            break
    assert BEFORE not in text, "every mark is closed"
    assert AFTER not in text
    return [word for word in _WORD.findall(text) if word not in SIGNS and word not in allowed]
