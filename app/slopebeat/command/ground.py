"""``slopebeat ground --library FILE --athlete NAME``: ground gone before, on the terminal or as JSON."""

from __future__ import annotations

import argparse
from typing import Any

from slopebeat.analysis.ground.equal_speed import SPEED, pass_sd_bpm
from slopebeat.api.library import athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.review.cautions import cautions
from slopebeat.review.ground.ground import (
    NEAR_END_M,
    GroundReview,
    GroupLevels,
    PlaceRow,
    much_stopped,
    review_ground,
)
from slopebeat.review.ground.search import find_again, find_ground
from slopebeat.review.ground.words import ground_sentences, place_name, place_sentences
from slopebeat.review.present.figure import On, json_of, text_table
from slopebeat.review.present.ground import PASS_FIGURES, PLACE_FIGURES, pass_columns
from slopebeat.review.words.messages import say


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Climbs and stretches of way that an athlete went more than once, with the heart rate at equal speed."
    )
    common.add_library_options(parser)
    parser.add_argument(
        "--place", type=int, metavar=tr("NUMBER"), help=tr("one place with every pass, by its number")
    )
    common.add_switch(
        parser, "--without-ends", tr("leave places out that lie within 500 m of where outings begin or end")
    )
    common.add_switch(parser, "--again", tr("forget all places and find them again"))
    common.add_json_option(parser)
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat ground``."""
    common.check_outputs((options.json,), (common.place_of_library(options),))
    with answering(options.json):
        _answer(options)


def _answer(options: argparse.Namespace) -> None:
    with common.open_library(options) as library:
        athlete = athlete_of(library, options.athlete)
        if options.again:
            find_again(library, athlete.identity)
        else:
            find_ground(library, athlete.identity)
        places, passes = library.places.of(athlete.identity), library.places.passes(athlete.identity)
        missing = library.outings.count(athlete.identity) - library.ways.count(athlete.identity)
        notes = (*map(say, library.damage.found), *_missing(missing))
    ground = review_ground(places, passes, options.without_ends)
    one = None if options.place is None else _place(ground, options.place)
    common.give_answer(
        options.json,
        lambda: _page(athlete.name, ground, notes) if one is None else _place_page(one),
        lambda: {"athlete": athlete.name, **ground_values(ground), "warnings": list(notes)},
    )


def _missing(count: int) -> tuple[str, ...]:
    """A sentence on outings whose way is not known because they are not reviewed by this version."""
    if count <= 0:
        return ()
    text = trn(
        "{n} outing was not looked at: open the library in the window to review it again.",
        "{n} outings were not looked at: open the library in the window to review them again.",
        count,
    )
    return (text.format(n=count),)


def _place(ground: GroundReview, number: int) -> PlaceRow:
    for row in ground.places:
        if row.number == number:
            return row
    raise UserError(tr("There is no place number {number}.").format(number=number))


def _page(name: str, ground: GroundReview, notes: tuple[str, ...]) -> str:
    count = trn("{n} place gone more than once", "{n} places gone more than once", len(ground.places))
    lines = [f"{name}  |  {count.format(n=len(ground.places))}", "", *ground_sentences(ground)]
    if ground.places:
        rows = text_table(On.TERMINAL, PLACE_FIGURES, ground.places, left=(0,), units_below=False)
        lines += ["", *rows]
    if notes:
        lines += ["", *notes]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _place_page(row: PlaceRow) -> str:
    head = tr("No. {number}: {place}").format(number=row.number, place=place_name(row.place))
    lines = [head, "", *place_sentences(row), ""]
    lines += text_table(On.TERMINAL, pass_columns(row), row.passes, left=(0,), units_below=False)
    return "\n".join([*lines, "", *cautions(0, 2)])


def ground_values(ground: GroundReview) -> dict[str, Any]:
    """Places, passes and levels as JSON values, without coordinates; null for unknown."""
    return {
        "places": [_place_values(row) for row in ground.places],
        "levels": [_level(each) for each in ground.levels],
        "left_out_near_ends": ground.left_out,
        "near_end_m": NEAR_END_M,
        "sentences": list(ground_sentences(ground)),
    }


def _place_values(row: PlaceRow) -> dict[str, Any]:
    groups = [
        {
            **_group(each.group.sport, each.group.work_source),
            "times": each.passes,
            "days": each.days,
            "change": None if each.change is None else vars(each.change),
        }
        for each in row.groups
    ]
    passes = [
        {
            **json_of(PASS_FIGURES, number, one),
            "hr_equal_speed_sd_bpm": None if one.equal_bpm is None else pass_sd_bpm(1),
            **_group(one.group.sport, one.group.work_source),
            "much_stopped": much_stopped(one.kept),
        }
        for number, one in enumerate(row.passes)
    ]
    sentences = list(place_sentences(row))
    return {**json_of(PLACE_FIGURES, 0, row), "groups": groups, "passes": passes, "sentences": sentences}


def _group(sport: str, source: str | None) -> dict[str, str | None]:
    return {"sport": sport, "work_source": source}


def _level(levels: GroupLevels) -> dict[str, Any]:
    found = levels.levels
    days = [
        {"day": day.isoformat(), "level_bpm": level, "sd_bpm": sd, "passes": passes}
        for day, level, sd, passes in zip(
            levels.days,
            found.level_bpm.tolist(),
            found.sd_bpm.tolist(),
            found.passes.tolist(),
            strict=True,
        )
    ]
    return {
        **_group(levels.group.sport, levels.group.work_source),
        "slope_bpm": levels.slope.bpm,
        "slope_sd_bpm": levels.slope.sd_bpm,
        "slope_of": "ln(m/s)" if levels.group.effort_from == SPEED else "W/kg",
        "slope_pairs": levels.slope.pairs,
        "change": None if levels.change is None else vars(levels.change),
        "days": days,
    }
