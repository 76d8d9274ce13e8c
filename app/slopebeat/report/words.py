"""Text from files and people, made fit to stand in a report or in the name of a file."""

from __future__ import annotations

import html
import re
import unicodedata

LONGEST_NAME = 80
"""Longest name of a file offered, in characters [project choice]."""

_RESERVED = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)(\.|$)")
_DIRECTION = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")
"""Marks that turn the reading direction: one in a note would turn the line around it as well."""


def one_line(text: str, longest: int | None = None) -> str:
    """One line without control characters, cut with an ellipsis where it is longer than ``longest``."""
    # What is unfit is not printable either, and most texts are.
    kept = text if text.isprintable() else "".join(" " if _unfit(char) else char for char in text)
    line = re.sub(" +", " ", kept).strip(" ")
    if longest is not None and len(line) > longest:
        return line[: longest - 1].rstrip() + "…"
    return line


def _unfit(char: str) -> bool:
    """Control characters, halves of characters, and what XML forbids (XML 1.0, production 2)."""
    category = unicodedata.category(char)
    return category in ("Cc", "Cs", "Zl", "Zp") or char in _DIRECTION or ord(char) & 0xFFFE == 0xFFFE


_UNIT = re.compile(r"(?<=\d) (?=(?:%|s|min|h|m|km|kg|bpm|W|mmol)\b|%)|(?<=\d h) (?=\d+ min\b)")


def no_breaks(text: str) -> str:
    """The text with its figures tied to their units, so that no line ends between them."""
    return _UNIT.sub("\u00a0", text)


def markup(text: str) -> str:
    """The text as the content or the quoted attribute of HTML and of SVG: it can open and close nothing."""
    return html.escape(one_line(text), quote=True)


def file_name(text: str, suffix: str, otherwise: str = "outing") -> str:
    """A name for a file, made of a title: no folders, nothing a system reserves or a shell would act on."""
    words = "".join(
        c if c.isalnum() or c in " _-." else " " for c in unicodedata.normalize("NFC", one_line(text))
    )
    stem = re.sub(r"[\s.]*\s[\s.]*", "_", words.strip(" ._-"))[:LONGEST_NAME].strip("._-")
    if _RESERVED.match(stem):
        stem = f"{otherwise}_{stem}"
    return f"{stem or otherwise}{suffix}"
