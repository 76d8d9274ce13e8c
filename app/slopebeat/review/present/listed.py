"""The list of outings: its columns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from slopebeat.analysis.months.choice import terrain_of
from slopebeat.library.outings import StoredOuting
from slopebeat.model.evidence import OutingSummary
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MASS, figure
from slopebeat.model.recording import local_start, shown_title
from slopebeat.model.units import MISSING
from slopebeat.review.present import kinds
from slopebeat.review.present.account import ASCENT, YIELD
from slopebeat.review.present.figure import PROJECT_CHOICE, Figure, Topic
from slopebeat.review.words.names import key_name, sport_name


@dataclass(frozen=True)
class Part:
    """Number of a part of a day, from 1, and of how many."""

    number: int
    of: int


class Listed(Protocol):
    """What a row holds."""

    @property
    def outing(self) -> StoredOuting: ...

    @property
    def summary(self) -> OutingSummary | None: ...

    @property
    def part(self) -> Part | None: ...


def start_of(outing: StoredOuting) -> datetime:
    """Start where the outing was, if its file knows; else in this computer's time zone."""
    return local_start(outing.start_utc, outing.utc_offset_s)


def started(row: Listed) -> datetime:
    """The same with the time zone a note put right, which the result knows."""
    known = row.summary
    if known is None or known.utc_offset_s is None:
        return start_of(row.outing)
    return local_start(row.outing.start_utc, known.utc_offset_s)


def name_of(outing: StoredOuting) -> str:
    """What an outing is called in the list."""
    return shown_title(outing.title, outing.file_name)


def _title(row: Listed) -> str:
    if row.part is None:
        return name_of(row.outing)
    text = tr("{title}  (part {n} of {all})")
    return text.format(title=name_of(row.outing), n=row.part.number, all=row.part.of)


def _band(row: Listed) -> str:
    known = row.summary
    if known is None or known.band_lower_bpm is None:
        return MISSING
    return f"{known.band_lower_bpm}–{known.band_upper_bpm}"


def _terrain(row: Listed) -> str:
    terrain = None if row.summary is None else terrain_of(row.summary)
    return MISSING if terrain is None else key_name(terrain)


def _terrain_fair(row: Listed) -> str:
    known = row.summary
    if known is None or known.terrain_fair_percent is None:
        return MISSING
    middle = figure(known.terrain_fair_percent, 1)
    if known.terrain_fair_low is None or known.terrain_fair_high is None:
        return middle
    low, high = figure(known.terrain_fair_low, 1), figure(known.terrain_fair_high, 1)
    return f"{middle}  ({tr('{low} to {high}').format(low=low, high=high)})"


LIST_FIGURES: tuple[Figure, ...] = (
    Figure(
        "list.date",
        mark("Date"),
        mark("Local date and time of the start, where the outing was."),
        get=lambda i, row: row.outing.start_utc.timestamp(),
        words=lambda row: f"{started(row):%Y-%m-%d  %H:%M}",
        kind=kinds.WORDS,
    ),
    Figure(
        "list.title",
        mark("Title"),
        mark(
            "The name the file gives the outing; F2 types another, right-click one for all selected. "
            "Parts of one day are joined by a line before the date, open together and count as one outing; "
            "right-click joins and parts them."
        ),
        get=lambda i, row: name_of(row.outing).casefold(),
        words=_title,
        kind=kinds.WORDS,
    ),
    Figure(
        "list.sport",
        mark("Sport"),
        mark("As the file says, or as it was put right."),
        get=lambda i, row: sport_name(row.outing.sport),
        kind=kinds.WORDS,
    ),
    Figure(
        "list.recorded",
        mark("Recorded"),
        mark("Without pauses and gaps, h:mm:ss."),
        field="summary.recorded_s",
        kind=kinds.AT,
    ),
    Figure(
        "list.in_band",
        mark("In band"),
        mark("Minutes inside the band that was in force on the day."),
        field="summary.in_band_s",
        kind=kinds.number_of(0, "min", 1 / 60),
    ),
    Figure("yield", mark("Yield"), YIELD.line, field="summary.yield_share", kind=kinds.SHARE),
    Figure(
        "list.band",
        mark("Band"),
        mark("The band it was reviewed with."),
        field="summary.band_lower_bpm",
        words=_band,
        kind=kinds.Kind(str, "bpm"),
    ),
    Figure(
        "list.terrain",
        mark("Terrain"),
        mark("By the share of moving time on grades over 3 %: gentle under 20 %, steep from 60 %."),
        "",
        PROJECT_CHOICE,
        field="summary.steep_share",
        words=_terrain,
        kind=kinds.WORDS,
    ),
    Figure("ascent", mark("Ascent"), ASCENT.line, field="summary.ascent_m", kind=kinds.HEIGHTS),
    Figure(
        "list.load",
        mark("Load"),
        mark("The most that was carried, as entered or in a note."),
        get=lambda i, row: row.outing.load_kg or None,
        kind=kinds.Kind(MASS.figure, MASS),
    ),
    Figure(
        "list.terrain_fair",
        mark("Terrain-fair\ndecoupling, %"),
        mark(
            "With its 95 % interval, as the outing alone has it: wider than on its page, where what is "
            "known of drifts counts too. The one decoupling row that may be compared across terrain."
        ),
        field="summary.terrain_fair_percent",
        words=_terrain_fair,
    ),
)
"""The row is one of the list: an outing, and its summary once it was reviewed."""

LIBRARY = Topic(
    "library",
    mark("The list of outings"),
    tuple(each for each in LIST_FIGURES if each.key.startswith("list.")),
)
