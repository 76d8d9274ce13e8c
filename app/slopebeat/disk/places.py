"""Where the program keeps things of its own, which files there it wrote, and where the demo lies.

A file is taken for the program's only by its folder and its name: what somebody else put into these folders
stays theirs. What a user named (a report, a backup, a library elsewhere) is nowhere here.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import platformdirs

NAME = "slopebeat"

LIBRARY_FILE, DEMO_FILE = "library.sqlite3", "demo_library.sqlite3"
"""The library where no other place was chosen, and the one of invented outings."""

OLD_NOTEBOOKS = "notebooks"
"""Folder in which earlier versions kept notes, a file for each recording."""


def data_folder() -> Path:
    """For what is missed when it is lost: the library."""
    return platformdirs.user_data_path(NAME, appauthor=False)


def library_path() -> Path:
    """Where the library is kept unless the user chooses another place."""
    return data_folder() / LIBRARY_FILE


def settings_folder() -> Path:
    """For what was chosen or started."""
    return platformdirs.user_config_path(NAME, appauthor=False)


def state_folder() -> Path:
    """For what is only good while the program runs."""
    return platformdirs.user_state_path(NAME, appauthor=False)


def log_folder() -> Path:
    """For what is written when the program ends unexpectedly."""
    return platformdirs.user_log_path(NAME, appauthor=False)


def running_folder() -> Path:
    """For notes of what is open, and a lock for each program that runs."""
    return state_folder() / "running"


def unfinished_folder() -> Path:
    """For the record of files that are just being written."""
    return state_folder() / "unfinished"


FOLDERS: tuple[Callable[[], Path], ...] = (data_folder, settings_folder, state_folder, log_folder)

_STAMP = r"\d{8}T\d{6}Z(-\d+)?"
_BESIDE = r"(-wal|-shm|-journal)?"
_COPY = rf"(\.(version-\d+|before-restore|damaged)\.{_STAMP})"
_NOTEBOOK = rf"{OLD_NOTEBOOKS}/(taken in/)?[0-9a-f]{{64}}-\d+(\.(damaged|older)\.{_STAMP})*\.json"
_UUID = r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}"


@dataclass(frozen=True)
class OwnFiles:
    """Files the program writes for itself: what they are, in which folder and under which names there."""

    kind: str
    folder: Callable[[], Path]
    names: str


OWN: tuple[OwnFiles, ...] = (
    OwnFiles("running", state_folder, rf"running/{_UUID}\.(json|lock)"),
    OwnFiles("unfinished", state_folder, r"unfinished/[0-9a-f]{32}\.json"),
    *(OwnFiles("unfinished", folder, rf"(.*/)?\..+\.[0-9a-f]{{32}}\.part{_BESIDE}") for folder in FOLDERS),
    OwnFiles(
        "settings", settings_folder, r"(settings|library|watched|unfinished_notes)(\.damaged-\d+)?\.json"
    ),
    OwnFiles("log", log_folder, r"(error-\d{8}T\d{6}-\d{6}|fault-\d+)\.log"),
    OwnFiles("demo", data_folder, rf"demo_library{_COPY}?\.sqlite3{_BESIDE}"),
    OwnFiles("notebooks", data_folder, _NOTEBOOK),
    OwnFiles("copy", data_folder, rf"library{_COPY}\.sqlite3{_BESIDE}"),
    OwnFiles("library", data_folder, rf"library\.sqlite3{_BESIDE}"),
)
"""Every kind, in the order in which they are removed: what is missed most comes last."""


@dataclass(frozen=True)
class FoundFile:
    """A file in a folder of the program; ``kind`` is empty where the program did not write it."""

    path: Path
    kind: str
    size_bytes: int


def found_files() -> tuple[FoundFile, ...]:
    """Every file in the program's folders, in the order of :data:`OWN`; what is not its own comes last."""
    order = {own.kind: number for number, own in reversed(list(enumerate(OWN)))}
    files = {
        path: FoundFile(path, _kind(path), size) for folder in FOLDERS for path, size in _inside(folder())
    }
    return tuple(sorted(files.values(), key=lambda each: (order.get(each.kind, len(OWN)), each.path)))


def _inside(folder: Path) -> Iterator[tuple[Path, int]]:
    """Files and links under a folder with their sizes; no link is followed."""
    for place, folders, names in os.walk(folder):
        links = [name for name in folders if (Path(place) / name).is_symlink()]
        for name in (*names, *links):
            path = Path(place) / name
            yield path, path.lstat().st_size


def _kind(path: Path) -> str:
    if path.is_symlink():
        return ""
    for own in OWN:
        folder = own.folder()
        if path.is_relative_to(folder) and re.fullmatch(own.names, path.relative_to(folder).as_posix()):
            return own.kind
    return ""


def remove_empty_folders() -> None:
    """Take away those of the program's folders, and those in them, that hold nothing any more."""
    for folder in FOLDERS:
        for place, _, _ in os.walk(folder(), topdown=False):
            if not os.listdir(place):
                os.rmdir(place)


FOLDER_NAME = "demo_library"

LAST_DAY = date(2026, 7, 19)
"""The Sunday after the last outing of the demo. Its weeks run to here: after it nothing was invented."""


def demo_folder() -> Path | None:
    """The folder of demo archives, beside the package or at the top of the source tree; None without one."""
    package = Path(__file__).resolve().parent.parent
    for samples in (package / "samples", package.parent.parent / "samples"):
        if (samples / FOLDER_NAME / "people.json").is_file():
            return samples / FOLDER_NAME
    return None
