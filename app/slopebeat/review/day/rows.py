"""The parts of a day, column by column: window, report, terminal and JSON read them here."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.day.drift import PartDrift
from slopebeat.analysis.response.teaching import GROUPS
from slopebeat.model.evidence import POWER
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MISSING, figure
from slopebeat.review.day.day import Day
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.account import ACCOUNT_FIGURES, AccountPart, parts_of
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Figure, Topic, shown_everywhere
from slopebeat.review.present.head import Head, sport_words
from slopebeat.review.words.names import key_name

BETWEEN = shown_everywhere(
    "between_parts",
    mark("Between parts"),
    mark("From the end of a part to the start of the next: nothing was recorded."),
    mark(
        "Time between two recordings of one outing. It belongs to the span of the day and to no part, so "
        "it is neither in band nor out of it. With it the parts of the account sum to the span of the day. "
        "Recordings are taken as parts of one outing where at most 30 minutes and 500 m lie between them, "
        "or where you say so; none that ran at the same time."
    ),
    PROJECT_CHOICE,
    kind=kinds.AT,
)


@dataclass(frozen=True)
class PartRow:
    """One part of a day, as a row of the table."""

    review: Review
    start_s: float
    drift: PartDrift | None

    @property
    def sport(self) -> str:
        return sport_words(self.review) or key_name(self.review.recognised.kind)

    @property
    def mean_bpm(self) -> float | None:
        whole = Head(self.review).whole
        return None if whole is None else whole.hr_mean_bpm

    @property
    def work_w_per_kg(self) -> float | None:
        """Of the athlete's own; None where what was done has none or is not known."""
        if self.review.recognised.kind.value not in GROUPS:
            return None
        whole = Head(self.review).whole
        return None if whole is None else whole.work_w_per_kg

    def of_account(self, name: str) -> float | None:
        """Seconds of the account; None without a band."""
        return None if self.review.account is None else float(getattr(self.review.account, name))


def _work(row: PartRow) -> str:
    work = row.work_w_per_kg
    if work is None:
        return MISSING
    source = tr("recorded power") if row.review.work_source == POWER else tr("modelled")
    return tr("{work}, {source}").format(work=figure(work, 1), source=source)


def _drift(row: PartRow) -> str:
    if row.drift is None:
        return key_name(row.review.response.status)
    return tr("{drift} ± {reach}").format(
        drift=figure(row.drift.mean, 1), reach=figure(1.96 * row.drift.sd, 1)
    )


def _seconds(part: Figure) -> Figure:
    """A column of the account; JSON has it in the review of the part."""
    return shown_everywhere(
        f"part.{part.key}", part.name, kind=kinds.AT, get=lambda i, row: row.of_account(part.json)
    )


PART_FIGURES: tuple[Figure, ...] = (
    shown_everywhere(
        "part.number",
        mark("Part"),
        mark("In order of time; in band, above, below and without heart rate are this part's own."),
        json="number",
        get=lambda i, r: i + 1,
    ),
    shown_everywhere(
        "part.sport",
        mark("What"),
        mark("What was done in this part, as the file says or by speed, steps and climbing."),
        kind=kinds.WORDS,
        get=lambda i, r: r.sport,
    ),
    shown_everywhere(
        "part.start",
        mark("Begins"),
        mark("Time since the first record of the day."),
        json="start_s",
        kind=kinds.AT,
    ),
    shown_everywhere(
        "part.span",
        mark("Span"),
        mark("From the first record of this part to its last, pauses and gaps with it."),
        json="span_s",
        kind=kinds.AT,
        get=lambda i, r: r.review.recording.span_s,
    ),
    shown_everywhere(
        "part.band",
        mark("Band"),
        mark("The band this part was counted with; on a bike it may be another one than on foot."),
        kind=kinds.WORDS,
        get=lambda i, r: str(r.review.aim.band or MISSING),
    ),
    *(_seconds(each) for each in ACCOUNT_FIGURES[:4]),
    shown_everywhere(
        "part.mean",
        mark("Mean heart rate"),
        mark("Mean of the trusted heart rate of this part, every second counting alike."),
        json="hr_mean_bpm",
        kind=kinds.Kind(figure, "bpm"),
        get=lambda i, r: r.mean_bpm,
    ),
    shown_everywhere(
        "part.work",
        mark("Work rate"),
        mark("Mean of this part while moving, per kilogram of body mass: by a power meter, else modelled."),
        mark(
            "On foot it is metabolic, on a bike at the pedals: the two are never to be compared with one "
            "another, nor summed over the day."
        ),
        json="work_w_per_kg",
        kind=kinds.Kind(str, "W/kg"),
        get=lambda i, r: r.work_w_per_kg,
        words=_work,
    ),
    shown_everywhere(
        "part.drift",
        mark("Own drift"),
        mark("How the heart rate rose in this part at unchanged work, with its 95 % interval."),
        mark("From the fit of this part alone, without any expectation of what a drift usually is."),
        mark("A definition of this program."),
        mark(
            "A part without half an hour that could be fitted to work has none; then the reason stands there."
        ),
        json="drift_bpm_per_h",
        kind=kinds.Kind(str, "bpm/h"),
        get=lambda i, r: None if r.drift is None else r.drift.mean,
        words=_drift,
    ),
)
"""Columns of the parts; the row is a :class:`PartRow`."""

DAY_DRIFT = Explanation(
    "day.drift",
    mark("Drift over the day"),
    mark("How the heart rate rose over all parts at unchanged work, with its 95 % interval."),
    mark(
        "Every part has a level and an answer to work of its own, and all share one drift: the mean of the "
        "parts' own drifts, each weighted by how certain it is. Where the parts differ by more than chance "
        "the interval is widened. Whether the drift was even is told from means over 10 minutes."
    ),
    mark(
        "One drift for all: Frisch and Waugh 1933 (doi:10.2307/1907330). Measurements that disagree: Birge "
        "1932 (doi:10.1103/PhysRev.40.207). The 10 minutes are a choice of this program."
    ),
    mark(
        "What a rest between parts did is not in it, nor what a part that could not be fitted did. It says "
        "what was and foretells nothing: on 30 real rides the drift of the first half foretold the second no "
        "better than that nothing changes."
    ),
)

NIGHT = Explanation(
    "night",
    mark("Night"),
    mark("The sun was below the horizon, with the local time of sunset and sunrise where it is known."),
    mark(
        "By the recording's positions and the date; mountains around are not known. Without positions the "
        "hours from 22:00 to 6:00 by the local clock; without a time zone nothing is marked."
    ),
    mark("The sun's place: Meeus, Astronomical Algorithms, chapters 13, 15 and 25."),
)

DAY = Topic("day", mark("A day in parts, and long days"), (BETWEEN, *PART_FIGURES, DAY_DRIFT, NIGHT))


def part_rows(day: Day) -> tuple[PartRow, ...]:
    """The parts in order of time."""
    return tuple(PartRow(*each) for each in zip(day.parts, day.start_s, day.drift.parts, strict=True))


def day_parts_of(day: Day) -> list[AccountPart]:
    """The account of the day in the order of the bar, the time between last; nothing without bands."""
    if day.account is None:
        return []
    return [*parts_of(day.account.parts), AccountPart(BETWEEN, None, day.account.all_between_s)]
