"""A plan on one small page for the field: what to hold on each climb, when to be where, when to turn back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slopebeat.analysis.route.plan import INTERVAL_LEVEL, PlannedClimb, RoutePlan, Strategy, StrategyName
from slopebeat.model.language import mark, tr, trn
from slopebeat.model.measures import GROUND, HEIGHT, SPEED, VERTICAL_SPEED, figure
from slopebeat.model.numerics import true_runs
from slopebeat.model.units import duration, hours_minutes, percent
from slopebeat.plots.colours import LIGHT
from slopebeat.report.frame import Frame
from slopebeat.report.shapes import Anchor, Hatch, Path, Rect, Scene, Shape, Text, hatch
from slopebeat.report.sheet import wrapped
from slopebeat.report.words import one_line
from slopebeat.review.planning.words import PLAN_CAUTIONS, span

A6_PT, A5_PT = (297.64, 419.53), (419.53, 595.28)
"""ISO 216 sizes 105 x 148 mm and 148 x 210 mm."""

LADDER = ((A6_PT, 1.22), (A6_PT, 1.1), (A6_PT, 1.0), (A5_PT, 1.3), (A5_PT, 1.15), (A5_PT, 1.0))
"""Paper and letters, from the handiest down: the first that holds everything is taken [project choice]."""

MARGIN_PT = 14.0
SIZE, SMALL, LARGE = 7.6, 6.6, 11.0
"""Sizes of letters [project choice]: read at arm's length, outdoors."""

ROW_PT, LINE_PT = 13.0, 1.25
"""Height of a row of the table, and of a line as a share of its letters."""

PROFILE_PT = 58.0
LONGEST_TITLE = 60

INK, MUTED = "#000000", "#3a3f45"
"""Black on white: a wet card in the sun has no room for greys."""

COLUMNS = (
    (mark("Climb"), 0.00, Anchor.START),
    (mark("foot at"), 0.43, Anchor.END),
    (mark("after"), 0.55, Anchor.END),
    (mark("top after"), 0.70, Anchor.END),
    (mark("hold under"), 0.87, Anchor.END),
    (mark("rise"), 1.00, Anchor.END),
)
"""Names, and where each ends (or starts) as a share of the width."""


@dataclass
class _Sheet:
    """What is laid down so far; ``y`` is where the next line begins."""

    width: float
    height: float
    shapes: list[Shape]
    scale: float = 1.0
    y: float = MARGIN_PT

    @property
    def inner(self) -> float:
        return self.width - 2 * MARGIN_PT

    def write(self, text: str, size: float, bold: bool = False, colour: str = INK) -> None:
        """A paragraph over the whole width."""
        from slopebeat.report.paint import text_width

        size *= self.scale
        for line in wrapped(text, self.inner, size, bold, text_width):
            self.y += size * LINE_PT
            self.shapes.append(Text(MARGIN_PT, self.y - 0.25 * size, line, size, colour, bold=bold))

    def rule(self) -> None:
        self.y += 4.0
        ends = np.array([[MARGIN_PT, self.y], [self.width - MARGIN_PT, self.y]])
        self.shapes.append(Path((ends,), stroke=INK, width=0.6))
        self.y += 2.0


def pocket_card(plan: RoutePlan, pace: StrategyName = StrategyName.HOLD) -> Scene:
    """The card as one page: A6, or A5 where the climbs need it; of more climbs than fit the largest stay."""
    from slopebeat.report.paint import application

    application()
    for size, scale in LADDER:
        scene, fits = _card(plan, pace, size, scale, list(range(len(plan.climbs))))
        if fits:
            return scene
    largest = sorted(range(len(plan.climbs)), key=lambda i: -plan.climbs[i].gain_m)
    for count in range(len(largest) - 1, -1, -1):
        scene, fits = _card(plan, pace, A5_PT, 1.0, sorted(largest[:count]))
        if fits:
            break
    return scene


