"""What is new in a folder that is looked at again and again; nothing in it is ever changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(frozen=True)
class FileStamp:
    """By what a file is known without being read."""

    size_bytes: int
    modified_ns: int


FileStamps = Mapping[str, FileStamp]
"""Files by their path within the folder, with ``/`` between its parts."""


def scan_folder(folder: Path) -> dict[str, FileStamp] | None:
    """The recordings and archives in a folder and all folders in it; None where it is not there.

    A device that is not plugged in is a folder that is not there. What cannot be looked at is passed over: it
    is tried again the next time.
    """
    from slopebeat.review.imports.sources import files_under

    if not folder.is_dir():
        return None
    found = {}
    for path in files_under(folder):
        try:
            known = path.stat()
        except OSError:
            continue
        if known.st_size > 0:
            found[path.relative_to(folder).as_posix()] = FileStamp(known.st_size, known.st_mtime_ns)
    return found


@dataclass
class FolderScans:
    """What was seen in a folder until now.

    Attributes
    ----------
    taken : what was handed out, and need not be again while its size and time stay.
    """

    taken: dict[str, FileStamp] = field(default_factory=dict)
    _before: dict[str, FileStamp] = field(default_factory=dict)
    _out: dict[str, FileStamp] = field(default_factory=dict)

    def compare(self, now: FileStamps) -> tuple[list[str], bool]:
        """What is new and no longer grows, and whether there is more that may still grow.

        A file that is being copied has another size or time at the next look; one whose size and time are
        the same in two looks that follow one another is whole.
        """
        fresh = {name: sign for name, sign in now.items() if self.taken.get(name) != sign}
        still = {name: sign for name, sign in fresh.items() if self._before.get(name) == sign}
        self._before, self._out = dict(now), still
        return sorted(still), len(still) < len(fresh)

    def take(self) -> None:
        """What was handed out last has arrived, or was found to be no recording."""
        self.taken |= self._out
        self._out = {}
