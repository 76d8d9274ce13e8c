"""What language and units a command speaks; JSON is the same in all of them."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext

from slopebeat.model.language import (
    LANGUAGES,
    SOURCE_LANGUAGE,
    NoSuchLanguage,
    fitting,
    language,
    mark,
    tr,
    trn,
    use_language,
)
from slopebeat.model.measures import System, decimal_sign, system, use_decimal_sign, use_system

LOCALE_VARIABLES = ("LC_ALL", "LC_MESSAGES", "LANG")
"""Where the language of messages is looked for, in this order (POSIX.1-2017, section 8.2)."""

DECIMAL_SIGNS = {"en": ".", "de": ","}

PARSER_TEXTS = (
    mark("usage: "),
    mark("positional arguments"),
    mark("options"),
    mark("show this help message and exit"),
    mark("%(prog)s: error: %(message)s\n"),
    mark("argument %(argument_name)s: %(message)s"),
    mark("the following arguments are required: %s"),
    mark("one of the arguments %s is required"),
    mark("unrecognized arguments: %s"),
    mark("ambiguous option: %(option)s could match %(matches)s"),
    mark("invalid choice: %(value)r (choose from %(choices)s)"),
    mark("invalid %(type)s value: %(value)r"),
    mark("expected one argument"),
    mark("expected at most one argument"),
    mark("expected at least one argument"),
    mark("not allowed with argument %s"),
    mark("ignored explicit argument %r"),
)
"""What the argument parser of the standard library says by itself to who gives a command."""


def add_speech_options(parser: argparse.ArgumentParser) -> None:
    """Let language and units be chosen. Both are read before the parser is made: its help speaks too."""
    parser.add_argument(
        "--language",
        choices=tuple(LANGUAGES),
        default=argparse.SUPPRESS,
        help=tr("language of texts and reports (default: that of the system)"),
    )
    parser.add_argument(
        "--units",
        choices=[str(each) for each in System],
        default=argparse.SUPPRESS,
        help=tr("units of texts and reports (default: metric); what is typed here and JSON stay metric"),
    )


def asked(arguments: Sequence[str]) -> tuple[str, System]:
    """Language and units a command line asks for, as far as can be said before it is read."""
    first = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    first.add_argument("--language", default="")
    first.add_argument("--units", default="")
    try:
        options, _ = first.parse_known_args(list(arguments))
    except argparse.ArgumentError:
        options = argparse.Namespace(language="", units="")
    code = options.language if options.language in LANGUAGES else _language_of_place()
    return code, System(options.units) if options.units in list(System) else System.METRIC


def _language_of_place() -> str:
    """The language of the system where the program speaks it, else English."""
    named = (os.environ.get(name, "") for name in LOCALE_VARIABLES)
    code = fitting(next((name for name in named if name), ""))
    try:
        with speaking(code, System.METRIC):
            return code
    except NoSuchLanguage:
        return SOURCE_LANGUAGE


@contextmanager
def speaking(code: str, units: System) -> Iterator[None]:
    """Inside, everything is said in this language and in these units; NoSuchLanguage where there is none."""
    before = language(), system(), decimal_sign()
    _use(code, units, DECIMAL_SIGNS[code])
    try:
        yield
    finally:
        _use(*before)


def _use(code: str, units: System, sign: str) -> None:
    if code != language():
        use_language(code)
    use_system(units)
    use_decimal_sign(sign)


def answering(json_path: str | None) -> AbstractContextManager[None]:
    """English and metric where the answer is for programs, so that it is the same everywhere."""
    return nullcontext() if json_path is None else speaking(SOURCE_LANGUAGE, System.METRIC)


@contextmanager
def parser_speaking() -> Iterator[None]:
    """Inside, the argument parser looks up its own texts where all others are looked up.

    By itself it asks the system's catalogues, which neither know them nor the language chosen here.
    """
    names = {"_": tr, "ngettext": trn}
    before = {name: getattr(argparse, name) for name in names}
    for name, look_up in names.items():
        setattr(argparse, name, look_up)
    try:
        yield
    finally:
        for name, look_up in before.items():
            setattr(argparse, name, look_up)


def literally(text: str) -> str:
    """A text for the parser's help, which takes a percent sign for the start of a name."""
    return text.replace("%", "%%")
