"""``slopebeat ground --library FILE --athlete NAME``: ground gone before, on the terminal or as JSON."""

from __future__ import annotations

import argparse
import sys

from slopebeat.api.library import athlete_of
from slopebeat.command.common import (
    add_json_option,
    add_library_options,
    check_outputs,
    give_answer,
    headers,
    table,
)
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.library.store import Library, default_path
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.review.cautions import cautions
from slopebeat.review.ground.ground import GroundReview, PlaceRow, review_ground
from slopebeat.review.ground.search import find_again, find_ground
from slopebeat.review.ground.words import ground_sentences, place_name, place_sentences
from slopebeat.review.present.figure import On, shown_on
from slopebeat.review.present.ground import PLACE_FIGURES, pass_columns
from slopebeat.review.present.ground_json import ground_values
from slopebeat.review.words.messages import say

EXIT_OK, EXIT_WRONG = 0, 2


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "Climbs and stretches of way that an athlete went more than once, with the heart rate at equal speed."
    )
    add_library_options(parser)
    parser.add_argument(
        "--place", type=int, metavar=tr("NUMBER"), help=tr("one place with every pass, by its number")
    )
    parser.add_argument(
        "--without-ends",
        action="store_true",
        help=tr("leave places out that lie within 500 m of where outings begin or end"),
    )
    parser.add_argument("--again", action="store_true", help=tr("forget all places and find them again"))
    add_json_option(parser)
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Carry out ``slopebeat ground``; a sentence on standard error and 2 for what the user can mend."""
    try:
        check_outputs((options.json,), (options.library or default_path(),))
        with answering(options.json):
            _answer(options)
    except UserError as problem:
        print(problem, file=sys.stderr)
        return EXIT_WRONG
    return EXIT_OK


def _answer(options: argparse.Namespace) -> None:
    with Library.open(options.library or default_path()) as library:
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
    give_answer(
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
    """All places as a page of text."""
    count = trn("{n} place gone more than once", "{n} places gone more than once", len(ground.places))
    lines = [f"{name}  |  {count.format(n=len(ground.places))}", "", *ground_sentences(ground)]
    if ground.places:
        shown = shown_on(On.TERMINAL, PLACE_FIGURES)
        rows = [[each.text_of(i, row) for each in shown] for i, row in enumerate(ground.places)]
        lines += ["", *table([*headers([each.caption for each in shown]), *rows], left=(0,))]
    if notes:
        lines += ["", *notes]
    return "\n".join([*lines, "", *cautions(0, 2)])


def _place_page(row: PlaceRow) -> str:
    """One place with every pass."""
    shown = shown_on(On.TERMINAL, pass_columns(row))
    rows = [[each.text_of(i, one) for each in shown] for i, one in enumerate(row.passes)]
    head = tr("No. {number}: {place}").format(number=row.number, place=place_name(row.place))
    lines = [head, "", *place_sentences(row), ""]
    lines += table([*headers([each.caption for each in shown]), *rows], left=(0,))
    return "\n".join([*lines, "", *cautions(0, 2)])
