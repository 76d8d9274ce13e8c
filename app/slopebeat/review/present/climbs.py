"""The climbs of an outing: their figures."""

from __future__ import annotations

from slopebeat.model.language import mark, tr
from slopebeat.model.units import minutes_seconds
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import (
    PROJECT_CHOICE,
    Figure,
    On,
    Topic,
    in_files,
    on_screen,
    shown_everywhere,
)


def _left_after(seconds: float | None) -> str:
    """Nothing is left on a climb whose foot was already above the band."""
    return tr("at the foot") if seconds == 0.0 else minutes_seconds(seconds)


CLIMB_FIGURES: tuple[Figure, ...] = (
    shown_everywhere(
        "climb.number",
        mark("No."),
        mark("Number on the elevation chart."),
        mark(
            "A climb gains at least 30 m at a mean grade of 3 % or more. Dips of less than 10 m, or of "
            "less than 15 % of the gain, do not end it."
        ),
        PROJECT_CHOICE,
        csv="number",
        get=lambda i, climb: i + 1,
    ),
    shown_everywhere(
        "climb.from",
        mark("From"),
        mark("Time at the foot."),
        kind=kinds.AT,
        json="start_s",
        csv="foot (s)",
    ),
    in_files("climb.end", json="end_s", csv="top (s)"),
    in_files("climb.foot_place", json="start_m", csv="foot (m along the ground)"),
    in_files("climb.foot", json="foot_m", csv="foot elevation (m)"),
    in_files("climb.top", json="top_m", csv="top elevation (m)"),
    shown_everywhere(
        "climb.gain",
        mark("Gain"),
        mark("Elevation gained from foot to top."),
        kind=kinds.HEIGHTS,
        json="gain_m",
        csv="gain (m)",
    ),
    shown_everywhere(
        "climb.length",
        mark("Length"),
        mark("Distance along the ground."),
        kind=kinds.WAYS,
        json="length_m",
        csv="length (m)",
    ),
    shown_everywhere(
        "climb.grade",
        mark("Grade"),
        mark("Rise over the ground really covered."),
        kind=kinds.FINE_GRADE,
        json="grade_mean",
        csv="mean grade (%)",
    ),
    Figure(
        "climb.steepest",
        mark("Steepest"),
        mark("Steepest 100 m of ground really covered."),
        kind=kinds.GRADE,
        json="grade_steepest",
        csv="steepest 100 m (%)",
    ),
    shown_everywhere(
        "climb.vertical",
        mark("Vertical"),
        mark("Gain over moving time."),
        mark("Vertical speed = gain / moving time from foot to top; standing is shown apart."),
        kind=kinds.HOURLY_RISES,
        json="vertical_speed_m_per_h",
        csv="vertical speed (m/h)",
    ),
    Figure(
        "climb.moving",
        mark("Moving"),
        mark("Recorded time from foot to top, without standing."),
        mark(
            "A climb ends when its top is first reached; a rest taken there, and pauses, are no part of it."
        ),
        kind=kinds.LASTS,
        json="moving_s",
        csv="moving (s)",
    ),
    Figure(
        "climb.standing",
        mark("Standing"),
        mark("Recorded time on the climb that was spent standing."),
        kind=kinds.LASTS,
        json="standing_s",
        csv="standing (s)",
    ),
    on_screen(
        "climb.hr_mean",
        mark("HR\nmean"),
        mark("Mean heart rate from foot to top, bpm."),
        kind=kinds.BARE_BPM,
        json="hr_mean_bpm",
        csv="mean heart rate (bpm)",
    ),
    on_screen(
        "climb.hr_max",
        mark("HR\nhighest"),
        mark("Highest heart rate from foot to top, bpm."),
        kind=kinds.BARE_BPM,
        json="hr_max_bpm",
        csv="highest heart rate (bpm)",
    ),
    in_files("climb.hr_foot", json="hr_foot_bpm", csv="heart rate at the foot (bpm)"),
    Figure(
        "climb.hr_top",
        mark("HR\ntop"),
        kind=kinds.BARE_BPM,
        json="hr_top_bpm",
        csv="heart rate at the top (bpm)",
        on=On.REPORT,
    ),
    in_files("climb.above_s", json="above_s", csv="above the band (s)"),
    shown_everywhere(
        "climb.above",
        mark("Share\nabove"),
        mark("Share of the climb over the band."),
        mark("Of its time with trusted heart rate; not told where that is under half of it."),
        kind=kinds.SHARE,
        json="share_above",
        csv="share above (%)",
    ),
    in_files("climb.above_at_foot", json="above_at_foot"),
    shown_everywhere(
        "climb.exit",
        mark("Band left\nafter"),
        mark("Time from the foot until the heart rate left the band upward."),
        mark("The shorter it is, the more the speed at the foot was too high for this grade."),
        kind=kinds.Kind(_left_after),
        json="time_to_exit_s",
        csv="band left after (s)",
    ),
    Figure(
        "climb.exit_grade",
        mark("at grade"),
        mark("Grade where the band was left."),
        kind=kinds.GRADE,
        json="exit_grade",
        csv="grade where it was left (%)",
    ),
    Figure(
        "climb.exit_speed",
        mark("at speed"),
        mark("Speed where the band was left."),
        kind=kinds.SPEEDS,
        json="exit_speed_mps",
        csv="speed where it was left (m/s)",
    ),
    on_screen(
        "climb.return",
        mark("Back in band\nafter"),
        mark("From the top until the heart rate is back in band."),
        kind=kinds.LASTS,
        json="return_s",
        csv="back in band after the top (s)",
    ),
)

CLIMBS = Topic("climbs", mark("Climbs"), CLIMB_FIGURES)
