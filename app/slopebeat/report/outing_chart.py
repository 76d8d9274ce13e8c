"""Heart rate, elevation and speed on one time axis, and the way beside them: the picture of an outing."""

from __future__ import annotations

from slopebeat.model.language import tr, trn
from slopebeat.model.units import duration
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.plots.outing.lines import break_after
from slopebeat.report.frame import TICK_SIZE, TIME_WORDS_SHARE, Frame, time_axis
from slopebeat.report.ground_chart import ground_chart, ground_range, speed_chart, speed_range
from slopebeat.report.heart_chart import heart_chart, heart_range
from slopebeat.report.shapes import PAGE_WIDTH_PT, Anchor, Rect, Scene, Shape, Text, size_for
from slopebeat.report.way_chart import has_way, key_words, way_chart
from slopebeat.review.outing import Review

LEFT_PT, RIGHT_PT, TOP_PT, BETWEEN_PT, BOTTOM_PT = 26.0, 34.0, 12.0, 16.0, 22.0
CHART_PT = 225.0
"""Height of the charts where there is room [project choice]."""

HEART_SHARE, GROUND_SHARE = 0.5, 0.27
"""Shares of the charts' height; the speed takes what is left [project choice]."""

WAY_PT = 138.0
"""Width of the way beside the charts [project choice]."""


def outing_chart(
    review: Review, width: float = PAGE_WIDTH_PT, height: float = CHART_PT, colours: Colours = LIGHT
) -> Scene:
    """The charts of a review with the plan of its way, in points."""
    room = height - TOP_PT - 2 * BETWEEN_PT - BOTTOM_PT
    way = WAY_PT if has_way(review) else 0.0
    inner = width - way - LEFT_PT - RIGHT_PT
    x_range = (0.0, max(review.recording.span_s, 1.0))
    heart = Frame(LEFT_PT, TOP_PT, inner, room * HEART_SHARE, x_range, heart_range(review))
    top = heart.bottom + BETWEEN_PT
    ground = Frame(LEFT_PT, top, inner, room * GROUND_SHARE, x_range, ground_range(review))
    top, left = ground.bottom + BETWEEN_PT, 1 - HEART_SHARE - GROUND_SHARE
    speed = Frame(LEFT_PT, top, inner, room * left, x_range, speed_range(review))
    shapes: list[Shape] = [Rect(0, 0, width, height, colours.panel)]
    shapes += [span for frame in (heart, ground, speed) for span in _idle(frame, review, colours)]
    shapes += heart_chart(heart, review, colours)
    shapes += _idle_names(heart, review, colours)
    shapes += ground_chart(ground, review, colours)
    shapes += speed_chart(speed, review, colours)
    shapes += [frame.box(stroke=colours.line) for frame in (heart, ground, speed)]
    shapes += time_axis(speed, colours)
    shapes += _key(speed, review, colours)
    if way:
        box = Rect(width - way, TOP_PT, way, speed.bottom - TOP_PT, None, colours.line)
        shapes += _way(box, review, colours)
    return Scene(
        width, height, tuple(shapes), tr("Heart rate, elevation and speed over time"), _described(review)
    )


def _way(box: Rect, review: Review, colours: Colours) -> list[Shape]:
    """The plan with its title above and its key below."""
    title = Text(box.x, box.y - 4, tr("Plan of the way"), 7.0, colours.ink, bold=True)
    shapes: list[Shape] = [title, *way_chart(box, review, colours)]
    if review.aim.band is not None:
        words = key_words()
        size = size_for(words, 6.0, box.width)
        shapes.append(Text(box.x, box.y + box.height + 10, words, size, colours.muted))
    return shapes


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
            "Heart rate, elevation and speed over {time}, with {n} climb.",
            "Heart rate, elevation and speed over {time}, with {n} climbs.",
            len(review.climbs),
        ).format(**names)
    return trn(
        "Heart rate against the band {band}, elevation and speed over {time}, with {n} climb.",
        "Heart rate against the band {band}, elevation and speed over {time}, with {n} climbs.",
        len(review.climbs),
    ).format(**names)
