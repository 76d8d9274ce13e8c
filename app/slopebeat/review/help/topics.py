"""What is explained though it stands in no table of figures: answer, entries and views, months, plans."""

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

MONTHS = Topic(
    "months",
    mark("Months"),
    (
        Explanation(
            "months.weeks",
            mark("Weeks"),
            mark("Minutes in band and sessions per week against what was prescribed."),
            mark(
                "Weeks run from Monday to Sunday (ISO 8601). An outing is a session with at least 20 "
                "minutes in band."
            ),
            PROJECT_CHOICE,
        ),
        Explanation(
            "months.level",
            mark("Heart rate at your usual work"),
            mark("Lower is better: fewer beats for the same work."),
            mark(
                "The heart rate of each outing, one hour in, at the athlete's own usual work rate, from the "
                "fit of the outing; its slopes are drawn towards what all outings of the kind say."
            ),
            mark(
                "A definition of this program. A lower heart rate may also come of tiredness, of illness, of "
                "medicines or of another sensor."
            ),
            mark("Outings of at least 30 minutes with trusted heart rate and a work rate have one."),
        ),
        Explanation(
            "months.drift",
            mark("Drift"),
            mark("Lower is better: the heart rate rises less in an hour of the same work."),
            mark("Each outing's own, from its fit without any expectation of what a drift usually is."),
        ),
        Explanation(
            "months.decoupling",
            mark("Terrain-fair decoupling"),
            mark("Lower is better: the heart rate rises less for the same work."),
            mark("Outings whose interval is wider than 20 points say nothing and are not drawn."),
            PROJECT_CHOICE,
        ),
        Explanation(
            "months.yield",
            mark("Share of time in band"),
            mark("How hard one went decides most of it, then ground and weather: it is not judged."),
        ),
        Explanation(
            "months.verdict",
            mark("What changed"),
            mark(
                "Lower, higher, or no change that can be told, with the interval and what would have shown."
            ),
            mark(
                "One model over all outings of a kind. What is known of each is allowed for: its mean work, "
                "whether a power meter or the model gave it, heat, load and hours. Days differ (Student's "
                "distribution), and fitness wanders for weeks. A lasting change is a line through all "
                "outings, with the wandering as noise; the other question compares the last four weeks with "
                "the first four, wandering included. A change is called only where its 95 % interval leaves "
                "nothing out, and only where it holds without the doubtful outings too."
            ),
            mark(
                "Generalised least squares with restricted likelihood, standard methods; how far days differ "
                "and how long weeks are remembered are choices of this program, measured on two athletes."
            ),
            mark("A change has no cause in it: season, sleep and a new sensor move the figures too."),
        ),
        Explanation(
            "months.left_out",
            mark("Left out"),
            mark("Outings that tell nothing of a change, with the reason."),
            mark(
                "Doubtful outings enter, but a change has to hold without them: those with under 80 % "
                "trusted heart rate, and those far from the others. In the list of outings "
                "you may leave any out of what is learnt."
            ),
            PROJECT_CHOICE,
        ),
    ),
)

PLANNING = Topic(
    "planning",
    mark("Planning a route"),
    (
        Explanation(
            "plan.time",
            mark("Time on the way"),
            mark("Expected from your own outings of the sport, with an interval that holds four of five."),
            mark(
                "How hard you go decides most, so the time is foretold from the mean heart rate, the ground "
                "at your own pace on each grade, and the length: one straight line through your earlier "
                "outings, in which published knowledge stands in where they say little. As usual takes the "
                "mean heart rate of earlier outings, the other plan the one you want to hold. Five outings "
                "of the sport are needed; runs never tell of hikes."
            ),
            mark(
                "A definition of this program; pace uphill follows Minetti 2002 until your outings say "
                "otherwise."
            ),
            mark(
                "Getting lost, weather and the state of the path are not in it; pauses with the timer off "
                "stand apart. On real hikes it could not be checked yet. Leave a reserve; local rules and a "
                "guide's advice come first."
            ),
        ),
        Explanation(
            "plan.in_band",
            mark("Minutes in band"),
            mark("Expected as usual, and with a mean heart rate held."),
            mark(
                "Mean and spread of the heart rate give the share in any band; where the ground explains "
                "the spread, the heart rate foretold along the way moves the middle. Held is the mean, no "
                "cap: on climbs the heart rate still rises over it, and the profile shows where."
            ),
            mark("A definition of this program."),
        ),
        Explanation(
            "plan.hold",
            mark("Speed to hold on a climb"),
            mark(
                "The speed at which the heart rate settles under the band's upper edge, on the mean grade "
                "of the climb."
            ),
            "",
            "",
            mark("On a steep climb there may be none: rest, or expect to go over the band."),
        ),
        Explanation(
            "plan.seen",
            mark("Grades not seen"),
            mark("Parts of the way steeper than anything in your outings; there the plan is a guess."),
        ),
        Explanation(
            "plan.references",
            mark("Walking times"),
            mark("DIN 33466, Naismith and Tobler for the same way, as references."),
            mark(
                "DIN 33466: 4 km/h, 300 m/h up, 500 m/h down, the larger time and half of the smaller. "
                "Naismith 1892: an hour for 5 km and an hour for 600 m up. Tobler 1993: 6 exp(-3.5 |grade "
                "+ 0.05|) km/h. Beside them the rule of thumb: distance + 7 x ascent at the median speed of "
                "your latest 15 outings."
            ),
            "",
            mark("They know nothing of the athlete, and none of them counts breaks."),
        ),
    ),
)
