"""The commands of the front without a window."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from slopebeat import __version__
from slopebeat.command import desktop, import_, months, plan, review
from slopebeat.command.speech import add_speech_options, asked, parser_speaking, speaking
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.measures import System

COMMANDS = (review, import_, months, plan, desktop)
"""Modules that each describe and run one command."""

NAMES = frozenset(module.__name__.rsplit(".", 1)[-1].rstrip("_") for module in COMMANDS)
"""First words that ask for a command rather than for the window. A module whose command is a word of the
language ends in an underscore."""

EXIT_WRONG = 2


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
    """Run one command and give its exit status."""
    code, units = asked(arguments)
    try:
        with speaking(code, units):
            with parser_speaking():
                options = parser().parse_args(list(arguments))
                if options.command is None:
                    parser().print_help()
                    return 0
            # An option may have been shortened, as the parser allows, and is known only now.
            code = getattr(options, "language", code)
            units = System(getattr(options, "units", units))
            with speaking(code, units):
                return int(options.run(options))
    except UserError as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG
