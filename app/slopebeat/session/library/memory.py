"""Which library was open last, and what was chosen there, from one run to the next."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TypeVar

from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import convert, encode, parse
from slopebeat.model.errors import UserError

T = TypeVar("T")

_log = logging.getLogger(__name__)

LIBRARY_FILE = "library.json"
"""Name of the file beside the settings."""


class LibraryMemory:
    """A small JSON file beside the settings; one that cannot be read counts as nothing remembered."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / LIBRARY_FILE
        self.path: Path | None = None
        self.athlete, self.without_ends = "", False
        self._load()

    def remember(self, path: Path, athlete: str) -> None:
        """Keep the library's place and the athlete's identity."""
        if (path, athlete) != (self.path, self.athlete):
            self.path, self.athlete = path, athlete
            self._save()

    def leave_ends_out(self, wanted: bool) -> None:
        """Keep whether places near where outings begin or end are left out."""
        if wanted != self.without_ends:
            self.without_ends = wanted
            self._save()

    def _save(self) -> None:
        place = {} if self.path is None else {"library": str(self.path)}
        write_small(self.file, place | {"athlete": self.athlete, "without_ends": "yes" * self.without_ends})

    def _load(self) -> None:
        content = read_small(self.file, dict[str, str]) or {}
        self.without_ends = bool(content.get("without_ends"))
        if "library" in content and "athlete" in content:
            self.path, self.athlete = Path(content["library"]), content["athlete"]


def read_small(file: Path, kind: type[T]) -> T | None:
    """What a small file beside the settings holds; None where there is none that can be read."""
    try:
        return convert(parse(file.read_text(encoding="utf-8")), kind)
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        _log.info("%s not readable: %s", file, error)
        return None


def write_small(file: Path, value: object) -> None:
    """Write such a file; one that cannot be written is worth no word but in the log."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, encode(value).encode("utf-8"), durable=False)
    except (OSError, UserError) as error:
        _log.info("%s not saved: %s", file, error)
