"""One outing as a week looks at it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from slopebeat.library.outings import StoredOuting
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.recording import shown_title


@dataclass(frozen=True, eq=False)
class WeekOuting:
    """One outing of a week.

    Attributes
    ----------
    summary : None until it was computed. reviewed_utc : when somebody ticked it off, None while nobody has.
    new_notes : notes written or changed after that, all where nobody has.
    """

    outing: StoredOuting
    summary: OutingSummary | None
    reviewed_utc: datetime | None = None
    new_notes: int = 0

    @property
    def name(self) -> str:
        return shown_title(self.outing.title, self.outing.file_name)
