"""What the figures of ground gone before are."""

from __future__ import annotations

from slopebeat.model.language import mark
from slopebeat.review.present.figure import PROJECT_CHOICE, Explanation, Topic
from slopebeat.review.present.ground import PASS_FIGURES, PLACE_FIGURES

LEVELS = Explanation(
    "ground.levels",
    mark("Levels of days"),
    mark("How much higher the heart was on a day than it usually is at the same places and speed."),
    mark(
        "The mean over all places gone on the day, each against its own level. The bar is what such a mean "
        "differs by, one standard deviation to each side, where nothing changes: 8 bpm at one place, 4.6 "
        "over five passes, 3.6 over twenty. The sentence sets the later half of the days against the "
        "earlier half."
    ),
    mark("A method of this program; what days differ by was measured on one rider's two years."),
    mark(
        "A heart rate that falls has no cause in it: heat, sleep, a new sensor, wind and company move it, "
        "too. Read it beside the months."
    ),
)

SPLIT = Explanation(
    "ground.split",
    mark("Kept apart"),
    mark("A change of sport or of the source of work splits a place: its two parts are not compared."),
    mark(
        "Bicycles differ in what they roll and how one sits on them; a recording tells them apart only as "
        "far as its sport does."
    ),
)

GONE = Explanation(
    "ground.gone",
    mark("Gone before"),
    mark("Stretches of this way that an earlier outing went over in the same direction."),
    mark(
        "Up to 500 m between two places that one earlier outing went over one after the other count as "
        "gone, too."
    ),
    PROJECT_CHOICE,
)

GROUND = Topic("ground", mark("Same ground"), (*PLACE_FIGURES, *PASS_FIGURES, LEVELS, SPLIT, GONE))
