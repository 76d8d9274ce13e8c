"""Where the time went, as bars: the parts of the span, and the causes of what did not count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slopebeat.analysis.account.causes import Causes
from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.model.language import tr
from slopebeat.model.units import clock, duration, minutes_seconds, percent, whole_minutes
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.report.shapes import PAGE_WIDTH_PT, Anchor, Hatch, Rect, Scene, Shape, Text, hatch, size_for
from slopebeat.review.day.rows import BETWEEN
from slopebeat.review.present.account import GAP, AccountPart, parts_of
from slopebeat.review.words.causes import meaning_of, side_of
from slopebeat.review.words.names import key_name

STOP_SHARE = 0.42
"""Standing time is drawn this much lower than moving time [project choice]."""

SMALLEST_SHARE = 0.005
"""Causes of a smaller share of the lost time are left out of the picture [project choice]."""


@dataclass(frozen=True)
class FillStyle:
    """Fill, ink and hatch, which always go together."""

    fill: str
    ink: str
    hatch: Hatch

    def drawn(self, box: Rect) -> list[Shape]:
        """The box filled and hatched."""
        filled = Rect(box.x, box.y, box.width, box.height, self.fill)
        return [filled, *hatch(box, self.hatch, self.ink)]


def fill_style(state: BandState | None, colours: Colours) -> FillStyle:
    """The look of a side of the band; None is time that was not recorded."""
    return {
        BandState.IN_BAND: FillStyle(colours.in_band, colours.in_band, Hatch.NONE),
        BandState.ABOVE: FillStyle(colours.above_fill, colours.above, Hatch.FALLING),
        BandState.BELOW: FillStyle(colours.below_fill, colours.below, Hatch.RISING),
        BandState.NO_HEART_RATE: FillStyle(colours.panel, colours.doubt, Hatch.CROSSED),
        None: FillStyle(colours.idle, colours.doubt, Hatch.NONE),
    }[state]


def look_of(part: AccountPart, colours: Colours) -> FillStyle:
    """The look of a part of the span."""
    if part.figure is GAP:
        return FillStyle(colours.idle, colours.doubt, Hatch.CROSSED)
    if part.figure is BETWEEN:
        return FillStyle(colours.panel, colours.doubt, Hatch.NONE)
    return fill_style(part.state, colours)


@dataclass(frozen=True)
class Piece:
    """A piece of the stacked bar: the standing or the moving time of a part, and where it lies."""

    part: AccountPart
    standing: bool
    box: Rect


def bar_pieces(parts: Sequence[AccountPart], width: float, height: float) -> list[Piece]:
    """The stacked bar: full height while moving, lower while standing."""
    pieces: list[Piece] = []
    x, total = 0.0, max(sum(part.seconds for part in parts), 1e-9)
    for part in parts:
        for standing, seconds in ((False, part.moving_s), (True, part.stopped_s)):
            if seconds > 0.0:
                share, length = STOP_SHARE if standing else 1.0, seconds / total * width
                pieces.append(Piece(part, standing, Rect(x, height * (1 - share), length, height * share)))
                x += length
    return pieces


def account_bar(account: TimeAccount, width: float = PAGE_WIDTH_PT) -> Scene:
    """The stacked bar of the whole span with its key; standing time is drawn lower."""
    return parts_bar(parts_of(account), width)


def parts_bar(parts: list[AccountPart], width: float = PAGE_WIDTH_PT) -> Scene:
    """The stacked bar of these parts with its key."""
    bar, height = 15.0, 43.0
    shapes: list[Shape] = [Rect(0, 0, width, height, LIGHT.panel)]
    shapes += [
        shape
        for piece in bar_pieces(parts, width, bar)
        for shape in look_of(piece.part, LIGHT).drawn(piece.box)
    ]
    shapes += _key(parts, bar + 11.0, width)
    words = ", ".join(f"{p.name} {duration(p.seconds)}" for p in parts if p.seconds > 0)
    described = tr("Time account: {parts}.").format(parts=words)
    return Scene(width, height, tuple(shapes), tr("Where the time went"), described)


def _key(parts: list[AccountPart], y: float, width: float) -> list[Shape]:
    """Swatch, name, time to the second, and how much of it was standing."""
    shown = [part for part in parts if part.seconds > 0.0]
    step = width / max(len(shown), 4)
    shapes: list[Shape] = []
    for i, part in enumerate(shown):
        x = i * step
        swatch = Rect(x, y - 6.5, 8.0, 8.0)
        shapes += look_of(part, LIGHT).drawn(swatch)
        shapes.append(Rect(swatch.x, swatch.y, 8.0, 8.0, None, LIGHT.doubt, 0.4))
        share = f", {percent(part.share)}" if part.share is not None else ""
        size = size_for(part.name, 7.0, step - 14.0)
        shapes.append(Text(x + 11.0, y, part.name, size, LIGHT.ink, bold=True))
        shapes.append(Text(x + 11.0, y + 8.5, f"{clock(part.seconds)}{share}", 7.0, LIGHT.ink))
        if part.stopped_s >= 1.0:
            standing = tr("{time} of it standing").format(time=minutes_seconds(part.stopped_s))
            size = size_for(standing, 6.0, step - 14.0)
            shapes.append(Text(x + 11.0, y + 16.0, standing, size, LIGHT.muted))
    return shapes


def cause_bars(causes: Causes) -> Scene:
    """One row per cause that took time: name, bar, minutes, share, and what the word means."""
    line, name_to, bar_to, minutes_to, share_to = 11.0, 62.0, 172.0, 208.0, 236.0
    total = sum(causes.seconds.values())
    taken = [(c, s) for c, s in causes.seconds.items() if s >= SMALLEST_SHARE * total and s > 0.0]
    longest = max((seconds for _, seconds in taken), default=1.0)
    minutes = whole_minutes([seconds for _, seconds in taken])
    shapes: list[Shape] = []
    for row, ((cause, seconds), whole) in enumerate(zip(taken, minutes, strict=True)):
        y = row * line + 8.0
        bar = Rect(name_to, y - 6.5, max(0.8, seconds / longest * (bar_to - name_to)), 8.0)
        name, means = key_name(cause), meaning_of(cause)
        shapes.append(Text(0.0, y, name, size_for(name, 7.0, name_to), LIGHT.ink))
        shapes += fill_style(side_of(cause), LIGHT).drawn(bar)
        shapes.append(Text(minutes_to, y, f"{whole} min", 7.0, LIGHT.ink, Anchor.END))
        shapes.append(Text(share_to, y, percent(seconds / total), 7.0, LIGHT.muted, Anchor.END))
        size = size_for(means, 6.5, PAGE_WIDTH_PT - share_to - 10.0)
        shapes.append(Text(share_to + 10.0, y, means, size, LIGHT.muted))
    height = max(len(taken), 1) * line + 1.0
    ground = Rect(0, 0, PAGE_WIDTH_PT, height, LIGHT.panel)
    words = ", ".join(f"{key_name(cause)} {duration(seconds)}" for cause, seconds in taken) or tr("nothing")
    described = tr("Time out of band: {causes}.").format(causes=words)
    return Scene(PAGE_WIDTH_PT, height, (ground, *shapes), tr("Why time did not count"), described)
