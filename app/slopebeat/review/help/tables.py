"""What the columns of the tables of one outing are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Topic

STRETCHES = Topic(
    "stretches",
    mark("A stretch measured"),
    (
        Explanation(
            "stretch.number",
            mark("No."),
            mark("Laps as the device marked them, or the outing cut by distance or ascent, in order."),
            mark(
                "Cut by distance: a kilometre or a mile each. Cut by ascent: 100 m or 300 ft each, counted "
                "like the ascent of the outing. The last is what was left."
            ),
            PROJECT_CHOICE,
        ),
        Explanation("stretch.start", mark("Begins at"), mark("Time from the first record to its start.")),
        Explanation("stretch.recorded", mark("Recorded"), mark("Without pauses and gaps.")),
        Explanation("stretch.moving", mark("Moving"), mark("Recorded time without standing.")),
        Explanation("stretch.distance", mark("Distance"), mark("Along the ground, from end to end.")),
        Explanation(
            "stretch.ascent",
            mark("Ascent"),
            mark("Metres up on the stretch, in steps of 2 m."),
            mark("Counted like the ascent of the outing, so that the jitter of the sensor is not summed up."),
            PROJECT_CHOICE,
        ),
        Explanation("stretch.descent", mark("Descent"), mark("Metres down on the stretch, in steps of 2 m.")),
        Explanation(
            "stretch.grade",
            mark("Grade"),
            mark("Rise from end to end over the distance."),
            mark("What goes up and down again inside the stretch does not show in it."),
        ),
        Explanation("stretch.speed", mark("Speed"), mark("Distance over moving time.")),
        Explanation("stretch.vertical", mark("Vertical"), mark("Rise from end to end over moving time.")),
        Explanation(
            "stretch.hr_mean", mark("Mean heart rate"), mark("Of the trusted heart rate, by recorded time.")
        ),
        Explanation("stretch.hr_max", mark("Highest heart rate"), mark("Of the trusted heart rate.")),
        Explanation("stretch.in_band", mark("In band"), mark("Share of its time with trusted heart rate.")),
        Explanation(
            "stretch.work", mark("Work"), mark("Mean work rate while moving; absent where half is unknown.")
        ),
        Explanation(
            "stretch.beats",
            mark("Beats per work"),
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
        ),
    ),
)

HOLD = Topic(
    "hold",
    mark("Speed to hold"),
    (
        Explanation("hold.grade", mark("Grade"), mark("Middle of a step of 2 %.")),
        Explanation(
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
        ),
        Explanation("hold.vertical", mark("Vertical"), mark("The same as vertical speed.")),
        Explanation(
            "hold.interval",
            mark("95 % interval"),
            mark(
                "Of the fit, widened by what it cannot know: the level of the heart rate that hour (2.1 to "
                "3.5 bpm) and what this ground costs (7 to 11 %), project choices."
            ),
        ),
        Explanation("hold.seen", mark("Seen"), mark("Moving time on this grade.")),
    ),
)
