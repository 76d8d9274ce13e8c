"""What ground costs as a picture: on each kind of ground a bar as usually gone and one with the mean kept."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.price.draws import INTERVAL_LEVEL, Middle
from slopebeat.analysis.price.grounds import PricedGround
from slopebeat.analysis.price.next_outing import LONGEST_S
from slopebeat.model.language import tr, trn
from slopebeat.model.units import duration, percent
from slopebeat.plots.colours import LIGHT, Colours
from slopebeat.report.bars import FillStyle
from slopebeat.report.frame import TICK_SIZE, TIME_STEPS_S, Frame, ticks
from slopebeat.report.shapes import (
    PAGE_WIDTH_PT,
    Anchor,
    Hatch,
    Path,
    Rect,
    Scene,
    Shape,
    Text,
    size_for,
)
from slopebeat.review.months.changes import group_words
from slopebeat.review.present.price import AIMED, AS_USUAL, no_length_words
from slopebeat.review.price.grounds import Price, SportPrice
from slopebeat.review.price.words import kind_words

HEAD_PT, ROW_PT, BAR_PT, KEY_PT, FOOT_PT = 16.0, 25.0, 8.0, 16.0, 32.0
"""Heights of a sport's name, a row of two bars, a bar, the key above and the axis below [project choice]."""

NAMES_PT, LENGTH_PT = 104.0, 64.0
"""Room for names to the left, and for the two lengths to the right."""

BEYOND = 1.15
"""The axis goes so far past the longest kept length and the longest middle as usual; open ends are cut there
[project choice]: a few long tails must not press all else together."""


@dataclass(frozen=True)
class _AnswerRow:
    """One of the two ways to go: which answer, how its bar looks, and where it lies in its row."""

    name: str
    answer: str
    look: FillStyle
    top: float


def price_chart(price: Price, width: float = PAGE_WIDTH_PT, colours: Colours = LIGHT) -> Scene:
    """The picture; height as the rows need."""
    ways = (
        _AnswerRow(
            tr(AS_USUAL.name), "as_usual", FillStyle(colours.selected, colours.accent, Hatch.RISING), 2.0
        ),
        _AnswerRow(
            " ".join(tr(AIMED.name).split()),
            "aimed",
            FillStyle(colours.in_band, colours.in_band, Hatch.NONE),
            12.5,
        ),
    )
    sports = [sport for sport in price.sports if sport.rows]
    rows = sum(len(sport.rows) for sport in sports)
    body = HEAD_PT * len(sports) + ROW_PT * rows
    frame = Frame(NAMES_PT, KEY_PT, width - NAMES_PT - LENGTH_PT, body, (0.0, _furthest(price)), (0.0, 1.0))
    height = KEY_PT + body + FOOT_PT
    shapes: list[Shape] = [Rect(0, 0, width, height, colours.panel), *_key(ways, width, colours)]
    shapes += _axis(frame, price.target_s, colours)
    y = KEY_PT
    for sport in sports:
        shapes.append(Text(0.0, y + 11.0, group_words(sport.sport), 7.5, colours.ink, bold=True))
        y += HEAD_PT
        for row in sport.rows:
            shapes += _row(frame, row, ways, y, width, colours)
            y += ROW_PT
    title = tr("Time on the clock for {target} in band").format(target=duration(price.target_s))
    return Scene(width, height, tuple(shapes), title, _described(sports))


def _furthest(price: Price) -> float:
    ends = [price.target_s]
    for row in price.rows:
        usual, aimed = row.answers.as_usual.needed_s, row.answers.aimed.needed_s
        ends += [] if usual is None else [usual.middle]
        ends += [] if aimed is None else [aimed.high]
    return min(BEYOND * max(ends), LONGEST_S)


def _key(ways: tuple[_AnswerRow, ...], width: float, colours: Colours) -> list[Shape]:
    shapes: list[Shape] = []
    left = min(NAMES_PT, 0.2 * width)
    step = (width - left) / len(ways)
    for number, way in enumerate(ways):
        x = left + number * step
        swatch = Rect(x, 1.0, 14.0, 7.0)
        shapes += way.look.drawn(swatch)
        shapes.append(Rect(x, 1.0, 14.0, 7.0, None, colours.doubt, 0.4))
        shapes.append(Text(x + 18.0, 7.3, way.name, size_for(way.name, 7.0, step - 22.0), colours.ink))
    return shapes


