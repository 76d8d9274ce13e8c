"""What the columns of the tables of one outing are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.help.explanation import Explanation, Topic
from slopebeat.review.help.outing import PROJECT_CHOICE

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

CLIMBS = Topic(
    "climbs",
    mark("Climbs"),
    (
        Explanation(
            "climb.number",
            mark("No."),
            mark("Number on the elevation chart."),
            mark(
                "A climb gains at least 30 m at a mean grade of 3 % or more. Dips of less than 10 m, or of "
                "less than 15 % of the gain, do not end it."
            ),
            PROJECT_CHOICE,
        ),
        Explanation("climb.from", mark("From"), mark("Time at the foot.")),
        Explanation(
            "climb.moving",
            mark("Moving"),
            mark("Recorded time from foot to top, without standing."),
            mark(
                "A climb ends when its top is first reached; a rest taken there, and pauses, are no part "
                "of it."
            ),
        ),
        Explanation(
            "climb.standing", mark("Standing"), mark("Recorded time on the climb that was spent standing.")
        ),
        Explanation("climb.gain", mark("Gain"), mark("Elevation gained from foot to top.")),
        Explanation("climb.length", mark("Length"), mark("Distance along the ground.")),
        Explanation("climb.grade", mark("Grade"), mark("Rise over the ground really covered.")),
        Explanation("climb.steepest", mark("Steepest"), mark("Steepest 100 m of ground really covered.")),
        Explanation(
            "climb.vertical",
            mark("Vertical"),
            mark("Gain over moving time."),
            mark("Vertical speed = gain / moving time from foot to top; standing is shown apart."),
        ),
        Explanation("climb.hr_mean", mark("HR\nmean"), mark("Mean heart rate from foot to top, bpm.")),
        Explanation("climb.hr_max", mark("HR\nhighest"), mark("Highest heart rate from foot to top, bpm.")),
        Explanation(
            "climb.above",
            mark("Share\nabove"),
            mark("Share of the climb over the band."),
            mark("Of its time with trusted heart rate; not told where that is under half of it."),
        ),
        Explanation(
            "climb.exit",
            mark("Band left\nafter"),
            mark("Time from the foot until the heart rate left the band upward."),
            mark("The shorter it is, the more the speed at the foot was too high for this grade."),
        ),
        Explanation("climb.exit_grade", mark("at grade"), mark("Grade where the band was left.")),
        Explanation("climb.exit_speed", mark("at speed"), mark("Speed where the band was left.")),
        Explanation(
            "climb.return",
            mark("Back in band\nafter"),
            mark("From the top until the heart rate is back in band."),
        ),
    ),
)

EPISODES = Topic(
    "episodes",
    mark("Out of band"),
    (
        Explanation(
            "episode.number",
            mark("No."),
            mark("In order of time."),
            mark(
                "An episode is at least 10 s above or below the band; breaks under 15 s are bridged. Shorter "
                "moments are in the time account but in no row."
            ),
            PROJECT_CHOICE,
        ),
        Explanation("episode.from", mark("From"), mark("Time the band was left.")),
        Explanation("episode.lasts", mark("Lasts"), mark("Time out of band.")),
        Explanation("episode.side", mark("Side"), mark("Above or below the band.")),
        Explanation("episode.cause", mark("Cause"), mark("What caused most of it.")),
        Explanation("episode.farthest", mark("Farthest"), mark("Highest heart rate above, lowest below.")),
        Explanation(
            "episode.beyond",
            mark("Beyond"),
            mark("Beats beyond the edge, summed over minutes."),
            mark(
                "The distance from the edge in bpm, times the time in minutes: 6 bpm over it for 5 minutes "
                "is 30."
            ),
        ),
        Explanation("episode.grade", mark("Grade"), mark("Mean grade in the minute before.")),
        Explanation("episode.speed", mark("Speed"), mark("Mean speed just before.")),
        Explanation("episode.vertical", mark("Vertical"), mark("Mean vertical speed just before.")),
        Explanation(
            "episode.work",
            mark("Work"),
            mark("Mean work rate just before."),
            mark(
                "Means are of the minute before the band was left: the heart answers work by about a minute."
            ),
            mark("Time constant of 57.6 s (Hunt 2015, doi:10.1186/s12938-015-0112-7)."),
        ),
        Explanation("episode.climb", mark("On\nclimb"), mark("Number of the climb it belongs to.")),
        Explanation(
            "episode.return",
            mark("Back in band\nafter"),
            mark("From the farthest point until back in band."),
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

DECOUPLING = Topic(
    "decoupling",
    mark("Decoupling"),
    (
        Explanation("halves.output", mark("Output taken"), mark("What the heart rate is compared with.")),
        Explanation(
            "halves.figure",
            mark("Decoupling"),
            mark("Positive: the heart rate rose for the same output in the second half."),
            mark(
                "With r = mean output / mean heart rate of a half, decoupling = 100 (r1 - r2) / r1. The "
                "halves are of moving time; the first 10 minutes, stops and marked heart rate are left out."
            ),
            mark("Common practice; no limit of it is validated by any study found."),
            mark("The halves of an outing on hills are never the same ground: read the verdict."),
        ),
        Explanation(
            "halves.first", mark("First half"), mark("Mean output and mean heart rate of the first half.")
        ),
        Explanation(
            "halves.second", mark("Second half"), mark("Mean output and mean heart rate of the second half.")
        ),
        Explanation(
            "halves.used",
            mark("Used and left out"),
            mark("Time that entered, where the halves meet, and what did not enter."),
        ),
        Explanation(
            "halves.trust",
            mark("How far to trust it"),
            mark("Whether the figure can be read as a drift of the heart."),
            mark(
                "Terrain decides when more than 20 % of the time was on grades over 3 %, or when ground or "
                "work of the halves differed by more than 3 to 4 %. Too short means halves under 20 "
                "minutes. No verdict hides a figure."
            ),
            PROJECT_CHOICE,
        ),
        Explanation(
            "halves.pace", mark("On speed"), mark("Mean speed per heart beat, as convention has it.")
        ),
        Explanation(
            "halves.work", mark("On work rate"), mark("Mean work rate per heart beat; it counts the slope.")
        ),
        Explanation(
            "terrain_fair",
            mark("Terrain-fair"),
            mark(
                "A fit of the heart rate to work and slope with its lag: what the same work cost early and "
                "late. Only this row may be compared from one terrain to another. Below it the 95 % "
                "interval."
            ),
            mark(
                "Heart rate = b0 + d time + b1 L(work) + b2 L(climbing) + b3 L(sinking) + a (L200(work) - "
                "L(work)) + error, on means of half a minute. L follows with a delay and a time constant "
                "found in the fit, L200 with one of 200 s: a part of the answer comes slowly. Errors are "
                "remembered for seconds to hours. Decoupling = 100 (1 - early / late), both for the mean "
                "work of the outing. The drift d is given in bpm per hour. After 30 s and more of pause "
                "or gap as much again is left out, at most 3 minutes. Undecided means that the interval "
                "is wider than 8 points: the figure is then no answer, and shown small. Figures kept for "
                "months are computed without what is known of drifts beforehand."
            ),
            mark("A definition of this program, checked against simulated outings of known drift."),
            mark(
                "It needs half an hour of moving with a trusted heart rate. Heat and drink are in the "
                "drift; the fit cannot tell them apart. Of a way up and then down it can tell little: the "
                "cost of ground is known to about a tenth only, and that is part of the interval."
            ),
        ),
        Explanation(
            "terrain_fair.known",
            mark("Known beforehand"),
            mark("What the fit assumes of any heart, before it reads the recording."),
            mark(
                "Mean and standard deviation of each. Time constant 57.6 s, between 38 and 86 s for two in "
                "three; delay 0, 5, 10 or 15 s alike. Drift 3 (3) bpm per hour. Heart rate standing, ten "
                "minutes in, 75 (30) bpm. Work has no assumption of its own. What climbing and sinking "
                "cost beyond the work computed: 0 (12) % of the cost of climbing. Slow part 20 (15) % of "
                "the answer. Added to the interval: 0.3 points, 0.1 for each hour, and 10 % of what ground "
                "moved the heart rate by between the halves."
            ),
            mark(
                "Time constant: Hunt 2015, doi:10.1186/s12938-015-0112-7, 57.6 (23.6) s; delay: Hunt and "
                "Wang 2024, F1000Research 13:894, a first-order answer with a dead time is adequate; slow "
                "part: doi:10.1186/s12938-021-00875-7, two parts fit better than one. Drift: about what "
                "was measured indoors, 2 % in half an hour at 22 °C (Lafrenz 2008, "
                "doi:10.1249/MSS.0b013e3181666ed7) and 9 bpm in two hours (Stevenson 2022, "
                "doi:10.1007/s00421-022-05036-9). All other numbers are choices of this program, made on "
                "simulated outings and checked on others."
            ),
            mark(
                "Who drifts much more than 6 bpm per hour, as in heat (11 % in half an hour at 35 °C), is "
                "read one to two points low by this row."
            ),
        ),
        Explanation(
            "drift_test",
            mark("Drift test"),
            mark("An hour at the upper edge on level ground, judged by its decoupling."),
            mark(
                "When the heart rate drifts little at the upper edge, the edge is taken to be low enough. "
                "The threshold is yours; 5 % is common practice."
            ),
            mark("Common practice, not validated in any study found."),
            mark("Days alone differ by about 4 points: repeat the test before changing the band."),
        ),
    ),
)
