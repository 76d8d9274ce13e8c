"""What the figures of one outing are: the account, the answer, the causes, the cursor."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.account import YIELD
from slopebeat.review.present.figure import Explanation, Topic

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
                "none of the last 10 means lay in band, nor beyond 8 h or twice the longest outing known."
            ),
            mark(
                "A choice of this program. On 50 rides of one person, each foretold from those before it, "
                "the 80 % interval held 80 % of the shares as usual and 83 % with the mean kept; the ends "
                "of the length lay a factor of 5.0 and of 1.8 apart."
            ),
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
