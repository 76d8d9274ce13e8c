"""What the commands share: asking for a band, and giving their answer as text or JSON."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from slopebeat.model.bands import Band, band_from_hr_max, parse_band
from slopebeat.model.errors import UserError


def add_band_options(
    parser: argparse.ArgumentParser, help_text: str = "heart-rate band in bpm, both ends inside"
) -> None:
    """Let a band be given by its edges or by a maximal heart rate."""
    band = parser.add_mutually_exclusive_group()
    band.add_argument("--band", metavar="LO-HI", help=help_text)
    band.add_argument(
        "--hr-max", type=float, metavar="N", help="maximal heart rate; the band is 60-70 %% of it"
    )


def band_given(options: argparse.Namespace) -> Band | None:
    """The band asked for with :func:`add_band_options`; None when none was."""
    if options.band is not None:
        return parse_band(options.band)
    return None if options.hr_max is None else band_from_hr_max(options.hr_max)


def give_answer(
    path: str | None, text: Callable[[], str], values: Callable[[], dict[str, Any]], what: str = "answer"
) -> None:
    """Print the text, or write the values as JSON to a path, ``-`` for standard output."""
    if path is None:
        print(text())
        return
    content = json.dumps(values(), indent=2, allow_nan=False) + "\n"
    if path == "-":
        sys.stdout.write(content)
    else:
        save(Path(path), content.encode("utf-8"), what)


def save(path: Path, data: bytes, what: str) -> None:
    """Write a file, or say in a sentence why it cannot be."""
    try:
        path.write_bytes(data)
    except OSError as problem:
        raise UserError(f"The {what} could not be written to {path}: {problem.strerror}.") from problem
