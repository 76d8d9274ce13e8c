"""What is remembered between two runs: the entered aim and the recently opened files."""

from __future__ import annotations

import json
import logging
import os
from dataclasses import asdict
from pathlib import Path
from typing import Any

import platformdirs

from slopebeat.model.athlete import DEFAULT_DRIFT_THRESHOLD_PERCENT, Aim
from slopebeat.model.bands import BandMethod
from slopebeat.session.aim import BandChoice, Entered

MOST_RECENT = 8
"""How many files the list of recent ones holds [project choice]."""

_log = logging.getLogger(__name__)


def default_path() -> Path:
    return platformdirs.user_config_path("slopebeat", appauthor=False) / "settings.json"


class Settings:
    """A small JSON file. A file that cannot be read is left alone and the defaults are used."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or default_path()
        self.entered = Entered()
        self.recent: tuple[Path, ...] = ()
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

    def _load(self) -> None:
        try:
            content = json.loads(self.path.read_text(encoding="utf-8"))
            self.entered = _entered_from(content)
            self.recent = tuple(Path(str(name)) for name in content.get("recent", []))
        except FileNotFoundError:
            return
        except (OSError, ValueError, TypeError, KeyError, AttributeError) as error:
            _log.info("settings in %s not readable, defaults used: %s", self.path, error)

    def _save(self) -> None:
        content = {
            "version": 1,
            "band": asdict(self.entered.choice),
            "target_s": self.entered.rest.target_s,
            "body_mass_kg": self.entered.rest.body_mass_kg,
            "load_kg": self.entered.rest.load_kg,
            "bike_mass_kg": self.entered.rest.bike_mass_kg,
            "drift_threshold_percent": self.entered.rest.drift_threshold_percent,
            "recent": [str(path) for path in self.recent],
        }
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            # Written beside and moved over, so that a full disk cannot leave half a file.
            fresh = self.path.with_suffix(".new")
            fresh.write_text(json.dumps(content, indent=1), encoding="utf-8")
            os.replace(fresh, self.path)
        except OSError as error:
            _log.info("settings not saved to %s: %s", self.path, error)


def _entered_from(content: dict[str, Any]) -> Entered:
    band = content["band"]
    choice = BandChoice(
        method=BandMethod(band["method"]),
        lower_bpm=_whole(band["lower_bpm"]),
        upper_bpm=_whole(band["upper_bpm"]),
        hr_max_bpm=_whole(band["hr_max_bpm"]),
        hr_rest_bpm=_whole(band["hr_rest_bpm"]),
        max_shares=_pair(band["max_shares"]),
        reserve_shares=_pair(band["reserve_shares"]),
    )
    rest = Aim(
        target_s=float(content["target_s"]),
        body_mass_kg=float(content["body_mass_kg"]),
        load_kg=float(content["load_kg"]),
        bike_mass_kg=float(content["bike_mass_kg"]),
        # Settings written by an earlier version do not have it.
        drift_threshold_percent=float(
            content.get("drift_threshold_percent", DEFAULT_DRIFT_THRESHOLD_PERCENT)
        ),
    )
    return Entered(choice, rest)


def _whole(value: Any) -> int | None:
    return None if value is None else int(value)


def _pair(value: Any) -> tuple[float, float]:
    low, high = (float(part) for part in value)
    return low, high
