"""What the figures of one outing are: the account, the answer, the causes, the cursor."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.figure import Explanation, Topic

ANSWER = Topic(
    "answer",
    mark("The answer"),
    (
        Explanation(
            "yield",
            mark("Yield"),
            mark("Share of recorded time in band."),
            mark("Yield = time in band / recorded time. Pauses and gaps are in neither."),
            mark("A definition of this program."),
            mark("It belongs to this ground, this band and this day. On other ground it is another one."),
        ),
        Explanation(
            "needed",
            mark("How much longer"),
            mark("Length the next outing needs for the minutes you aim at, with the interval of next times."),
            mark(
                "An outing is summed up by the mean and the spread of its heart rate; the share in band "
                "follows from both. As usual: the mean is foretold from the earlier outings of the sport, "
                "the latest ones counting more. Mean kept: it lands within about 4.5 bpm of the middle of "
                "the band. The spread is that of outings whose work was as uneven. Needed time is the time "
                "on the clock until the target is in band, in spells of 2 minutes. No length is given where "
                "none of the last 10 means lay in band, nor beyond 8 h or twice the longest outing known."
            ),
            mark(
                "A choice of this program. On 50 rides of one person, each foretold from those before it, "
                "the 80 % interval held 78 % of the shares as usual and 80 % with the mean kept; the ends "
                "of the length lay a factor of 4.5 and of 1.8 apart."
            ),
            mark(
                "With fewer than 5 outings of the sport stated assumptions stand in for your own spread. It "
                "takes the next outing to be of the same kind. Longer is not always wise: tiredness, "
                "weather and daylight are not in the figure."
            ),
        ),
        Explanation(
            "causes",
            mark("Why not"),
            mark("Share of the time that did not count."),
            mark(
                "The heart rate is parted into what adds up to it: the usual, drift, what effort off the "
                "usual does to it (standing; what a climb asks even at the slowest reasonable speed; what "
                "was chosen beyond that), and what nothing explains. Every second that was not in band is "
                "named after the part that took it there most; what nothing explains counts half. The usual "
                "is the heart rate at the mean effort on gentle ground, in the tenth minute. Drift is named "
                "only where the 80 % interval of its rate lies over zero. On simulated outings about eight "
                "seconds in ten were named rightly."
            ),
            mark(
                "Answer of the heart to work: time constant of 57.6 s (Hunt 2015, "
                "doi:10.1186/s12938-015-0112-7)."
            ),
            mark(
                "Without a usable fit drift cannot be told from effort. The first minutes of a climb after "
                "a pause may read as more than work explains. How slow is reasonable (5 km/h riding, 2 km/h "
                "or 200 m/h of climbing walking), 3 % for a climb and three minutes for a surge are choices "
                "of this program."
            ),
        ),
    ),
)

CURSOR = Topic(
    "cursor",
    mark("Under the cursor"),
    (
        Explanation("at_time", mark("Time"), mark("Time since the first record, h:mm:ss.")),
        Explanation("at_distance", mark("Distance"), mark("Distance along the ground.")),
        Explanation(
            "at_heart_rate",
            mark("Heart rate"),
            mark("Recorded heart rate; in brackets where it is doubted and not used."),
            mark(
                "Doubted are: changes faster than a heart can (5 bpm in a second), values outside 30 to "
                "230 bpm, stretches frozen for a minute while the work changed, drop-outs, a heart rate "
                "that follows the step rate, and the first record after a restart. Each mark can be "
                "rejected. "
                "Doubted beside the work, for a minute at least: under 100 bpm at 140 steps a minute, 40 bpm "
                "under or 30 over the outing's own line on a run, changes of 2.5 bpm a second on average, "
                "and of a jump of 25 bpm in 10 s the side further from the line. Where a library holds "
                "earlier outings on foot or with recorded power: the larger of 15 bpm and 3 standard "
                "deviations below what they foretell, of 25 bpm and 4 above, never beyond the work, climbs "
                "and hours they held. These limits are this project's choice, made on runs with hand "
                "labels: 9 of 10 stretches marked were wrong there, and 1 of 10 wrong minutes was marked."
            ),
            mark(
                "Wrist sensors were off by 13 % on trails, a chest strap by 2 % "
                "(doi:10.1371/journal.pone.0238569)."
            ),
        ),
        Explanation(
            "at_band",
            mark("Band"),
            mark("Where the heart rate lies; both edges of the band count as in band."),
        ),
        Explanation("at_elevation", mark("Elevation"), mark("Smoothed elevation.")),
        Explanation(
            "at_grade",
            mark("Grade"),
            mark("Rise over run of the smoothed track; none while standing."),
            mark("Grade = climbing speed / speed over ground, smoothed over 15 m of way: 0.10 is 10 %."),
        ),
        Explanation("at_speed", mark("Speed"), mark("Smoothed speed over ground.")),
        Explanation("at_vertical", mark("Vertical"), mark("Vertical speed, from the smoothed elevation.")),
        Explanation(
            "work_rate",
            mark("Work"),
            mark(
                "Estimated work rate per kilogram of body mass, from grade and speed (on a bike: recorded "
                "power where there is any)."
            ),
            mark(
                "On foot: the published energy cost of walking on grades, from the speed of running on "
                "that of running; a load counts like body mass. On a bike: recorded power, else slope, "
                "rolling, air and inertia, never under zero; road riding with a drag area of 0.32 m² and "
                "rolling of 0.006, forest roads and trails with 0.45 m² and 0.015, told by the file's "
                "words, else by a usual speed over or under 18 km/h. Work of over 25 W/kg on foot or 12 on a "
                "bike for a minute, climbing over 2,100 m an hour, or over 1,000 with a heart rate under "
                "100 bpm, and a motor's help are doubts: such work counts as unknown."
            ),
            mark("Walking: Looney et al. 2019. Running: Minetti et al. 2002. Cycling: Martin et al. 1998."),
            mark(
                "The ground itself is not known: snow, mud, poles and rough paths cost more. Grades beyond "
                "those measured are held at the edge. A pack costs more than its mass alone. Modelled power "
                "of rides differs from a meter's by a quarter and more, so both are never set on one scale."
            ),
        ),
    ),
)
