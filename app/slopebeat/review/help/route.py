"""What the figures of a planned route are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.help.explanation import Explanation, Topic

PLANNING = Topic(
    "planning",
    mark("Planning a route"),
    (
        Explanation(
            "plan.time",
            mark("Time on the way"),
            mark("Expected from your own outings, with an interval that holds four of five."),
            mark(
                "400 outings over the way are simulated. Each draws a heart, a speed for each grade, stops "
                "and a daily form from what your earlier outings taught; the median and the middle 80 % "
                "are shown."
            ),
            mark("A definition of this program."),
            mark(
                "Pauses with the timer off, getting lost, weather and the state of the path are not in it. "
                "Leave a reserve; local rules and a guide's advice come first."
            ),
        ),
        Explanation(
            "plan.in_band",
            mark("Minutes in band"),
            mark("Expected as usual, and when the band is held."),
            mark("Holding the band means slowing down where the heart rate would go over its upper edge."),
        ),
        Explanation(
            "plan.hold",
            mark("Speed to hold on a climb"),
            mark(
                "The speed at which the heart rate settles at the one to hold, on the mean grade of the "
                "climb."
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
                "+ 0.05|) km/h."
            ),
            "",
            mark("They know nothing of the athlete, and none of them counts breaks."),
        ),
    ),
)

WAY = Topic(
    "way",
    mark("The table of a planned way"),
    (
        Explanation("way.number", mark("No."), mark("Number on the profile.")),
        Explanation("way.from", mark("From"), mark("Where its foot lies along the way.")),
        Explanation("way.at", mark("At"), mark("When its foot is reached, stops included.")),
        Explanation(
            "way.grade",
            mark("Grade"),
            mark(
                "Gain over length; new where such a grade was not gone before, so that less is known of it."
            ),
        ),
        Explanation("way.gain", mark("Gain"), mark("Elevation from foot to top.")),
        Explanation(
            "way.hold",
            mark("Hold under"),
            mark("Speed at which the heart settles under the band's upper edge, with a margin."),
            mark(
                "The speed on the mean grade of the climb whose steady heart rate is the upper edge less a "
                "margin, at the time its foot is reached, with the drift until then."
            ),
            mark("A definition of this program."),
            mark(
                "“none stays in band”: no speed does in most simulated outings. Never hold a speed "
                "against how you feel."
            ),
        ),
        Explanation("way.hold_between", mark("with the day"), mark("Four days of five lie inside.")),
        Explanation("way.vertical", mark("Vertical"), mark("The same speed as height an hour.")),
        Explanation("way.cost", mark("Holding costs"), mark("More time than going as usual on this climb.")),
        Explanation(
            "way.hr_top",
            mark("HR at the top"),
            mark("Expected at the pace shown; four outings of five lie inside."),
        ),
        Explanation(
            "way.leaves",
            mark("Leaves\nthe band"),
            mark("Share of the simulated outings that go over the band on this climb."),
            mark("An outing leaves the band with an episode of at least 10 s over it."),
            "",
            "",
        ),
        Explanation(
            "pace.total",
            mark("Time in all"),
            mark("Moving and standing with the timer running, median and four of five outings."),
        ),
        Explanation(
            "pace.in_band",
            mark("In band"),
            mark("Time in band of the whole way, median and four of five outings."),
        ),
        Explanation("pace.above", mark("Above it"), mark("Time over the upper edge of the band.")),
        Explanation("pace.below", mark("Below it"), mark("Time under the lower edge of the band.")),
        Explanation(
            "pace.episodes_above", mark("Episodes above"), mark("Stretches of at least 10 s over the band.")
        ),
        Explanation(
            "pace.episodes_below", mark("Episodes below"), mark("Stretches of at least 10 s under the band.")
        ),
        Explanation(
            "pace.target",
            mark("Reach target"),
            mark("Share of the simulated outings that collect the minutes aimed at."),
        ),
        Explanation(
            "pace.more",
            mark("More needed"),
            mark("Time more on such ground until the minutes aimed at are collected."),
        ),
    ),
)
