"""What the figures of the library and of months are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.help.explanation import Explanation, Topic
from slopebeat.review.help.outing import PROJECT_CHOICE

LIBRARY = Topic(
    "library",
    mark("The list of outings"),
    (
        Explanation(
            "list.date", mark("Date"), mark("Local date and time of the start, where the outing was.")
        ),
        Explanation(
            "list.title", mark("Title"), mark("The name the file gives the outing; F2 types another.")
        ),
        Explanation("list.sport", mark("Sport"), mark("As the file says.")),
        Explanation("list.recorded", mark("Recorded"), mark("Without pauses and gaps, h:mm:ss.")),
        Explanation(
            "list.in_band", mark("In band"), mark("Minutes inside the band that was in force on the day.")
        ),
        Explanation("list.band", mark("Band"), mark("The band it was reviewed with.")),
        Explanation(
            "list.terrain",
            mark("Terrain"),
            mark("By the share of moving time on grades over 3 %: gentle under 20 %, steep from 60 %."),
            "",
            PROJECT_CHOICE,
        ),
        Explanation("list.load", mark("Load"), mark("Load carried at the start.")),
        Explanation(
            "list.terrain_fair",
            mark("Terrain-fair\ndecoupling, %"),
            mark(
                "With its 95 % interval, as the outing alone has it: wider than on its page, where what is "
                "known of drifts counts too. The one decoupling row that may be compared across terrain."
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
            "months.decoupling",
            mark("Terrain-fair decoupling"),
            mark("Lower is better: the heart rate rises less for the same work."),
            mark("Outings whose interval is wider than 20 points say nothing and enter no trend."),
            mark(
                "Changes under 4 points are called day-to-day noise: heart rate at equal work differs by "
                "3.0-3.9 % between days (Lamberts 2004, J Strength Cond Res 18:641)."
            ),
        ),
        Explanation(
            "months.speed",
            mark("Flat-equivalent speed at mid-band"),
            mark("Higher is better: more speed for the same heart rate."),
            mark(
                "The level speed, without a load, whose steady heart rate is the middle of the band ten "
                "minutes into the outing, from the fit of the outing. It may be compared across terrain."
            ),
            mark("A definition of this program; the cost of level walking is Looney et al. 2019."),
            mark("It is given only where the outing came near that heart rate."),
        ),
        Explanation(
            "months.yield",
            mark("Share of time in band"),
            mark("It rises with fitness, but ground and weather decide as much."),
        ),
        Explanation(
            "months.verdict",
            mark("Verdict"),
            mark("Better, worse, chance or day-to-day noise, with the numbers."),
            mark(
                "The slope is the median of the slopes of all pairs of outings (Theil, Sen) with its 95 % "
                "interval; p says how often chance alone would order the outings like this (Mann, Kendall; "
                "exact under ten outings). Five outings are the least."
            ),
            mark("Theil 1950, Sen 1968, Mann 1945, Kendall; standard methods."),
            mark(
                "A trend has no cause in it: season, ground, load, sleep and a new sensor all move the "
                "figures."
            ),
        ),
    ),
)
