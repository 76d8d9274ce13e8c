"""Which library and which athlete were looked at last."""

from __future__ import annotations

import logging
from pathlib import Path

from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import convert, encode, parse
from slopebeat.model.errors import UserError

FILE_NAME = "library.json"
"""Name of the file beside the settings."""

_log = logging.getLogger(__name__)


class LibraryMemory:
    """A small JSON file beside the settings; one that cannot be read counts as nothing remembered."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / FILE_NAME
        self.path: Path | None = None
        self.athlete = ""
        self._load()

    def remember(self, path: Path, athlete: str) -> None:
        """Keep the library's place and the athlete's identity."""
        if (path, athlete) == (self.path, self.athlete):
            return
        self.path, self.athlete = path, athlete
        try:
            self.file.parent.mkdir(parents=True, exist_ok=True)
            text = encode({"library": path, "athlete": athlete})
            write_whole(self.file, text.encode("utf-8"), durable=False)
        except (OSError, UserError) as error:
            _log.info("%s not saved: %s", self.file, error)

    def _load(self) -> None:
        try:
            content = convert(parse(self.file.read_text(encoding="utf-8")), dict[str, str])
            self.path, self.athlete = Path(content["library"]), content["athlete"]
        except FileNotFoundError:
            return
        except (OSError, ValueError, KeyError) as error:
            _log.info("%s not readable: %s", self.file, error)
