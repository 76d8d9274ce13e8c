"""What the commands share: common options, acts on a library, and their answer as text, table or JSON."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slopebeat.command.speech import answering, literally
from slopebeat.disk.places import library_path
from slopebeat.disk.writing import check_targets, write_whole
from slopebeat.model.bands import Band, band_from_hr_max, parse_band
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.units import day_typed

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.report.formats import Formats
    from slopebeat.report.story import Story

EXIT_ASKED = 1
"""Nothing was done: the act has to be confirmed."""

STANDARD_OUTPUT = Path("/dev/stdout")
"""What ``-`` stands for where an output is named."""


def act_parser(acts: Any, name: str, words: str) -> argparse.ArgumentParser:
    """The parser of one act of a command.

    What is not given after the act's word leaves what was given before it; the command sets what neither was.
    """
    made: argparse.ArgumentParser = acts.add_parser(name, help=words, argument_default=argparse.SUPPRESS)
    return made


def finish_act(
    parser: argparse.ArgumentParser,
    act: Callable[[argparse.Namespace, Library], int | None],
    add_options: Callable[[argparse.ArgumentParser], None],
    asks: bool = False,
) -> None:
    """Give the parser of an act what every act of its command takes, and what carries it out."""
    if asks:
        add_switch(parser, "--yes", tr("do it; else it is only told what goes"))
    add_options(parser)
    parser.set_defaults(run=act_on_library, carry_out=act)


def ask_first(options: argparse.Namespace, question: str, values: Mapping[str, Any] | None = None) -> int:
    """Answer with the question of an act that was not confirmed yet; ``values`` are what it is about."""
    text = f"{question} {tr('Nothing was changed; give --yes to do it.')}"
    give_answer(options.json, lambda: text, lambda: {"done": False, **(values or {})})
    return EXIT_ASKED


def add_path(parser: argparse._ActionsContainer, name: str, words: str, **rest: Any) -> None:
    """Let a file be named, or what ``metavar`` says."""
    parser.add_argument(name, type=Path, help=words, **{"metavar": tr("FILE"), **rest})


def add_number(parser: argparse._ActionsContainer, name: str, unit: str, words: str, **rest: Any) -> None:
    """Let a number be given in a unit."""
    parser.add_argument(name, type=float, metavar=unit, help=words, **rest)


def add_switch(parser: argparse._ActionsContainer, name: str, words: str) -> None:
    """Let something be asked for."""
    parser.add_argument(name, action="store_true", help=words)


def add_athlete(parser: argparse.ArgumentParser, words: str) -> None:
    """Let the athlete be named."""
    parser.add_argument("--athlete", metavar=tr("NAME"), help=words)


def add_band_options(parser: argparse.ArgumentParser, help_text: str | None = None) -> None:
    """Let a band be given by its edges or by a maximal heart rate."""
    band = parser.add_mutually_exclusive_group()
    help_words = tr("heart-rate band in bpm, both ends inside") if help_text is None else help_text
    band.add_argument("--band", metavar=tr("LO-HI"), help=help_words)
    add_number(band, "--hr-max", "N", literally(tr("maximal heart rate; the band is 60-70 % of it")))


def add_library_options(parser: argparse.ArgumentParser, whose: str | None = None) -> None:
    """Let the library be named, and the athlete in it; ``whose`` says otherwise what the name is for."""
    add_path(parser, "--library", tr("the library (default: your own)"))
    help_words = (
        tr("whose outings; may be left out when there is only one athlete") if whose is None else whose
    )
    add_athlete(parser, help_words)


def add_json_option(parser: argparse.ArgumentParser) -> None:
    """Let the answer be written as JSON."""
    parser.add_argument(
        "--json", metavar=tr("PATH"), help=tr("write the answer as JSON; - for standard output")
    )


def add_answer_options(parser: argparse.ArgumentParser, csv_words: str) -> None:
    """Let the answer be JSON, CSV or a report."""
    add_json_option(parser)
    parser.add_argument("--csv", metavar=tr("PATH"), help=csv_words)
    add_path(parser, "--report", tr("also write it as a report: .pdf, .html or .txt"))


@dataclass(frozen=True)
class AnswerForms:
    """An answer in every way it may be asked for; only what is asked for is made."""

    text: Callable[[], str]
    values: Callable[[], dict[str, Any]]
    csv: Callable[[], str]
    story: Callable[[], Story]


def give_as_asked(options: argparse.Namespace, answer: Callable[[Library], AnswerForms]) -> None:
    """Answer from the library with what :func:`add_answer_options` lets be asked for."""
    check_outputs((options.json, options.csv, options.report), (place_of_library(options),))
    with answering(options.json or options.csv):
        with open_library(options) as library:
            found = answer(library)
        if options.report is not None:
            # What draws is loaded only then.
            from slopebeat.report.formats import write_as
            from slopebeat.report.story import story_formats

            write_as(story_formats(found.story), options.report)
        if options.csv == "-":
            sys.stdout.write(found.csv())
        elif options.csv is not None:
            write_whole(Path(options.csv), found.csv().encode("utf-8"))
        if options.csv is None or options.json is not None:
            give_answer(options.json, found.text, found.values)


def write_html_and_pdf(options: argparse.Namespace, made: Formats) -> None:
    """Write a report to the paths the options name for each, whatever those end in."""
    from slopebeat.report.formats import write_as

    for path, ending in ((options.html, ".html"), (options.pdf, ".pdf")):
        if path is not None:
            write_as(made, path, ending)


def day(text: str) -> date:
    """A day as options give it, for the argument parser."""
    try:
        return day_typed(text)
    except UserError as refusal:
        raise argparse.ArgumentTypeError(literally(str(refusal))) from None


def add_day_options(parser: argparse.ArgumentParser) -> None:
    """Let the outings be those of some days only."""
    metavar = tr("DAY")
    parser.add_argument("--from", dest="first_day", type=day, metavar=metavar, help=tr("from this day on"))
    parser.add_argument("--to", dest="last_day", type=day, metavar=metavar, help=tr("up to this day"))


def is_between(options: argparse.Namespace, day: date) -> bool:
    """Whether a day is one of those asked for; a limit that is not given is none."""
    first, last = options.first_day, options.last_day
    return (first is None or first <= day) and (last is None or day <= last)


def band_given(options: argparse.Namespace) -> Band | None:
    """The band asked for with :func:`add_band_options`; None when none was."""
    if options.band is not None:
        return parse_band(options.band)
    return None if options.hr_max is None else band_from_hr_max(options.hr_max)


def check_outputs(outputs: Iterable[str | Path | None], inputs: Iterable[Path | None]) -> None:
    """Refuse, before any work is done, to write over what is read or one answer over the other.

    Raises
    ------
    UserError
        With a sentence.
    """
    wanted = [STANDARD_OUTPUT if str(path) == "-" else Path(path) for path in outputs if path is not None]
    check_targets(wanted, [path for path in inputs if path is not None])


def give_answer(path: str | None, text: Callable[[], str], values: Callable[[], dict[str, Any]]) -> None:
    """Print the text, or write the values as JSON to a path, ``-`` for standard output."""
    if path is None:
        print(text())
        return
    content = json.dumps(values(), indent=2, allow_nan=False) + "\n"
    if path == "-":
        sys.stdout.write(content)
    else:
        write_whole(Path(path), content.encode("utf-8"))


def place_of_library(options: argparse.Namespace) -> Path:
    """Where the library named lies, else the user's own."""
    return options.library or library_path()


def open_library(options: argparse.Namespace) -> Library:
    """The library named, else the user's own; UserError with a sentence where it cannot be opened."""
    # Only here: commands that need no library start without it.
    from slopebeat.library.store import Library

    return Library.open(place_of_library(options))


def act_on_library(options: argparse.Namespace) -> int | None:
    """Carry out an act on the library; the exit status where it is not 0."""
    check_outputs((options.json,), (place_of_library(options),))
    with answering(options.json), open_library(options) as library:
        status: int | None = options.carry_out(options, library)
        return status
