"""Heart rate over elevation on one time axis: the picture of an outing."""

from __future__ import annotations

from slopebeat.model.language import tr, trn
from slopebeat.model.units import duration
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.outing.lines import break_after
from slopebeat.report.frame import TICK_SIZE, TIME_WORDS_SHARE, Frame, time_axis
from slopebeat.report.ground_chart import ground_chart, ground_range
from slopebeat.report.heart_chart import heart_chart, heart_range
from slopebeat.report.shapes import PAGE_WIDTH_PT, Anchor, Rect, Scene, Shape, Text, size_for
from slopebeat.review.outing import Review

LEFT_PT, RIGHT_PT, TOP_PT, BETWEEN_PT, BOTTOM_PT = 26.0, 34.0, 12.0, 16.0, 22.0
HEART_SHARE = 0.62
"""Share of the charts' height the heart rate takes [project choice]."""


def outing_chart(
    review: Review, width: float = PAGE_WIDTH_PT, height: float = 190.0, colours: Colours = LIGHT
) -> Scene:
    """The chart of a review, in points."""
    room = height - TOP_PT - BETWEEN_PT - BOTTOM_PT
    inner = width - LEFT_PT - RIGHT_PT
    x_range = (0.0, max(review.recording.span_s, 1.0))
    heart = Frame(LEFT_PT, TOP_PT, inner, room * HEART_SHARE, x_range, heart_range(review))
    top = heart.bottom + BETWEEN_PT
    ground = Frame(LEFT_PT, top, inner, room * (1 - HEART_SHARE), x_range, ground_range(review))
    shapes: list[Shape] = [Rect(0, 0, width, height, colours.panel)]
    shapes += [span for frame in (heart, ground) for span in _idle(frame, review, colours)]
    shapes += heart_chart(heart, review, colours)
    shapes += _idle_names(heart, review, colours)
    shapes += ground_chart(ground, review, colours)
    shapes += [frame.box(stroke=colours.line) for frame in (heart, ground)]
    shapes += time_axis(ground, colours)
    shapes += _key(ground, review, colours)
    return Scene(width, height, tuple(shapes), tr("Heart rate and elevation over time"), _described(review))


def _idle(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """Pauses and gaps shaded."""
    t = review.track.t_s
    return [frame.span(float(t[i]), float(t[i + 1]), colours.idle) for i in break_after(review.track)]


def _idle_names(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """Names of the pauses and gaps that are wide enough to hold one."""
    track = review.track
    shapes: list[Shape] = []
    for i in break_after(track):
        span = frame.span(float(track.t_s[i]), float(track.t_s[i + 1]), None)
        pause, gap = float(track.pause_s[i]), float(track.gap_s[i])
        name = tr("pause {time}") if pause >= gap else tr("gap {time}")
        name = name.format(time=duration(max(pause, gap)))
        if span.width > 4.0 * len(name):
            place = (span.x + span.width / 2, frame.top + 9.0)
            shapes.append(Text(*place, name, TICK_SIZE, colours.muted, Anchor.MIDDLE))
    return shapes


def _key(frame: Frame, review: Review, colours: Colours) -> list[Shape]:
    """What is shaded and hatched, said only where something is."""
    parts = []
    if len(break_after(review.track)):
        parts.append(tr("shaded: timer off or no records"))
    if any(mark.counts for mark in review.marks):
        parts.append(tr("?, hatched at the foot: heart rate in doubt, not counted"))
    words = "; ".join(parts)
    size = size_for(words, 6.0, (0.98 - TIME_WORDS_SHARE) * frame.width)
    return [Text(frame.left, frame.bottom + 19, words, size, colours.muted)] if words else []


def _described(review: Review) -> str:
    names = {"time": duration(review.recording.span_s), "n": len(review.climbs), "band": review.aim.band}
    if review.aim.band is None:
        return trn(
            "Heart rate and elevation over {time}, with {n} climb.",
            "Heart rate and elevation over {time}, with {n} climbs.",
            len(review.climbs),
        ).format(**names)
    return trn(
        "Heart rate against the band {band} and elevation over {time}, with {n} climb.",
        "Heart rate against the band {band} and elevation over {time}, with {n} climbs.",
        len(review.climbs),
    ).format(**names)
