"""What is remembered between two runs: the entered aim, recent files, preferences and the window's layout."""

from __future__ import annotations

import json
import logging
import shutil
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

import platformdirs

from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.notes import Author
from slopebeat.session.outing.aim import Entered
from slopebeat.session.settings.preferences import Preferences
from slopebeat.session.settings.reading import Layout, Reader

MOST_RECENT = 8
"""How many files the list of recent ones holds [project choice]."""

_log = logging.getLogger(__name__)


def default_path() -> Path:
    return platformdirs.user_config_path("slopebeat", appauthor=False) / "settings.json"


class Settings:
    """A small JSON file. What is damaged in it falls back to its default, and the file is set aside."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or default_path()
        self.entered = Entered()
        self.recent: tuple[Path, ...] = ()
        self.preferences = Preferences()
        self.author = Author.ATHLETE
        self.layout = Layout()
        self._load()

    def remember_aim(self, entered: Entered) -> None:
        if entered != self.entered:
            self.entered = entered
            self._save()

    def remember_file(self, path: Path) -> None:
        full = path.absolute()
        others = [known for known in self.recent if known != full]
        self.recent = (full, *others)[:MOST_RECENT]
        self._save()

    def remember_author(self, author: Author) -> None:
        """The role that wrote the last note."""
        if author is not self.author:
            self.author = author
            self._save()

    def remember_preferences(self, preferences: Preferences) -> None:
        if preferences != self.preferences:
            self.preferences = preferences
            self._save()

    def remember_layout(self, layout: Layout) -> None:
        if layout != self.layout:
            self.layout = layout
            self._save()

    def _load(self) -> None:
        try:
            reader = Reader(self.path.read_text(encoding="utf-8"))
        except FileNotFoundError:
            return
        except (OSError, UnicodeDecodeError) as error:
            self._repair(f"all of it ({error})")
            return
        # Heart rates and masses are nobody else's; earlier versions left the file open to all.
        with suppress(OSError):
            self.path.chmod(0o600)
        self.entered, self.preferences = reader.entered(), reader.preferences()
        self.author = reader.author()
        self.layout, self.recent = reader.layout(), reader.recent(MOST_RECENT)
        if reader.damaged:
            self._repair(", ".join(reader.damaged))

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

    def _content(self) -> dict[str, Any]:
        rest = self.entered.rest
        return {
            "version": 1,
            "band": {**asdict(self.entered.choice), "method": self.entered.choice.method.name},
            "target_s": rest.target_s,
            "body_mass_kg": rest.body_mass_kg,
            "load_kg": rest.load_kg,
            "bike_mass_kg": rest.bike_mass_kg,
            "drift_threshold_percent": rest.drift_threshold_percent,
            "recent": [str(path) for path in self.recent],
            "author": self.author.name,
            "preferences": asdict(self.preferences),
            "layout": {
                **asdict(self.layout),
                "along": self.layout.along.name,
                "rate": self.layout.rate.name,
            },
        }

    def _save(self) -> None:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(self.path, json.dumps(self._content(), indent=1).encode("utf-8"), durable=False)
        except (OSError, UserError) as error:
            _log.info("settings not saved to %s: %s", self.path, error)
