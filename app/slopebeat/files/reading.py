"""Open a file whatever its name says: recognise the format by content and hand it to its reader."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from slopebeat.model.recording import Recording

Progress = Callable[[float], None]
"""Called now and then with the share done, 0 to 1; raises ``Cancelled`` to stop the reading."""


def read_recordings(path: Path, progress: Progress | None = None) -> tuple[Recording, ...]:
    """Every recording a FIT, GPX or TCX file holds, in order of time; gzip is unpacked first.

    Raises
    ------
    UnreadableFile
        With a sentence for the user, when the file holds no recording.
    Cancelled
        When ``progress`` asked to stop.
    """
    raise NotImplementedError
