"""Recordings as programs in Python get them."""

from __future__ import annotations

from datetime import datetime
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from slopebeat.api.tables import table
from slopebeat.files.reading import read
from slopebeat.model.recording import Recording as Read
from slopebeat.model.recording import title_of
from slopebeat.review.words.messages import say

if TYPE_CHECKING:
    import pandas as pd

SPAN_COLUMNS = ("start_s", "end_s")

Source = str | PathLike[str] | bytes
"""Where a file lies, or its content."""


class Recording:
    """One recorded activity of a file, as the file has it: nothing is cleaned or corrected."""

    def __init__(self, read: Read) -> None:
        self._read = read

    @property
    def title(self) -> str:
        """The name the file gives it, else the file's own."""
        return title_of(self._read)

    @property
    def sport(self) -> str:
        """A key: walking, hiking, running, cycling, mountain biking, other or unknown."""
        return self._read.sport.value

    @property
    def start_utc(self) -> datetime:
        """Time of the first record, aware, in UTC."""
        return self._read.start_utc

    @property
    def utc_offset_s(self) -> float | None:
        """Local time minus UTC; None where the file does not say."""
        return self._read.utc_offset_s

    @property
    def span_s(self) -> float:
        """Seconds from the first record to the last."""
        return self._read.span_s

    @property
    def device(self) -> str:
        """What recorded it, in the file's own words."""
        return self._read.device

    @property
    def samples(self) -> pd.DataFrame:
        """Every record; what the file does not hold is NaN."""
        return self._read.samples.frame()

    @property
    def pauses(self) -> pd.DataFrame:
        """Stretches with the timer off, in seconds from the first record."""
        spans = self._read.pauses
        ends = zip(spans.start_s, spans.end_s, strict=True)
        return table(SPAN_COLUMNS, [dict(zip(SPAN_COLUMNS, each, strict=True)) for each in ends])

    @property
    def laps(self) -> pd.DataFrame:
        """Laps as the device marked them, in seconds from the first record."""
        return table(SPAN_COLUMNS, [vars(lap) for lap in self._read.laps])

    @property
    def warnings(self) -> tuple[str, ...]:
        """A sentence for each thing that was found wrong in the file."""
        return tuple(say(each) for each in self._read.warnings)


def read_recordings(source: Source) -> tuple[Recording, ...]:
    """Every activity of a FIT, GPX or TCX file, also gzipped, in order of time.

    Parameters
    ----------
    source : where the file lies, or its content as bytes.

    Raises
    ------
    UserError
        With a sentence, when there is no such file or it holds no recording.
    """
    file = read(source if isinstance(source, bytes) else Path(source))
    return tuple(Recording(each) for each in file.recordings)
