"""Where the demo library lies that comes with the program, and until when it was invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

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
