"""The next time on the same way: where the minutes in band came from, and how to go each climb."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.account.climbs import Climb
from slopebeat.analysis.account.held_climbs import HeldClimb, HeldOuting
from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.analysis.response.work_rate import LCDA_FASTEST_MPS
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import SPEED, VERTICAL_SPEED
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import duration
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import PROJECT_CHOICE, Figure, Topic, shown_everywhere
from slopebeat.review.words.messages import say
from slopebeat.review.words.names import listed

MOSTLY = 0.5
"""Share of a climb's moving time on too steep ground from which it cannot be held [project choice]."""

HARDLY_S = 60.0
"""An outing that would last no longer than this much more was gone slowly enough [project choice]."""


@dataclass(frozen=True)
class HeldRow:
    """A climb as it was gone and as it could be held in band; both None where nothing need change."""

    number: int
    start_s: float
    end_s: float
    gain_m: float
    grade_mean: float
    speed_mps: float | None
    hold_speed_mps: float | None
    hold_vertical_speed_mps: float | None
    longer_s: float | None
    how: str


def held_rows(review: Review) -> list[HeldRow]:
    """One row for each climb; none without a band or a usable fit."""
    if review.held is None:
        return []
    on_bike = review.track.on_bike
    return [_row(climb, held, on_bike) for climb, held in zip(review.climbs, review.held.climbs, strict=True)]


def _row(climb: Climb, held: HeldClimb, on_bike: bool) -> HeldRow:
    return HeldRow(
        number=held.number,
        start_s=climb.start_s,
        end_s=climb.end_s,
        gain_m=climb.gain_m,
        grade_mean=climb.grade_mean,
        speed_mps=climb.length_m / climb.moving_s if climb.moving_s else None,
        hold_speed_mps=held.speed_mps,
        hold_vertical_speed_mps=held.vertical_speed_mps,
        longer_s=held.longer_s if held.speed_mps is not None else None,
        how=how_to_go(held, on_bike),
    )


def how_to_go(held: HeldClimb, on_bike: bool) -> str:
    """One instruction that somebody can follow."""
    if held.speed_mps is None:
        return tr("go as you went")
    if held.too_steep_s > MOSTLY * held.moving_s:
        if on_bike:
            return tr("too steep to ride in band: push, or take another way")
        return tr("too steep to hold: as slowly as you can, with rests")
    speed, rise = SPEED.text(held.speed_mps), VERTICAL_SPEED.text(held.vertical_speed_mps)
    if on_bike:
        text = tr("ride at {speed}, {rise}")
    elif held.speed_mps < LCDA_FASTEST_MPS:
        text = tr("walk at {speed}, {rise}")
    else:
        text = tr("run at {speed}, {rise}")
    if held.too_steep_s >= 30.0:
        push = tr("push {time} of it") if on_bike else tr("rest on {time} of it")
        text = listed((text, push.format(time=duration(held.too_steep_s))))
    return text.format(speed=speed, rise=rise)


def held_sentence(review: Review) -> str:
    """What the same outing would have counted with its climbs held; else why that cannot be known."""
    held, band = review.held, review.aim.band
    if band is None:
        return tr("Choose a band to see how to go next time.")
    if held is None:
        if not review.climbs:
            return tr("There is no climb on this outing to hold back on.")
        why = say(review.response.reason)
        if review.response.status is FitStatus.USABLE:
            return tr("How to go the climbs cannot be told: the work rate is not known.")
        return tr("How to go the climbs cannot be told: {why}").format(why=why)
    if held.recorded_s - held.was_recorded_s < HARDLY_S:
        return tr("The climbs were gone as slowly as the band asks.")
    return _again(held)


def _again(held: HeldOuting) -> str:
    middle, low, high = held.in_band_s
    text = tr(
        "With the climbs at about {bpm} bpm this outing counts {minutes} ({low} to {high}) instead of {was}, "
        "and lasts {lasts} instead of {lasted}."
    )
    return text.format(
        bpm=round(held.aimed_bpm),
        minutes=duration(middle),
        low=duration(low),
        high=duration(high),
        was=duration(held.was_in_band_s),
        lasts=duration(held.recorded_s),
        lasted=duration(held.was_recorded_s),
    )


def in_band_by_ground(review: Review) -> dict[str, float]:
    """Seconds in band going up, on gentle ground, going down and standing; keys for JSON."""
    band, track = review.aim.band, review.track
    if band is None:
        return {}
    inside = np.where(band_state(track.hr_bpm, band) == BandState.IN_BAND, track.recorded_s, 0.0)
    slope = np.nan_to_num(track.grade)
    up, down = track.moving & (slope > CLIMBING_GRADE), track.moving & (slope < -CLIMBING_GRADE)
    parts = {"up": up, "gentle": track.moving & ~up & ~down, "down": down, "standing": ~track.moving}
    return {name: float(inside[here].sum()) for name, here in parts.items()}


GROUND_WORDS = {
    "up": mark("{time} going up"),
    "gentle": mark("{time} on gentle ground"),
    "down": mark("{time} going down"),
    "standing": mark("{time} standing"),
}


def ground_sentence(review: Review) -> str:
    """Where the minutes in band came from; empty where there are none."""
    seconds = in_band_by_ground(review)
    parts = [tr(GROUND_WORDS[name]).format(time=duration(s)) for name, s in seconds.items() if s >= 30.0]
    return tr("In band: {parts}.").format(parts=listed(parts)) if parts else ""


HELD_FIGURES: tuple[Figure, ...] = (
    shown_everywhere(
        "held.number",
        mark("No."),
        mark("Number of the climb on the elevation chart."),
        get=lambda _, row: row.number + 1,
        json="number",
    ),
    Figure("held.from", mark("From"), mark("Time at the foot."), kind=kinds.AT, field="start_s"),
    Figure(
        "held.gain",
        mark("Gain"),
        mark("Elevation gained from foot to top."),
        kind=kinds.HEIGHTS,
        field="gain_m",
    ),
    Figure(
        "held.grade",
        mark("Grade"),
        mark("Rise over the ground covered."),
        kind=kinds.FINE_GRADE,
        field="grade_mean",
    ),
    shown_everywhere(
        "held.gone",
        mark("Went at"),
        mark("Mean speed of moving on this outing."),
        kind=kinds.SPEEDS,
        field="speed_mps",
    ),
    shown_everywhere(
        "held.speed",
        mark("Hold"),
        mark("Mean speed that keeps the heart rate in band; a dash where nothing need change."),
        mark(
            "At each place the fastest speed whose heart rate, by this outing's fit and with its drift, "
            "settles a quarter of the band's width under the upper edge, but never slower than anyone goes."
        ),
        PROJECT_CHOICE,
        kind=kinds.SPEEDS,
        json="hold_speed_mps",
    ),
    shown_everywhere(
        "held.vertical",
        mark("Vertical"),
        mark("The same as vertical speed."),
        kind=kinds.RISES,
        json="hold_vertical_speed_mps",
    ),
    shown_everywhere(
        "held.longer",
        mark("Longer\nby"),
        mark("How much longer the climb takes so."),
        kind=kinds.LASTS,
        json="longer_s",
    ),
    shown_everywhere(
        "held.how",
        mark("How"),
        mark("What to do on this climb."),
        kind=kinds.WORDS,
        field="how",
    ),
)

HELD = Topic("held", mark("Climbs next time"), HELD_FIGURES)
