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
    in_files,
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
    csv="number",
    get=lambda i, stretch: i + 1,
    leads=True,
)

STRETCH_FIGURES: tuple[Figure, ...] = (
    Figure(
        "stretch.start",
        mark("Begins at"),
        mark("Time from the first record to its start."),
        kind=TIME,
        json="start_s",
        csv="start (s)",
    ),
    in_files("stretch.end", json="end_s", csv="end (s)"),
    Figure(
        "stretch.recorded",
        mark("Recorded"),
        mark("Without pauses and gaps."),
        kind=TIME,
        json="recorded_s",
        csv="recorded (s)",
    ),
    Figure(
        "stretch.moving",
        mark("Moving"),
        mark("Recorded time without standing."),
        kind=TIME,
        json="moving_s",
        csv="moving (s)",
    ),
    Figure(
        "stretch.distance",
        mark("Distance"),
        mark("Along the ground, from end to end."),
        kind=WAYS,
        json="distance_m",
        csv="distance (m)",
    ),
    Figure(
        "stretch.ascent",
        mark("Ascent"),
        mark("Metres up on the stretch, in steps of 2 m."),
        mark("Counted like the ascent of the outing, so that the jitter of the sensor is not summed up."),
        PROJECT_CHOICE,
        kind=HEIGHTS,
        json="ascent_m",
        csv="ascent (m)",
    ),
    Figure(
        "stretch.descent",
        mark("Descent"),
        mark("Metres down on the stretch, in steps of 2 m."),
        kind=HEIGHTS,
        json="descent_m",
        csv="descent (m)",
    ),
    Figure(
        "stretch.grade",
        mark("Grade"),
        mark("Rise from end to end over the distance."),
        mark("What goes up and down again inside the stretch does not show in it."),
        kind=FINE_GRADE,
        json="grade",
        csv="grade (%)",
    ),
    Figure(
        "stretch.speed",
        mark("Speed"),
        mark("Distance over moving time."),
        kind=OWN_SPEEDS,
        json="speed_mps",
        csv="speed (m/s)",
    ),
    Figure(
        "stretch.vertical",
        mark("Vertical"),
        mark("Rise from end to end over moving time."),
        kind=RISES,
        json="vertical_speed_mps",
        csv="vertical speed (m/s)",
    ),
    Figure(
        "stretch.hr_mean",
        mark("HR\nmean"),
        mark("Of the trusted heart rate, by recorded time."),
        kind=BARE_BPM,
        json="hr_mean_bpm",
        csv="mean heart rate (bpm)",
    ),
    Figure(
        "stretch.hr_max",
        mark("HR\nhighest"),
        mark("Of the trusted heart rate."),
        kind=BARE_BPM,
        json="hr_max_bpm",
        csv="highest heart rate (bpm)",
    ),
    Figure(
        "stretch.in_band",
        mark("In band"),
        mark("Share of its time with trusted heart rate."),
        kind=number_of(0, "%", 100.0),
        json="share_in_band",
        csv="in band (%)",
    ),
    Figure(
        "stretch.work",
        mark("Work"),
        mark("Mean work rate while moving; absent where half is unknown."),
        kind=number_of(2, "W/kg"),
        json="work_w_per_kg",
        csv="work rate (W/kg)",
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
        json="beats_per_kj_per_kg",
        csv="beats (kg/kJ)",
    ),
)
"""The row is a :class:`slopebeat.review.stretch.Stretch`, or what two of them differ by."""

STRETCHES = Topic("stretches", mark("A stretch measured"), (NUMBER, *STRETCH_FIGURES))
