"""What speed to hold on each grade next time: rows, sentence and figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.response.ceiling import SURELY, Ceiling
from slopebeat.analysis.response.fit import FitStatus
from slopebeat.model.language import mark, tr
from slopebeat.model.measures import MASS, SPEED, VERTICAL_SPEED
from slopebeat.model.track import CLIMBING_GRADE
from slopebeat.model.units import MISSING, SECONDS_PER_HOUR, duration, percent
from slopebeat.review.outing import Review
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import Figure, Topic, in_files
from slopebeat.review.words.messages import say
from slopebeat.review.words.names import too_steep


@dataclass(frozen=True)
class HoldRow:
    """One grade of the ceiling."""

    grade: float
    speed_mps: float
    low_mps: float
    high_mps: float
    vertical_mps: float
    seen_s: float
    fits_any_speed: bool
    exceeds_at_once: bool
    too_steep: float = 0.0

    @property
    def known(self) -> bool:
        return bool(np.isfinite(self.speed_mps))

    @property
    def speed(self) -> str:
        if self.known:
            return SPEED.figure(self.speed_mps)
        if self.fits_any_speed:
            return tr("any seen")
        if not self.exceeds_at_once:
            return MISSING
        if self.grade <= 0.0:
            return tr("none")
        return tr("too steep") if self.too_steep > SURELY else tr("may be too steep")

    @property
    def interval(self) -> str:
        """Both ends in the unit in force; an open end is left open."""
        return kinds.between(SPEED, self.low_mps, self.high_mps) if self.known else MISSING


def hold_rows(found: Ceiling) -> list[HoldRow]:
    """The grades that were seen long enough to say something of."""
    columns = (
        *(found.grade, found.speed_mps, found.low_mps, found.high_mps, found.vertical_speed_mps),
        *(found.seen_s, found.fits_any_speed, found.exceeds_at_once, found.too_steep),
    )
    rows = [HoldRow(*row) for row in zip(*(each.tolist() for each in columns), strict=True)]
    return [row for row in rows if row.known or row.fits_any_speed or row.exceeds_at_once]


def known_rows(review: Review) -> list[HoldRow]:
    """Those with a speed, of the grades seen."""
    return [] if review.ceiling is None else [row for row in hold_rows(review.ceiling) if row.known]


def hold_sentence(review: Review) -> str:
    """The one figure to remember, on the grade climbed longest; else why there is none."""
    if review.aim.band is None:
        return tr("Choose a band to see what speed to hold.")
    if review.ceiling is None:
        response = review.response
        if response.status is FitStatus.USABLE:
            return tr("No speed to hold can be given: no grade is known.")
        why = say(response.reason)
        return tr("No speed to hold can be given: {why}").format(why=why)
    rows = hold_rows(review.ceiling)
    steep = too_steep(review.ceiling.gentlest_too_steep, review.track.on_bike)
    climbed = any(row.known and row.grade > CLIMBING_GRADE for row in rows)
    # With a speed to hold on a climb the table says which grades are too steep; the sentence stays short.
    return steep if steep and not climbed else _held(rows)


def _held(rows: Sequence[HoldRow]) -> str:
    """What to hold on the grade climbed longest, else gone longest."""
    known = [row for row in rows if row.known]
    climbing = [row for row in known if row.grade > CLIMBING_GRADE]
    if not known:
        if rows and all(row.fits_any_speed for row in rows):
            return tr("No speed seen on any grade of this outing would settle over the band.")
        return tr("No speed to hold can be given on the grades of this outing.")
    row = max(climbing or known, key=lambda row: row.seen_s)
    speed, grade = f"{row.speed} {SPEED.unit}", percent(row.grade)
    if row.grade > 0:
        vertical = VERTICAL_SPEED.text(row.vertical_mps)
        text = tr("Hold under {speed} ({vertical}) on {grade}.")
        return text.format(speed=speed, vertical=vertical, grade=grade)
    return tr("Hold under {speed} on {grade}.").format(speed=speed, grade=grade)


def hold_basis(review: Review) -> str:
    """What the speeds hold for."""
    found = review.ceiling
    if found is None:
        return ""
    time = duration(found.at_s)
    if review.load_kg > 0:
        return tr(
            "Steady speed at which the heart rate settles at the upper edge, {time} into an outing like "
            "this, carrying {load}; drift lowers it later. Only grades that were seen for a minute or more."
        ).format(time=time, load=MASS.text(review.load_kg, 0 if review.load_kg % 1 == 0 else None))
    return tr(
        "Steady speed at which the heart rate settles at the upper edge, {time} into an outing like this; "
        "drift lowers it later. Only grades that were seen for a minute or more."
    ).format(time=time)


HOLD_FIGURES: tuple[Figure, ...] = (
    Figure(
        "hold.grade",
        mark("Grade"),
        mark("Middle of a step of 2 %."),
        kind=kinds.GRADE,
        json="grade",
        get=lambda i, row: round(row.grade, 6),
    ),
    Figure(
        "hold.speed",
        mark("Hold under"),
        mark(
            "“any seen”: no speed seen on this grade reaches the edge. “too steep”: even the slowest "
            "speed anyone keeps is over it, at 80 % probability; “may be too steep”: at less. "
            "“none”: the same on ground that does not climb."
        ),
        mark(
            "The speed whose steady heart rate is the upper edge of the band, from the fit of this "
            "outing: work at that speed on that grade, put into the fitted answer of the heart."
        ),
        mark("A definition of this program; the fit is the one behind terrain-fair decoupling."),
        mark(
            "Only grades that were seen for a minute or more. Drift lowers the speed later in the day; a "
            "hot day or a load lowers it too. Never hold a speed against how you feel."
        ),
        kind=kinds.Kind(str, SPEED),
        field="speed",
    ),
    Figure(
        "hold.vertical",
        mark("Vertical"),
        mark("The same as vertical speed."),
        kind=kinds.RISES,
        get=lambda i, row: row.vertical_mps if row.known else None,
    ),
    Figure(
        "hold.interval",
        mark("95 % interval"),
        mark(
            "Of the fit, widened by what it cannot know: the level of the heart rate that hour (2.1 to "
            "3.5 bpm) and what this ground costs (7 to 11 %), project choices."
        ),
        kind=kinds.Kind(str, SPEED),
        field="interval",
    ),
    Figure(
        "hold.seen",
        mark("Seen"),
        mark("Moving time on this grade."),
        kind=kinds.number_of(0, "min", 1 / 60),
        json="seen_s",
    ),
    in_files("hold.speed_mps", json="speed_mps"),
    in_files("hold.low", json="speed_low_mps", field="low_mps"),
    in_files("hold.high", json="speed_high_mps", field="high_mps"),
    in_files(
        "hold.hourly",
        json="vertical_speed_m_per_h",
        get=lambda i, row: row.vertical_mps * SECONDS_PER_HOUR,
    ),
    in_files("hold.too_steep", json="too_steep_probability", field="too_steep"),
)
"""The row is a :class:`HoldRow`; JSON has those whose speed is known."""

HOLD = Topic("hold", mark("Speed to hold"), HOLD_FIGURES)
