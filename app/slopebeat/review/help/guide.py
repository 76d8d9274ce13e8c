"""Where the user guide lies: one HTML page per language, with its pictures beside it."""

from __future__ import annotations

import re
from html import escape
from pathlib import Path

from slopebeat.model.language import SOURCE_LANGUAGE, language, tr

NAMED = re.compile(r"\[\[(.+?)\]\]")
"""A name on screen as the pages have it, in double brackets: it is said as the window says it."""


def guide_folder() -> Path | None:
    """The folder of the guide, inside the package when installed, else at the top of the source tree."""
    package = Path(__file__).resolve().parents[2]
    for resources in (package / "resources", package.parent.parent / "resources"):
        if (resources / "guide" / f"guide_{SOURCE_LANGUAGE}.html").is_file():
            return resources / "guide"
    return None


def guide_file() -> Path | None:
    """The guide in the language in force, else in English; None when it is not installed."""
    folder = guide_folder()
    if folder is None:
        return None
    own = folder / f"guide_{language()}.html"
    return own if own.is_file() else folder / f"guide_{SOURCE_LANGUAGE}.html"


def guide_page(file: Path) -> str:
    """The page with the names of menus and tabs as they are on screen."""

    def on_screen(named: re.Match[str]) -> str:
        return escape(tr(named.group(1)).replace("&", "").rstrip("… "), quote=False)

    return NAMED.sub(on_screen, file.read_text(encoding="utf-8"))