def card_pdf(plan: RoutePlan, pace: StrategyName = StrategyName.HOLD) -> bytes:
    """The card as the content of a PDF."""
    from slopebeat.report import pictures

    return pictures.pdf(pocket_card(plan, pace))


def _card(
    plan: RoutePlan, pace: StrategyName, size: tuple[float, float], scale: float, shown: Sequence[int]
) -> tuple[Scene, bool]:
    strategy = plan.usual if pace is StrategyName.USUAL else plan.hold
    sheet = _Sheet(*size, [Rect(0, 0, *size, fill="#ffffff")], scale)
    title = one_line(plan.title, LONGEST_TITLE) or tr("Route")
    sheet.write(title, LARGE, bold=True)
    sheet.write(_facts(plan), SMALL, colour=MUTED)
    sheet.write(_band_line(plan, strategy), SIZE + 1.4, bold=True)
    sheet.write(_times_line(plan, strategy), SIZE)
    _profile(sheet, plan, strategy)
    _table(sheet, plan, pace, shown)
    hidden = len(plan.climbs) - len(shown)
    if hidden:
        more = trn(
            "{n} smaller climb is not on this card.", "{n} smaller climbs are not on this card.", hidden
        )
        sheet.write(more.format(n=hidden), SMALL)
    _turn_back(sheet)
    for caution in PLAN_CAUTIONS:
        sheet.write(tr(caution), SMALL)
    scene = Scene(*size, tuple(sheet.shapes), title, tr("A plan for the field, on one page"))
    return scene, sheet.y <= size[1] - MARGIN_PT


def _facts(plan: RoutePlan) -> str:
    parts = [tr("on a bike") if plan.on_bike else tr("on foot"), GROUND.text(plan.ground.length_m, 1)]
    if plan.ascent_m is not None:
        heights = tr("{up} up, {down} down")
        parts.append(heights.format(up=HEIGHT.text(plan.ascent_m), down=HEIGHT.text(plan.descent_m)))
    learnt = trn("learnt from {n} outing", "learnt from {n} outings", plan.outing_count)
    parts.append(learnt.format(n=plan.outing_count))
    return "  ·  ".join(parts)


def _band_line(plan: RoutePlan, strategy: Strategy) -> str:
    band = {"low": figure(plan.band.lower_bpm), "high": figure(plan.band.upper_bpm)}
    if strategy.hold_bpm is None:
        return tr("Band {low} to {high} bpm, going as usual").format(**band)
    hold = figure(strategy.hold_bpm)
    return tr("Band {low} to {high} bpm: hold {hold} bpm in the mean").format(hold=hold, **band)


def _times_line(plan: RoutePlan, strategy: Strategy) -> str:
    text = tr(
        "{total} without pauses, {inside} in band; {level} of outings lie in the brackets. Light, food and "
        "water for {longest} and a reserve."
    )
    return text.format(
        total=span(strategy.total_s),
        inside=span(strategy.in_band_s),
        level=percent(INTERVAL_LEVEL),
        longest=duration(max(each.total_s.high + each.pause_s.high for each in plan.strategies)),
    )


