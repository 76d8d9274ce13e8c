"""A page of weeks or months as a file: the report, or its figures as CSV or JSON, as the name ends."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slopebeat.disk.writing import write_whole
from slopebeat.report.months.story import WRITERS, Story, write_story
from slopebeat.report.words import unknown_ending


@dataclass(frozen=True)
class PageFile:
    """What a page can be written as; only what is asked for is made."""

    story: Callable[[], Story]
    csv: Callable[[], str]
    values: Callable[[], dict[str, Any]]

    def write(self, path: Path) -> None:
        """Write the page.

        Raises
        ------
        UserError
            With a sentence, when the name ends in nothing that is known or the file cannot be written.
        """
        ending = path.suffix.lower()
        if ending == ".csv":
            write_whole(path, self.csv().encode("utf-8"))
        elif ending == ".json":
            content = json.dumps(self.values(), indent=2, allow_nan=False) + "\n"
            write_whole(path, content.encode("utf-8"))
        elif ending in WRITERS:
            write_story(self.story(), path)
        else:
            raise unknown_ending((*WRITERS, ".csv", ".json"))
