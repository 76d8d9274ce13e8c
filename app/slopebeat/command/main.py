"""The commands of the front without a window."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from slopebeat import __version__
from slopebeat.command import archive, desktop, import_, library, months, plan, review
from slopebeat.command.speech import add_speech_options, asked, parser_speaking, speaking
from slopebeat.command.terminal import EXIT_WRONG, at_terminal
from slopebeat.model.errors import UserError
from slopebeat.model.language import NoSuchLanguage, tr
from slopebeat.model.measures import System

COMMANDS = (review, import_, months, plan, archive, library, desktop)
"""Modules that each describe and run one command."""

NAMES = frozenset(module.__name__.rsplit(".", 1)[-1].rstrip("_") for module in COMMANDS)
"""First words that ask for a command rather than for the window. A module whose command is a word of the
language ends in an underscore."""


def parser() -> argparse.ArgumentParser:
    """The argument parser of the whole program."""
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
    for module in COMMANDS:
        module.add_parser(commands)
    return top


def main(arguments: Sequence[str]) -> int:
    """Run one command and give its exit status, whatever becomes of the terminal."""
    return at_terminal(lambda: _run(list(arguments)))


def _run(arguments: list[str]) -> int:
    code, units = asked(arguments)
    try:
        with speaking(code, units):
            with parser_speaking():
                top = parser()
                try:
                    options = top.parse_args(arguments)
                    if options.command is None:
                        top.error(tr("say what to do: a command, or files to open"))
                except SystemExit as ending:
                    # The parser has told all there is to tell.
                    return int(ending.code or 0)
            # An option may have been shortened, as the parser allows, and is known only now.
            code = getattr(options, "language", code)
            units = System(getattr(options, "units", units))
            with speaking(code, units):
                return int(options.run(options))
    except (UserError, NoSuchLanguage) as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG
