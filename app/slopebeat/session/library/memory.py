"""Which library was open last, and what was chosen there, from one run to the next."""

from __future__ import annotations

from pathlib import Path

from slopebeat.session.small_files import read_small, write_small

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
