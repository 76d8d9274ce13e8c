"""A day in parts reviewed as one outing: each part as it is, one account over all, one drift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from slopebeat.analysis.account.time_account import Extension, extension
from slopebeat.analysis.day.drift import DayDrift, day_drift
from slopebeat.analysis.day.parts import DayAccount, Ends, sum_accounts
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note, present
from slopebeat.model.recording import Recording, title_of
from slopebeat.model.units import duration
from slopebeat.review.outing import Review


@dataclass(frozen=True, eq=False)
class Day:
    """Reviewed parts of one outing in order of time.

    Attributes
    ----------
    start_s : of each part, seconds since the first record of the day.
    between_s : from the end of each part to the start of the next.
    account, extension : over all parts; None where one of them has no band.
    notes : on each part, those taken back left out.
    """

    parts: tuple[Review, ...]
    start_s: tuple[float, ...]
    between_s: tuple[float, ...]
    account: DayAccount | None
    extension: Extension | None
    drift: DayDrift
    notes: tuple[tuple[Note, ...], ...]

    @property
    def span_s(self) -> float:
        """From the first record of the day to the last."""
        return self.start_s[-1] + self.parts[-1].recording.span_s


def ends_of(recording: Recording, source: str | None = None) -> Ends:
    """Where and when a recording began and ended."""
    lat, lon = (recording.samples[name] for name in ("lat_deg", "lon_deg"))
    known = np.flatnonzero(np.isfinite(lat) & np.isfinite(lon))
    end = recording.start_utc + timedelta(seconds=recording.span_s)
    if not known.size:
        return Ends(recording.start_utc, end, source=source)
    first, last = ((float(lat[i]), float(lon[i])) for i in known[[0, -1]])
    return Ends(recording.start_utc, end, first, last, source)


def review_day(reviews: Sequence[Review], notes: Sequence[Sequence[Note]] = ()) -> Day:
    """Join reviewed parts, with the notes on each; the time in band aimed at is that of the first.

    Raises
    ------
    UserError
        When parts were recorded at the same time: no second may count twice.
    """
    written = [*notes, *[()] * (len(reviews) - len(notes))]
    noted = sorted(zip(reviews, written, strict=True), key=lambda pair: pair[0].recording.start_utc)
    parts = tuple(review for review, _ in noted)
    first = parts[0].recording.start_utc
    start_s = tuple((each.recording.start_utc - first).total_seconds() for each in parts)
    between_s = tuple(
        later - earlier - part.recording.span_s
        for part, earlier, later in zip(parts, start_s, start_s[1:], strict=False)
    )
    for part, later, between in zip(parts, parts[1:], between_s, strict=False):
        if between < 0.0:
            raise UserError(_overlap(part.recording, later.recording, -between))
    accounts = [each.account for each in parts if each.account is not None]
    account = sum_accounts(accounts, between_s) if len(accounts) == len(parts) else None
    return Day(
        parts,
        start_s,
        between_s,
        account,
        None if account is None else extension(account.parts, parts[0].aim.target_s),
        day_drift([each.track for each in parts], [each.response for each in parts], start_s),
        tuple(present(on_part) for _, on_part in noted),
    )


def _overlap(earlier: Recording, later: Recording, seconds: float) -> str:
    text = tr(
        "{first} and {second} were recorded at the same time for {time}: no second may count twice, so they "
        "cannot be one outing."
    )
    return text.format(
        first=title_of(earlier) or earlier.start_text,
        second=title_of(later) or later.start_text,
        time=duration(max(seconds, 1.0)),
    )
