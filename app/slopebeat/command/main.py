"""The commands of the front without a window."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from slopebeat import __version__
from slopebeat.command import import_, months, plan, review

COMMANDS = (review, import_, months, plan)
"""Modules that each describe and run one command."""

NAMES = frozenset(module.__name__.rsplit(".", 1)[-1].rstrip("_") for module in COMMANDS)
"""First words that ask for a command rather than for the window. A module whose command is a word of the
language ends in an underscore."""


def parser() -> argparse.ArgumentParser:
    """The argument parser of the whole program."""
    top = argparse.ArgumentParser(
        prog="slopebeat",
        description="See what a recorded outing on terrain was worth in heart-rate band minutes. "
        "With no command, or with files only, the window opens.",
    )
    top.add_argument("--version", action="version", version=f"slopebeat {__version__}")
    commands = top.add_subparsers(dest="command", metavar="command")
    for module in COMMANDS:
        module.add_parser(commands)
    return top


def main(arguments: Sequence[str]) -> int:
    """Run one command and give its exit status."""
    options = parser().parse_args(list(arguments))
    if options.command is None:
        parser().print_help()
        return 0
    return int(options.run(options))
