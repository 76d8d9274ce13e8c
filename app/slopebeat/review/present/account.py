"""Where the time went: the parts of the span, which sum to it, and its totals."""

from __future__ import annotations

from dataclasses import dataclass

from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.model.language import mark, tr
from slopebeat.model.units import clock
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import (
    PROJECT_CHOICE,
    Explanation,
    Figure,
    On,
    Topic,
    in_files,
    shown_everywhere,
)

IN_BAND = shown_everywhere(
    "in_band",
    mark("In band"),
    mark("Heart rate inside the band: counts."),
    mark(
        "Time with a trusted heart rate from the lower to the upper edge; both edges are inside. A "
        "record stands for the time to the next one, less timer pauses. More than 30 s without a "
        "record is a gap. Every second from the first record to the last is in exactly one part, "
        "so the parts sum to the whole."
    ),
    PROJECT_CHOICE,
    mark("The heart rate follows the work by about a minute, so the first minute of a climb still counts."),
    kind=kinds.AT,
    json="in_band_s",
)
ABOVE = shown_everywhere(
    "above", mark("Above"), mark("Heart rate over the upper edge."), kind=kinds.AT, json="above_s"
)
BELOW = shown_everywhere(
    "below", mark("Below"), mark("Heart rate under the lower edge."), kind=kinds.AT, json="below_s"
)
NO_HEART_RATE = shown_everywhere(
    "no_heart_rate",
    mark("No heart rate"),
    mark("No heart rate that can be used."),
    mark("Recorded time without a heart rate, or with one that is marked as doubtful."),
    kind=kinds.AT,
    json="no_hr_s",
)
PAUSE = shown_everywhere("pause", mark("Pause"), mark("Timer off."), kind=kinds.AT, json="pause_s")
GAP = shown_everywhere("gap", mark("Gap"), mark("No records."), kind=kinds.AT, json="gap_s")

PARTS: tuple[tuple[BandState | None, Figure], ...] = (
    (BandState.IN_BAND, IN_BAND),
    (BandState.ABOVE, ABOVE),
    (BandState.BELOW, BELOW),
    (BandState.NO_HEART_RATE, NO_HEART_RATE),
    (None, PAUSE),
    (None, GAP),
)
"""In the order of the bar, each with the state it is the time of. The row is a :class:`TimeAccount`."""

SPAN = Figure(
    "sums",
    mark("Span"),
    mark("From the first record to the last; every second is in exactly one part."),
    mark(
        "Span = recorded time + pauses + gaps. Recorded time = moving + standing with the timer "
        "running. A pause is time with the timer off; a gap is time without records."
    ),
    kind=kinds.AT,
    field="span_s",
    on=On.TERMINAL,
)

ACCOUNT_FIGURES: tuple[Figure, ...] = (
    *(figure for _, figure in PARTS),
    SPAN,
    in_files("recorded", json="recorded_s"),
    in_files("moving", json="moving_s"),
    in_files("standing", json="stop_s"),
)

ASCENT = Explanation(
    "ascent",
    mark("Ascent"),
    mark("Smoothed, counted in steps of 2 m."),
    mark(
        "The elevation is smoothed as far as its noise asks. A rise counts once it exceeds 2 m, so "
        "that the jitter of the sensor is not summed up."
    ),
    PROJECT_CHOICE,
    mark("Every program gets another ascent. The tab on the recording shows it for 1, 2 and 5 m."),
)

YIELD = Explanation(
    "yield",
    mark("Yield"),
    mark("Share of recorded time in band."),
    mark("Yield = time in band / recorded time. Pauses and gaps are in neither."),
    mark("A definition of this program."),
    mark("It belongs to this ground, this band and this day. On other ground it is another one."),
)

ACCOUNT = Topic(
    "account",
    mark("Where the time went"),
    (
        *ACCOUNT_FIGURES,
        ASCENT,
    ),
)


@dataclass(frozen=True)
class AccountPart:
    """One part of the span: seconds moving and standing, and their share of what is known of the band."""

    figure: Figure
    state: BandState | None
    moving_s: float
    stopped_s: float = 0.0
    share: float | None = None

    @property
    def name(self) -> str:
        """In the language in force."""
        return tr(self.figure.name)

    @property
    def seconds(self) -> float:
        return self.moving_s + self.stopped_s


def parts_of(account: TimeAccount) -> list[AccountPart]:
    """The parts in the order of the bar; they sum to the span."""
    return [
        AccountPart(figure, None, figure.value(0, account))
        if state is None
        else AccountPart(
            figure, state, account.moving[state], account.stopped[state], account.share_of(state)
        )
        for state, figure in PARTS
    ]


def sums(account: TimeAccount, between_s: float = 0.0) -> str:
    """How the parts, and what lies between parts of a day, add up to the span."""
    parts = [tr("{time} recorded").format(time=clock(account.recorded_s))]
    for words, seconds in (
        (tr("{time} pause"), account.pause_s),
        (tr("{time} gap"), account.gap_s),
        (tr("{time} between parts"), between_s),
    ):
        if seconds:
            parts.append(words.format(time=clock(seconds)))
    return " + ".join(parts) + (f" = {clock(account.span_s + between_s)}" if len(parts) > 1 else "")
