"""What the figures of one outing are: the account, the answer, the causes, the cursor."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.help.explanation import Explanation, Topic

PROJECT_CHOICE = mark("A choice of this program; no published value is known.")

ACCOUNT = Topic(
    "account",
    mark("Where the time went"),
    (
        Explanation(
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
            mark(
                "The heart rate follows the work by about a minute, so the first minute of a climb still "
                "counts."
            ),
        ),
        Explanation("above", mark("Above"), mark("Heart rate over the upper edge.")),
        Explanation("below", mark("Below"), mark("Heart rate under the lower edge.")),
        Explanation(
            "no_heart_rate",
            mark("No heart rate"),
            mark("No heart rate that can be used."),
            mark("Recorded time without a heart rate, or with one that is marked as doubtful."),
        ),
        Explanation(
            "sums",
            mark("Span"),
            mark("From the first record to the last; every second is in exactly one part."),
            mark(
                "Span = recorded time + pauses + gaps. Recorded time = moving + standing with the timer "
                "running. A pause is time with the timer off; a gap is time without records."
            ),
        ),
        Explanation(
            "ascent",
            mark("Ascent"),
            mark("Smoothed, counted in steps of 2 m."),
            mark(
                "The elevation is smoothed as far as its noise asks. A rise counts once it exceeds 2 m, so "
                "that the jitter of the sensor is not summed up."
            ),
            PROJECT_CHOICE,
            mark("Every program gets another ascent. The tab on the recording shows it for 1, 2 and 5 m."),
        ),
    ),
)

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
                "on the clock until the target is in band, in spells of 4 minutes. No length is given where "
                "none of the last 10 means lay in band, nor beyond 8 h or twice the longest outing known."
            ),
            mark(
                "A choice of this program. On 47 rides of one person, each foretold from those before it, "
                "the 80 % interval held 79 % of the shares as usual and 77 % with the mean kept; its ends "
                "lay a factor of 5 and of 2 apart."
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
                "Every second that was not in band has exactly one cause. Over the band: drift, when the "
                "fit says that the same work stayed inside early on; else a steep climb, when the minute "
                "before was over 3 %; else a surge. Under the band: stop, warm-up in the first ten "
                "minutes, descent, easy ground, in this order. Without a trusted heart rate: sensor doubt."
            ),
            mark(
                "Answer of the heart to work: time constant of 57.6 s (Hunt 2015, "
                "doi:10.1186/s12938-015-0112-7)."
            ),
            mark("Where nothing could be fitted, drift cannot be told from a surge and is called a surge."),
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
                "rejected."
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
                "rolling, air and inertia, never under zero."
            ),
            mark("Walking: Looney et al. 2019. Running: Minetti et al. 2002. Cycling: Martin et al. 1998."),
            mark(
                "The ground itself is not known: snow, mud, poles and rough paths cost more. Grades beyond "
                "those measured are held at the edge. A pack costs more than its mass alone."
            ),
        ),
    ),
)
