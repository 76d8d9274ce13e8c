"""What the figures of the library and of months are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Topic

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