def _axis(frame: Frame, target_s: float, colours: Colours) -> list[Shape]:
    """Hours and minutes under the bars, and a dashed line where every minute would count."""
    end = frame.x_range[1]
    step = next((s for s in TIME_STEPS_S if end / s <= max(frame.width / 42.0, 2.0)), TIME_STEPS_S[-1])
    shapes: list[Shape] = []
    for value in ticks(0.0, end, step):
        x = float(frame.x(value))
        shapes.append(Path((frame.upright(x),), stroke=colours.grid, width=0.5))
        words = f"{round(value / 60) // 60}:{round(value / 60) % 60:02d}"
        shapes.append(Text(x, frame.bottom + 9.0, words, TICK_SIZE, colours.muted, Anchor.MIDDLE))
    target = frame.upright(float(frame.x(target_s)))
    shapes.append(Path((target,), stroke=colours.ink, width=0.8, dashed=True))
    lines = (
        tr("h:min on the clock; dashed: if every minute counted"),
        tr("bars should hold {level} of next times, marks are the middle").format(
            level=percent(INTERVAL_LEVEL)
        ),
    )
    for number, words in enumerate(lines):
        size = size_for(words, 6.5, frame.right)
        y = frame.bottom + 18.0 + 8.0 * number
        shapes.append(Text(frame.right, y, words, size, colours.muted, Anchor.END))
    return shapes


def _row(
    frame: Frame, row: PricedGround, ways: tuple[_AnswerRow, ...], y: float, width: float, colours: Colours
) -> list[Shape]:
    count = trn("{n} outing", "{n} outings", row.outings).format(n=row.outings)
    name = kind_words(row)
    shapes: list[Shape] = [
        Text(8.0, y + 9.0, name, size_for(name, 7.0, NAMES_PT - 14.0), colours.ink),
        Text(8.0, y + 18.0, count, 6.0, colours.muted),
    ]
    for way in ways:
        answer, top = getattr(row.answers, way.answer), y + way.top
        if answer.needed_s is None:
            words = no_length_words(answer)
            shapes.append(Text(frame.left + 4.0, top + 6.5, words, 6.5, colours.muted))
            continue
        shapes += _bar(frame, answer.needed_s, way.look, top, colours)
        middle = duration(answer.needed_s.middle)
        shapes.append(Text(width, top + 6.8, middle, 7.0, colours.ink, Anchor.END, bold=way is ways[-1]))
    return shapes


def _bar(frame: Frame, middle: Middle, look: FillStyle, top: float, colours: Colours) -> list[Shape]:
    """From end to end of the interval, with its middle; an end beyond the axis is open, as an arrow."""
    left, right = float(frame.x(middle.low)), min(float(frame.x(middle.high)), frame.right)
    box = Rect(left, top, max(right - left, 1.0), BAR_PT)
    shapes = [*look.drawn(box), Rect(box.x, box.y, box.width, box.height, None, look.ink, 0.5)]
    if middle.high > frame.x_range[1]:
        tip = np.array([[right, top], [right + 5.0, top + BAR_PT / 2], [right, top + BAR_PT]])
        shapes.append(Path((tip,), fill=look.ink))
    x = min(float(frame.x(middle.middle)), frame.right)
    shapes.append(Rect(x - 1.6, top - 1.5, 3.2, BAR_PT + 3.0, colours.panel, colours.ink, 0.7))
    return shapes


def _described(sports: list[SportPrice]) -> str:
    parts = []
    for sport in sports:
        for row in sport.rows:
            aimed = row.answers.aimed
            words = no_length_words(aimed) if aimed.needed_s is None else duration(aimed.needed_s.middle)
            parts.append(f"{group_words(sport.sport)}, {kind_words(row)}: {words}")
    return "; ".join(parts)
