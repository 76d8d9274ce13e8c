"""The commands of the front without a window."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module

from slopebeat import __version__
from slopebeat.command.speech import add_speech_options, asked, parser_speaking, speaking
from slopebeat.command.terminal import EXIT_WRONG, at_terminal
from slopebeat.model.errors import UserError
from slopebeat.model.language import NoSuchLanguage, mark, tr
from slopebeat.model.measures import System


@dataclass(frozen=True)
class Command:
    """A command: the module of this folder that describes and runs it, and what it does in a line."""

    module: str
    line: str


COMMANDS = {
    "review": Command("review", mark("say what one recorded outing was worth")),
    "import": Command("import_", mark("bring recordings into a library")),
    "months": Command("months", mark("say what months of outings add up to")),
    "weeks": Command("weeks", mark("say what each week held against what was prescribed")),
    "price": Command("price", mark("say how long the prescribed minutes take on each kind of ground")),
    "ground": Command("ground", mark("say what was gone before, and how the heart was there")),
    "plan": Command("plan", mark("say how long and how fast on a planned way")),
    "athletes": Command("keep.athletes", mark("show athletes; rename, merge and remove them, move outings")),
    "outings": Command("keep.outings", mark("show outings; put title and sport right for many at once")),
    "bands": Command("keep.bands", mark("show the bands in force over time; add, change and remove them")),
    "archive": Command("keep.archive", mark("save or take in everything of one athlete as one file")),
    "library": Command("keep.library", mark("back up a library, check it, restore it")),
    "files": Command("files", mark("list every file the program keeps for itself, or remove them")),
    "desktop": Command("desktop", mark("put the program into the menus of a Linux desktop, or take it out")),
}
"""Every command by its first word, in the order of the help."""

NAMES = frozenset(COMMANDS)
"""First words that ask for a command rather than for the window."""


def parser(arguments: Sequence[str] | None = None) -> argparse.ArgumentParser:
    """The argument parser of the whole program.

    Of the commands only those are described, and their modules loaded, whose names are among ``arguments``;
    of the others the name and a line are all that can be asked for. Without ``arguments`` all are.
    """
    top = argparse.ArgumentParser(
        prog="slopebeat",
        description=tr(
            "See what a recorded outing on terrain was worth in heart-rate band minutes. "
            "With no command, or with files only, the window opens."
        ),
    )
    top.add_argument(
        "--version",
        action="version",
        version=f"slopebeat {__version__}",
        help=tr("show the version of this program and exit"),
    )
    add_speech_options(top)
    commands = top.add_subparsers(dest="command", metavar=tr("command"))
    for name, command in COMMANDS.items():
        made = commands.add_parser(name, help=tr(command.line))
        if arguments is None or name in arguments:
            import_module(f"slopebeat.command.{command.module}").describe(made)
    return top


def _loaded(arguments: Sequence[str]) -> argparse.ArgumentParser:
    """The parser, with the modules of the command: nothing of them is garbage that is worth looking for."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        return parser(arguments)
    finally:
        gc.freeze()
        if collecting:
            gc.enable()


def main(arguments: Sequence[str]) -> int:
    """Run one command and give its exit status, whatever becomes of the terminal.

    What the user can mend is a sentence on standard error and :data:`EXIT_WRONG`.
    """
    return at_terminal(lambda: _run(list(arguments)))


def _run(arguments: list[str]) -> int:
    code, units = asked(arguments)
    try:
        with speaking(code, units):
            with parser_speaking():
                top = _loaded(arguments)
                try:
                    options = top.parse_args(arguments)
                    if options.command is None:
                        top.error(tr("say what to do: a command, or files to open"))
                except SystemExit as ending:
                    # The parser has said all there is to say.
                    return int(ending.code or 0)
            # An option may have been shortened, as the parser allows, and is known only now.
            code = getattr(options, "language", code)
            units = System(getattr(options, "units", units))
            with speaking(code, units):
                _check(arguments, options)
                return int(options.run(options) or 0)
    except (UserError, NoSuchLanguage) as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG


def _check(arguments: Sequence[str], options: argparse.Namespace) -> None:
    """Refuse what no command can mean; UserError with a sentence.

    An empty text, as an unset variable of a shell gives, would be taken for the folder one stands in.
    """
    if not all(arguments):
        raise UserError(tr("One of the arguments is empty; leave it out or say what is meant."))
    first, last = getattr(options, "first_day", None), getattr(options, "last_day", None)
    if first is not None and last is not None and last < first:
        raise UserError(
            tr("The last day, {last}, lies before the first, {first}.").format(first=first, last=last)
        )
