"""What is remembered between two runs: the entered aim, recent files, preferences and the window's layout."""

from __future__ import annotations

import logging
import shutil
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import platformdirs

from slopebeat.disk.writing import write_whole
from slopebeat.model.codec import encode, to_builtins
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author
from slopebeat.session.outing.aim import Entered
from slopebeat.session.settings.content import Content, Layout, of_entered, read_content
from slopebeat.session.settings.preferences import Preferences

MOST_RECENT = 8
"""How many files the list of recent ones holds [project choice]."""

VERSION = 1
"""Of the layout of the file."""

_log = logging.getLogger(__name__)


def default_path() -> Path:
    return platformdirs.user_config_path("slopebeat", appauthor=False) / "settings.json"


class Settings:
    """A small JSON file. What is damaged in it falls back to its default, and the file is set aside."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or default_path()
        self._content = Content()
        self._load()

    @property
    def entered(self) -> Entered:
        return self._content.entered

    @property
    def recent(self) -> tuple[Path, ...]:
        """The files opened last, the latest first."""
        return self._content.recent[:MOST_RECENT]

    @property
    def preferences(self) -> Preferences:
        return self._content.preferences

    @property
    def author(self) -> Author:
        """The role that wrote the last note."""
        return self._content.author

    @property
    def layout(self) -> Layout:
        return self._content.layout

    def remember_aim(self, entered: Entered) -> None:
        self._keep(**of_entered(entered))

    def remember_file(self, path: Path) -> None:
        full = path.absolute()
        others = [known for known in self.recent if known != full]
        self._keep(recent=(full, *others)[:MOST_RECENT])

    def remember_author(self, author: Author) -> None:
        self._keep(author=author)

    def remember_preferences(self, preferences: Preferences) -> None:
        self._keep(preferences=preferences)

    def remember_layout(self, layout: Layout) -> None:
        self._keep(layout=layout)

    def _keep(self, **changes: Any) -> None:
        content = replace(self._content, **changes)
        if content != self._content:
            self._content = content
            self._save()

    def _load(self) -> None:
        damaged: list[str] = []
        try:
            self._content = read_content(self.path.read_text(encoding="utf-8"), damaged)
        except FileNotFoundError:
            return
        except (OSError, UnicodeDecodeError) as error:
            self._repair(f"all of it ({error})")
            return
        # Heart rates and masses are nobody else's; earlier versions left the file open to all.
        with suppress(OSError):
            self.path.chmod(0o600)
        if damaged:
            self._repair(", ".join(damaged))

    def _repair(self, damaged: str) -> None:
        """Set the damaged file aside and write a sound one, with one line in the log."""
        aside = self._aside()
        try:
            shutil.copyfile(self.path, aside)
        except OSError as error:
            _log.warning(
                "settings in %s are damaged (%s) and cannot be set aside: %s", self.path, damaged, error
            )
            return
        self._save()
        _log.warning("settings: damaged in %s; the rest is kept, the damaged file is now %s", damaged, aside)

    def _aside(self) -> Path:
        """A name beside the settings that nothing has yet: no damaged file is ever written over."""
        number = 1
        while (name := self.path.with_name(f"{self.path.stem}.damaged-{number}.json")).exists():
            number += 1
        return name

    def _save(self) -> None:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            text = encode({"version": VERSION, **to_builtins(self._content)}, indent=1)
            write_whole(self.path, text.encode("utf-8"), durable=False)
        except (OSError, UserError) as error:
            _log.info("settings not saved to %s: %s", self.path, error)
