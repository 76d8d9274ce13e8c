"""The language of everything said to the user; texts in the code are English and are looked up here.

Standard library gettext, with compiled catalogues in ``resources/locale``. Text with a figure in it is one
template with names, ``tr("{count} climbs").format(count=3)``, so that a translator may move the figure. The
words stand as a literal inside the call, or inside :func:`mark` where they are kept for later, because the
catalogue is made by reading the code.
"""

from __future__ import annotations

import gettext
from collections.abc import Mapping
from pathlib import Path

SOURCE_LANGUAGE = "en"
DOMAIN = "slopebeat"

LANGUAGES: Mapping[str, str] = {"en": "English", "de": "Deutsch"}
"""Languages by code, each named in itself."""

_state: dict[str, gettext.NullTranslations] = {"catalogue": gettext.NullTranslations()}
_code: dict[str, str] = {"language": SOURCE_LANGUAGE}


class NoSuchLanguage(Exception):
    """A language that is not there; ``str(error)`` is a whole sentence for the user."""


def tr(text: str) -> str:
    """The text in the chosen language; English where it has no translation."""
    return _state["catalogue"].gettext(text) if text else text


def trn(one: str, many: str, count: int) -> str:
    """The form of a text for a number of things; ``count`` is not filled in."""
    return _state["catalogue"].ngettext(one, many, count)


def mark(text: str) -> str:
    """The text unchanged: it is kept in a table and goes through :func:`tr` when it is shown."""
    return text


def language() -> str:
    """The code of the language in force."""
    return _code["language"]


def use_language(code: str) -> None:
    """Speak this language from now on; what is on screen already stays as it is.

    Raises
    ------
    NoSuchLanguage
        With a sentence, when there is no such language or its catalogue is not installed.
    """
    if code not in LANGUAGES:
        raise NoSuchLanguage(f"There is no language {code!r}; there are {', '.join(LANGUAGES)}.")
    catalogue = gettext.NullTranslations()
    if code != SOURCE_LANGUAGE:
        catalogue = _catalogue(code)
    _state["catalogue"], _code["language"] = catalogue, code


def use_catalogue(catalogue: gettext.NullTranslations) -> None:
    """Look texts up in this catalogue from now on, whatever language it is: for trying one out."""
    _state["catalogue"] = catalogue


def fitting(wanted: str) -> str:
    """The language for a locale name such as ``de_AT.UTF-8``; English where there is none."""
    code = wanted.replace("-", "_").split("_")[0].split(".")[0].lower()
    return code if code in LANGUAGES else SOURCE_LANGUAGE


def locale_folders() -> tuple[Path, ...]:
    """Where catalogues can be: inside the package when installed, else at the top of the source tree."""
    package = Path(__file__).resolve().parent.parent
    return package / "resources" / "locale", package.parent.parent / "resources" / "locale"


def _catalogue(code: str) -> gettext.NullTranslations:
    for folder in locale_folders():
        path = folder / code / "LC_MESSAGES" / f"{DOMAIN}.mo"
        if path.is_file():
            with path.open("rb") as stream:
                return gettext.GNUTranslations(stream)
    raise NoSuchLanguage(f"The texts in {LANGUAGES[code]} are not installed with this copy of the program.")
