"""Notes that were begun and not finished when the window was closed: they wait for the next start."""

from __future__ import annotations

import logging
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slopebeat.disk.reading import open_regular
from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import Finite, convert, encode, parse, to_builtins
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author, NoteKind

FILE_NAME = "unfinished_notes.json"
"""Name of the file beside the settings."""

_log = logging.getLogger(__name__)

Key = tuple[str, str, str]
"""File name and start of the outing (ISO 8601), and the identity of the note; empty for a new one."""


@dataclass(frozen=True)
class Written:
    """What stands in the fields of a note; an empty place is the whole outing."""

    kind: NoteKind = NoteKind.REMARK
    value: Finite | None = None
    author: Author = Author.ATHLETE
    place: str = ""
    text: str = ""

    @property
    def has_content(self) -> bool:
        """Whether there are words or a number."""
        return bool(self.text.strip()) or self.value is not None


@dataclass(frozen=True)
class _About:
    """A :data:`Key` as kept."""

    outing: tuple[str, str]
    note: str


class UnfinishedNotes:
    """A small JSON file; what is damaged in it is set aside."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / FILE_NAME

    def read(self) -> dict[Key, Written]:
        """What waits; empty where nothing does."""
        try:
            with open_regular(self._file) as stream:
                entries = convert(parse(stream.read().decode("utf-8")), list[dict[str, Any]])
            return dict(map(_entry, entries))
        except FileNotFoundError:
            return {}
        except (OSError, UserError) as problem:
            _log.info("%s not readable: %s", self._file, problem)
        except ValueError as problem:
            self._set_aside(problem)
        return {}

    def write(self, mine: Mapping[Key, Written], done: set[Key]) -> None:
        """Keep these; of what others wrote meanwhile all stays that is not among ``done``.

        Raises
        ------
        UserError
            With a sentence, when it cannot be written; what was there is then as it was.
        """
        there = self.read()
        now = {key: written for key, written in there.items() if key not in done} | dict(mine)
        if now == there:
            return
        with suppress(OSError):  # else the writing says why
            self._file.parent.mkdir(parents=True, exist_ok=True)
        entries = [to_builtins(_About(key[:2], key[2])) | to_builtins(one) for key, one in now.items()]
        write_whole(self._file, encode(entries, indent=1).encode("utf-8"))

    def _set_aside(self, problem: Exception) -> None:
        number = 1
        while (name := self._file.with_name(f"{self._file.stem}.damaged-{number}.json")).exists():
            number += 1
        with suppress(OSError):
            os.replace(self._file, name)
        _log.warning("unfinished notes: damaged (%s), the file is now %s", problem, name)


def _entry(values: Any) -> tuple[Key, Written]:
    """One entry read back; :class:`Undecodable` when it is damaged."""
    about = convert(values, _About)
    return (*about.outing, about.note), convert(values, Written)
