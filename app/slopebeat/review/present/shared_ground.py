"""Two outings lined up by the places both went over: the columns, and what they say together."""

from __future__ import annotations

import numpy as np

from slopebeat.analysis.ground.equal_speed import pass_sd_bpm
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import figure
from slopebeat.model.units import percent
from slopebeat.review.ground.repeated import SharedGround
from slopebeat.review.ground.words import place_name
from slopebeat.review.present import kinds
from slopebeat.review.present.figure import Figure, Topic

LEAST_PLACES = 3
"""Under so many places that can be compared nothing is said of two outings [project choice]."""


SHARED_FIGURES: tuple[Figure, ...] = (
    Figure(
        "shared.number",
        mark("No."),
        mark("Along the later outing."),
        get=lambda i, row: i + 1,
    ),
    Figure(
        "shared.place",
        mark("Place"),
        mark("A climb or stretch of way both outings went over in the same direction."),
        get=lambda i, row: place_name(row.place),
        kind=kinds.WORDS,
    ),
    Figure(
        "shared.earlier_moving",
        mark("Earlier:\nmoving"),
        mark("Time over the place without standing and pauses, on the earlier outing."),
        get=lambda i, row: row.earlier.kept.figures.moving_s,
        kind=kinds.LASTS,
    ),
    Figure(
        "shared.later_moving",
        mark("Later:\nmoving"),
        mark("The same on the later outing."),
        get=lambda i, row: row.later.kept.figures.moving_s,
        kind=kinds.LASTS,
    ),
    Figure(
        "shared.earlier_hr",
        mark("Earlier:\nheart rate"),
        mark("Mean after the first minute, on the earlier outing; never to be read without the time."),
        get=lambda i, row: row.earlier.kept.figures.hr_bpm,
        kind=kinds.BARE_BPM,
    ),
    Figure(
        "shared.later_hr",
        mark("Later:\nheart rate"),
        mark("The same on the later outing."),
        get=lambda i, row: row.later.kept.figures.hr_bpm,
        kind=kinds.BARE_BPM,
    ),
    Figure(
        "shared.difference",
        mark("Later less earlier,\nbpm at equal speed"),
        mark("How much higher the heart was on the later outing, had both gone at the usual speed."),
        mark(
            "One place alone says little. Without figures: the sport or the source of work differs, there "
            "was too little heart rate, or over a tenth of the pass was stood."
        ),
        get=lambda i, row: row.compared_bpm,
        kind=kinds.BARE_BPM,
    ),
)
"""The row is a place of two outings, in the order of the later one."""

SHARED = Topic("shared", mark("Two outings by place"), SHARED_FIGURES)


def shared_sentence(shared: SharedGround) -> str:
    """What both outings say together; empty where they share no ground."""
    if not shared.places:
        return ""
    count = len(shared.places)
    places = trn("{n} place", "{n} places", count).format(n=count)
    text = tr("Both went over {places}, {share} of either way at least.").format(
        places=places, share=percent(shared.share)
    )
    if any(each.earlier.group != each.later.group for each in shared.places):
        apart = tr("Their heart rates are kept apart: the sport or the source of work differs.")
        return f"{text} {apart}"
    differences = [each.compared_bpm for each in shared.places]
    known = np.array([each for each in differences if each is not None])
    if known.size < LEAST_PLACES:
        return text
    # Both days differ, each with its passes.
    sd = pass_sd_bpm(known.size) * np.sqrt(2.0)
    mean = float(known.mean())
    if mean < 0.0:
        beats = tr("At equal speed heart rate was {bpm} bpm lower on the later one; days differ by {sd} bpm.")
    else:
        beats = tr(
            "At equal speed heart rate was {bpm} bpm higher on the later one; days differ by {sd} bpm."
        )
    beats = beats.format(bpm=figure(abs(mean)), sd=figure(float(sd), 1))
    return f"{text} {beats}"
