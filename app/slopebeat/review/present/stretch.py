"""Stretches measured: their figures."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.model.units import MISSING, clock
from slopebeat.review.present.figure import (
    BARE_BPM,
    FINE_GRADE,
    HEIGHTS,
    OWN_SPEEDS,
    PROJECT_CHOICE,
    RISES,
    WAYS,
    Figure,
    Kind,
    Topic,
    number_of,
)


def _time(seconds: float | None) -> str:
    """A time, or how much shorter one is than another."""
    return MISSING if seconds is None else ("−" if seconds < 0 else "") + clock(abs(seconds))


TIME = Kind(_time)

NUMBER = Figure(
    "stretch.number",
    mark("No."),
    mark("Laps as the device marked them, or the outing cut by distance or ascent, in order."),
    mark(
        "Cut by distance: a kilometre or a mile each. Cut by ascent: 100 m or 300 ft each, counted "
        "like the ascent of the outing. The last is what was left."
    ),
    PROJECT_CHOICE,
    get=lambda i, stretch: i + 1,
)

STRETCH_FIGURES: tuple[Figure, ...] = (
    Figure(
        "stretch.start",
        mark("Begins at"),
        mark("Time from the first record to its start."),
        kind=TIME,
        field="start_s",
    ),
    Figure(
        "stretch.recorded",
        mark("Recorded"),
        mark("Without pauses and gaps."),
        kind=TIME,
        field="recorded_s",
    ),
    Figure(
        "stretch.moving",
        mark("Moving"),
        mark("Recorded time without standing."),
        kind=TIME,
        field="moving_s",
    ),
    Figure(
        "stretch.distance",
        mark("Distance"),
        mark("Along the ground, from end to end."),
        kind=WAYS,
        field="distance_m",
    ),
    Figure(
        "stretch.ascent",
        mark("Ascent"),
        mark("Metres up on the stretch, in steps of 2 m."),
        mark("Counted like the ascent of the outing, so that the jitter of the sensor is not summed up."),
        PROJECT_CHOICE,
        kind=HEIGHTS,
        field="ascent_m",
    ),
    Figure(
        "stretch.descent",
        mark("Descent"),
        mark("Metres down on the stretch, in steps of 2 m."),
        kind=HEIGHTS,
        field="descent_m",
    ),
    Figure(
        "stretch.grade",
        mark("Grade"),
        mark("Rise from end to end over the distance."),
        mark("What goes up and down again inside the stretch does not show in it."),
        kind=FINE_GRADE,
        field="grade",
    ),
    Figure(
        "stretch.speed",
        mark("Speed"),
        mark("Distance over moving time."),
        kind=OWN_SPEEDS,
        field="speed_mps",
    ),
    Figure(
        "stretch.vertical",
        mark("Vertical"),
        mark("Rise from end to end over moving time."),
        kind=RISES,
        field="vertical_speed_mps",
    ),
    Figure(
        "stretch.hr_mean",
        mark("HR\nmean"),
        mark("Of the trusted heart rate, by recorded time."),
        kind=BARE_BPM,
        field="hr_mean_bpm",
    ),
    Figure(
        "stretch.hr_max",
        mark("HR\nhighest"),
        mark("Of the trusted heart rate."),
        kind=BARE_BPM,
        field="hr_max_bpm",
    ),
    Figure(
        "stretch.in_band",
        mark("In band"),
        mark("Share of its time with trusted heart rate."),
        kind=number_of(0, "%", 100.0),
        field="share_in_band",
    ),
    Figure(
        "stretch.work",
        mark("Work"),
        mark("Mean work rate while moving; absent where half is unknown."),
        kind=number_of(2, "W/kg"),
        field="work_w_per_kg",
    ),
    Figure(
        "stretch.beats",
        mark("Beats"),
        mark("Heart beats for each kilojoule of work per kilogram, while moving."),
        mark(
            "Mean heart rate over mean work rate of the moving time. Fewer beats for the same work say "
            "that the work was easier for the heart."
        ),
        PROJECT_CHOICE,
        mark(
            "The heart answers late, and at little work it beats mostly for the body at rest: compare "
            "stretches of several minutes and of much the same work. Work from a power meter and "
            "modelled work do not compare."
        ),
        kind=number_of(0, "kg/kJ"),
        field="beats_per_kj_per_kg",
    ),
)
"""The row is a :class:`slopebeat.review.stretch.Stretch`, or what two of them differ by."""

STRETCHES = Topic("stretches", mark("A stretch measured"), (NUMBER, *STRETCH_FIGURES))
