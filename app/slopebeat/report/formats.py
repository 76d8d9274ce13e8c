"""What is told in every format: PDF, HTML and plain text, as the name of its file ends."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from slopebeat.disk.writing import write_whole
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.report.shapes import Scene
from slopebeat.report.sheet import Measure

Formats = Mapping[str, Callable[[], str | bytes]]
"""What makes the content of a file, by the ending of its name; only what is asked for is made."""


def formats(
    pages: Callable[[Measure], Sequence[Scene]],
    html: Callable[[], str],
    text: Callable[[], str] | None = None,
) -> Formats:
    """A report: pages laid out in the fonts of this machine, one HTML file, and its text where it has one."""

    def pdf() -> bytes:
        from slopebeat.report import pictures
        from slopebeat.report.paint import application, text_width

        application()
        return pictures.pdf(*pages(text_width))

    told: dict[str, Callable[[], str | bytes]] = {".pdf": pdf, ".html": html}
    return told if text is None else {**told, ".txt": text}


def json_text(values: Any) -> str:
    """Values as the text of a JSON file."""
    return json.dumps(values, indent=2, allow_nan=False) + "\n"


def write_as(made: Formats, path: Path, ending: str = "") -> None:
    """Write a file as its name ends, or as another ending says.

    Raises
    ------
    UserError
        With a sentence, when the ending is none of those or the file cannot be written.
    """
    make = made.get(ending or path.suffix.lower())
    if make is None:
        refusal = tr("End the name of the file in {endings}; nothing was saved.")
        raise UserError(refusal.format(endings=tr(" or ").join(made)))
    content = make()
    write_whole(path, content if isinstance(content, bytes) else content.encode("utf-8"))
