"""Small JSON files beside the settings."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TypeVar

from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import convert, encode, parse
from slopebeat.model.errors import UserError

T = TypeVar("T")

_log = logging.getLogger(__name__)


def read_small(file: Path, kind: type[T]) -> T | None:
    """What a small file holds; None where there is none that can be read."""
    try:
        return convert(parse(file.read_text(encoding="utf-8")), kind)
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        _log.info("%s not readable: %s", file, error)
        return None


def write_small(file: Path, value: object, indent: int | None = None) -> None:
    """Write such a file; one that cannot be written is worth no word but in the log."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, encode(value, indent).encode("utf-8"), durable=False)
    except (OSError, UserError) as error:
        _log.info("%s not saved: %s", file, error)


def damaged_name(file: Path) -> Path:
    """A name beside a damaged file that nothing has yet: none is ever written over."""
    number = 1
    while (name := file.with_name(f"{file.stem}.damaged-{number}.json")).exists():
        number += 1
    return name
