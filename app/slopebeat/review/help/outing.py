"""What the figures of one outing are: the account, the answer, the causes, the cursor."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.account import YIELD
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Topic

ENTERED = Topic(
    "entered",
    mark("What is entered, and the views"),
    (
        Explanation(
            "start",
            mark("Start"),
            mark("Date and time of the first record."),
            mark(
                "In local time where the file holds the offset from UTC, or where you gave one; else in UTC."
            ),
        ),
        Explanation(
            "sport",
            mark("Sport"),
            mark("What was done; it decides how work is computed."),
            mark(
                "As the file says, or as you put it right under Recording; a guess from speed is called one."
            ),
        ),
        Explanation(
            "band",
            mark("Heart-rate band"),
            mark("Heart rates that count, both edges inside."),
            mark(
                "Found by the method chosen and rounded outward to whole beats: 60-70 % of a maximum of 187 "
                "bpm is 112.2-130.9, so 112-131. Methods disagree; a maximum by age errs by 10-12 bpm."
            ),
            mark("Shares of the maximum are common practice; reserve after Karvonen."),
        ),
        Explanation(
            "target",
            mark("Target in band"),
            mark("Minutes in band prescribed for one session."),
        ),
        Explanation(
            "masses",
            mark("Masses"),
            mark("Work rates are per kilogram of body mass."),
            mark(
                "A load counts with the body in the cost of walking and riding, the bike only on a bike. "
                "Work under a load is an underestimate for packs. A load set down counts up to then."
            ),
        ),
        Explanation(
            "fitted",
            mark("Fitted line"),
            mark("Heart rate as expected from work, slope and drift, with its lag."),
        ),
        Explanation(
            "residual",
            mark("Unexplained"),
            mark("Recorded heart rate less the fitted one: what work, slope and drift do not explain."),
        ),
        Explanation(
            "plan_view",
            mark("Track"),
            mark("The way from above, north up: wide above the band, thin in it, dotted below."),
            mark(
                "A ring marks the start, a square the end, arrows the direction; numbers along it are the "
                "distance, those in dark fields the climbs. "
                "Behind it, as you choose: your own outings here as trails (the latest 60), hills of an "
                "elevation file (HGT or GeoTIFF in degrees) and a map of an MBTiles file, all of your own; "
                "no network is used."
            ),
        ),
        Explanation(
            "doubts",
            mark("Doubted stretches"),
            mark(
                "Heart rate that is not trusted, and why; it counts for nothing until you use it after all."
            ),
        ),
        Explanation(
            "notes",
            mark("Notes"),
            mark("What you wrote to a moment, a stretch or the outing; some kinds change what is computed."),
        ),
    ),
)

ANSWER = Topic(
    "answer",
    mark("The answer"),
    (
        YIELD,
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
                "none of the last 10 means lay in band, nor beyond 8 h or twice the longest outing known. "
                "The interval should hold 80 % of next times."
            ),
            PROJECT_CHOICE,
            mark(
                "With fewer than 5 outings of the sport stated assumptions stand in for your own spread. It "
                "takes the next outing to be as uneven as this one. Longer is not always wise: tiredness, "
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
                "only where the 80 % interval of its rate lies over zero."
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
