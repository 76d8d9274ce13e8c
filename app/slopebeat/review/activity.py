"""What was done, in words."""

from __future__ import annotations

from slopebeat.analysis.activity import Activity, Recognised
from slopebeat.model.language import mark, tr

NAMES = {
    Activity.WALK: mark("walk or hike"),
    Activity.RUN: mark("run"),
    Activity.MIXED: mark("partly walked, partly run"),
    Activity.RIDE: mark("ride"),
    Activity.ELECTRIC: mark("ride with a motor"),
    Activity.LIFTS: mark("descents after lifts"),
    Activity.SKIING: mark("skiing"),
    Activity.SWIMMING: mark("swimming"),
    Activity.STRENGTH: mark("strength work"),
    Activity.TREADMILL: mark("treadmill"),
    Activity.HEART_ONLY: mark("heart rate and time alone"),
    Activity.FRAGMENT: mark("too little to tell"),
    Activity.OTHER: mark("neither on foot nor on a bike"),
}
"""By key, as said on screen."""


def activity_sentences(told: Recognised, has_work: bool) -> tuple[str, ...]:
    """What has to be said of what was done: that the file says something else, and what follows from it."""
    name = tr(NAMES[told.kind])
    if told.contradicts and told.said is not None:
        sentence = tr(
            "The file says {said}, but by speed, steps and climbing it was: {name}. Put the sport right "
            "under Recording where this is wrong."
        )
        return (sentence.format(said=tr(NAMES[told.said]), name=name),)
    if told.kind is Activity.TREADMILL and not has_work:
        return (
            tr("On a treadmill there is no ground to tell work from; its grade can be declared in a note."),
        )
    if not told.kind.has_work and told.kind is not Activity.OTHER:
        sentence = tr(
            "What was done: {name}. Time and heart rate count; there is no work rate to set them by."
        )
        return (sentence.format(name=name),)
    return ()
