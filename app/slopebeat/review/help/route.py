"""What the figures of a planned route are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.figure import Explanation, Topic
from slopebeat.review.present.way import WAY_FIGURES

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

WAY = Topic(
    "way",
    mark("The table of a planned way"),
    (
        *WAY_FIGURES,
        Explanation(
            "pace.total",
            mark("Time in all"),
            mark("Moving and standing with the timer running, median and four of five outings."),
        ),
        Explanation(
            "pace.pause",
            mark("Pauses on top"),
            mark("Time with the timer off, as long as in earlier outings; not in the time in all."),
        ),
        Explanation(
            "pace.mean",
            mark("Mean heart rate"),
            mark("Of the whole way; the one that is held lands a few beats off."),
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
            mark("Share of the outings drawn that collect the minutes aimed at."),
        ),
        Explanation(
            "pace.more",
            mark("More needed"),
            mark("Time more on such ground until the minutes aimed at are collected."),
        ),
    ),
)
