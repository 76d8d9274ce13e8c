"""The way from above by its state against the band, as shapes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slopebeat.analysis.account.time_account import BandState, band_state
from slopebeat.model.language import tr
from slopebeat.plots.colours import LIGHT
from slopebeat.plots.outing.lines import Places, break_after, extent_m, local_metres, only, round_length
from slopebeat.report.shapes import Anchor, Path, Rect, Shape, Text, size_for
from slopebeat.review.outing import Review

Array = NDArray[np.float64]

INSET, FOOT = 0.08, 16.0
"""Share of the box left free around the way, and room under it for the scale, points."""

BAR_SHARE = 0.4
"""Of the box's width the most that the scale's bar takes [project choice]."""

DRAWN = (
    (BandState.ABOVE, 2.4, False),
    (BandState.NO_HEART_RATE, 0.5, True),
    (BandState.BELOW, 1.0, True),
    (BandState.IN_BAND, 0.9, False),
)
"""From the lowest to the uppermost: above is wide and below is broken, so that it reads without colour."""


def has_way(review: Review) -> bool:
    """Whether there is a way to draw: two positions at least."""
    samples = review.recording.samples
    return int(np.isfinite(samples["lat_deg"] + samples["lon_deg"]).sum()) > 1


def way_chart(box: Rect, review: Review) -> list[Shape]:
    """The way in a box, north up, with its ends, the numbers of its climbs and a scale."""
    samples, track, band = review.recording.samples, review.track, review.aim.band
    east, north = local_metres(samples["lat_deg"], samples["lon_deg"])
    state = np.zeros(len(track), dtype=np.int8) if band is None else band_state(track.hr_bpm, band)
    room = min(box.width, box.height - FOOT) * (1 - 2 * INSET)
    scale = room / extent_m(east, north)
    line = Places(east, north, break_after(track)).line(state)
    x = box.x + box.width / 2 + scale * (east - _middle(east))
    y = box.y + (box.height - FOOT) / 2 - scale * (north - _middle(north))
    drawn_x, drawn_y = x[line.sample], y[line.sample]
    states, line_x, line_y = line.broken(drawn_x, drawn_y)
    shapes: list[Shape] = [box]
    for wanted, width, dashed in DRAWN:
        parts = _parts(only(line_x, states, wanted), line_y)
        if parts:
            shapes.append(Path(parts, _ink(wanted, band is None), width, dashed=dashed))
    shapes += _ends(drawn_x, drawn_y)
    shapes += _climbs(review, x, y)
    return [*shapes, *_scale_bar(box, scale)]


def way_key() -> str:
    """How to read the lines of the way."""
    return "; ".join((tr("wide: above"), tr("thin: in band"), tr("dotted: below")))


def _middle(values: Array) -> float:
    return float(np.nanmin(values) + np.nanmax(values)) / 2


def _ink(state: BandState, no_band: bool) -> str:
    inks = {BandState.ABOVE: LIGHT.above, BandState.IN_BAND: LIGHT.in_band}
    inks |= {BandState.BELOW: LIGHT.below, BandState.NO_HEART_RATE: LIGHT.muted}
    return LIGHT.in_band if no_band else inks[state]


def _parts(x: Array, y: Array) -> tuple[Array, ...]:
    """The unbroken pieces of a line, each (m, 2)."""
    known = np.flatnonzero(np.isfinite(x) & np.isfinite(y))
    pieces = np.split(known, np.flatnonzero(np.diff(known) > 1) + 1)
    return tuple(np.column_stack((x[each], y[each])) for each in pieces if each.size > 1)


def _ends(x: Array, y: Array) -> list[Shape]:
    """A triangle where the way begins, a square where it ends."""
    corners = np.array([[-2.6, 2.4], [2.6, 2.4], [0.0, -3.0], [-2.6, 2.4]])
    triangle = corners + np.array([x[0], y[0]])
    end = Rect(x[-1] - 2.0, y[-1] - 2.0, 4.0, 4.0, LIGHT.panel, LIGHT.ink)
    return [end, Path((triangle,), LIGHT.ink, 0.7, fill=LIGHT.panel)]


def _climbs(review: Review, x: Array, y: Array) -> list[Shape]:
    """The number of each climb beside its foot; one that would touch another is left out."""
    shapes: list[Shape] = []
    taken: list[tuple[float, float]] = []
    for number, climb in enumerate(review.climbs, start=1):
        at = min(int(np.searchsorted(review.track.t_s, climb.start_s)), len(review.track) - 1)
        place = (float(x[at]) + 3.0, float(y[at]) - 3.0)
        if not np.isfinite(place).all() or any(np.hypot(*np.subtract(place, t)) < 8.0 for t in taken):
            continue
        taken.append(place)
        shapes.append(Text(*place, str(number), 6.5, LIGHT.ink, bold=True))
    return shapes


def _scale_bar(box: Rect, scale: float) -> list[Shape]:
    length_m, words = round_length(BAR_SHARE * box.width / scale)
    left, y = box.x + 5.0, box.y + box.height - 4.0
    right = left + length_m * scale
    bar = np.array([[left, y - 2.5], [left, y], [right, y], [right, y - 2.5]])
    north = tr("north is up")
    size = size_for(north, 6.0, (1 - BAR_SHARE) * box.width - 12.0)
    return [
        Path((bar,), LIGHT.muted, 0.6),
        Text(left + 2.0, y - 3.0, words, 6.0, LIGHT.muted),
        Text(box.x + box.width - 4.0, y - 0.5, north, size, LIGHT.muted, Anchor.END),
    ]


def titled_way(box: Rect, review: Review) -> list[Shape]:
    """The plan with its title above and its key below."""
    title = Text(box.x, box.y - 4, tr("Plan of the way"), 7.0, LIGHT.ink, bold=True)
    shapes: list[Shape] = [title, *way_chart(box, review)]
    if review.aim.band is not None:
        words = way_key()
        size = size_for(words, 6.0, box.width)
        shapes.append(Text(box.x, box.y + box.height + 10, words, size, LIGHT.muted))
    return shapes