def _profile(sheet: _Sheet, plan: RoutePlan, strategy: Strategy) -> None:
    """The way in outline; hatched where the heart is likeliest above the band, with the climbs' numbers."""
    course = strategy.course
    low, high = float(course.elevation_m.min()), float(course.elevation_m.max())
    frame = Frame(
        MARGIN_PT,
        sheet.y + 14.0,
        sheet.inner,
        PROFILE_PT - 14.0,
        (0.0, plan.ground.length_m),
        (low - 1.0, max(high, low + 60.0)),
    )
    x, y = frame.x(course.distance_m), frame.y(course.elevation_m)
    outline = np.column_stack([x, y])
    closed = np.vstack([outline, [[frame.right, frame.bottom], [frame.left, frame.bottom]]])
    sheet.shapes.append(Path((closed,), fill=LIGHT.ground_fill))
    above = true_runs(course.state == 1)
    for first, last in above:
        left, right = float(x[first]), float(x[min(last, x.size - 1)])
        strip = Rect(left, frame.bottom - 7.0, max(right - left, 1.0), 7.0, fill="#ffffff", stroke=INK)
        sheet.shapes += [strip, *hatch(strip, Hatch.FALLING, INK, 2.6)]
    sheet.shapes.append(Path((outline,), stroke=INK, width=0.9))
    for number, climb in enumerate(plan.climbs, start=1):
        place = float(frame.x(0.5 * (climb.start_m + climb.end_m)))
        sheet.shapes.append(Text(place, frame.top - 3.0, str(number), SIZE, INK, Anchor.MIDDLE, bold=True))
    sheet.y += PROFILE_PT
    if above:
        sheet.write(tr("Hatched: likely above the band."), SMALL, colour=MUTED)


def _table(sheet: _Sheet, plan: RoutePlan, pace: StrategyName, shown: Sequence[int]) -> None:
    sheet.rule()
    sheet.y += SMALL * sheet.scale * LINE_PT
    _row(sheet, [tr(name) for name, _, _ in COLUMNS], SMALL, False, MUTED)
    units = ["", GROUND.unit, "h:min", "h:min", SPEED.unit, VERTICAL_SPEED.unit]
    sheet.y += SMALL * sheet.scale * LINE_PT
    _row(sheet, units, SMALL, False, MUTED)
    for index in shown:
        sheet.y += ROW_PT * sheet.scale
        _row(sheet, _cells(index + 1, plan.climbs[index], pace), SIZE, True, INK)
    if any(not plan.climbs[index].seen for index in shown):
        sheet.y += 2.0
        sheet.write(tr("?: such a grade was not gone before; less certain."), SMALL)
    if not plan.climbs:
        sheet.write(tr("No climb to hold back on."), SIZE)
    sheet.rule()


def _row(sheet: _Sheet, cells: Sequence[str], size: float, bold: bool, ink: str) -> None:
    for text, (_, share, anchor) in zip(cells, COLUMNS, strict=True):
        sheet.shapes.append(
            Text(MARGIN_PT + share * sheet.inner, sheet.y, text, size * sheet.scale, ink, anchor, bold=bold)
        )


def _cells(number: int, climb: PlannedClimb, pace: StrategyName) -> list[str]:
    course = climb.usual if pace is StrategyName.USUAL else climb.held
    flag = "" if climb.seen else " ?"
    if climb.too_steep:
        hold, rise = tr("rest often"), tr("over band")
    elif climb.holdable is None:
        hold, rise = tr("not known"), ""
    elif climb.hold_speed_mps is None or climb.hold_vertical_m_per_h is None:
        hold, rise = tr("any speed"), ""
    else:
        hold = SPEED.figure(climb.hold_speed_mps.middle)
        rise = VERTICAL_SPEED.figure(climb.hold_vertical_m_per_h.middle / 3600.0)
    top = course.reach_s.middle + course.duration_s.middle
    name = tr("{number}: {gain}, {grade}").format(
        number=number, gain=HEIGHT.text(climb.gain_m), grade=percent(climb.grade_mean)
    )
    place = GROUND.figure(climb.start_m, 1)
    return [name + flag, place, hours_minutes(course.reach_s.middle), hours_minutes(top), hold, rise]


def _turn_back(sheet: _Sheet) -> None:
    """Lines to fill in by hand, since only the day knows them."""
    sheet.y += 2.0
    sheet.write(tr("Started at ____ : ____     Turn back at ____ : ____, wherever that is"), SIZE, bold=True)
    sheet.write(
        tr("Dark at ____ : ____     Be back an hour before. Times count from the start, without pauses."),
        SMALL,
    )
    sheet.y += 2.0
