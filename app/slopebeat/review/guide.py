"""Where the user guide lies: one HTML page per language, with its pictures beside it."""

from __future__ import annotations

from pathlib import Path

from slopebeat.model.language import SOURCE_LANGUAGE, language


def guide_folder() -> Path | None:
    """The folder of the guide, inside the package when installed, else at the top of the source tree."""
    package = Path(__file__).resolve().parent.parent
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
