"""What the user wants to see behind the plan of an outing."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class BackdropChoice:
    """What lies behind the plan: own outings, and files of the user's with elevations and tiles."""

    trails: bool = True
    elevation: Path | None = None
    tiles: Path | None = None
