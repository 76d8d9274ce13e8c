"""``slopebeat bands``: the bands in force of an athlete over time; add, change and remove them.

What takes something away tells what goes, and is done only once ``--yes`` is given.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from slopebeat.api.library import GROUNDS, athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.basis import BY_HAND, HARD_THRESHOLD_BPM, Basis
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import typed_title
from slopebeat.review.bands import exchange, removal_words, same_day, taken_words
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.present.figure import aligned_lines
from slopebeat.review.price.gap import with_hard_threshold, without_hard_threshold
from slopebeat.review.words.basis import how_words
from slopebeat.review.words.names import key_name

_GIVEN = (
    "library",
    "athlete",
    "json",
    "ground",
    "band",
    "hr_max",
    "found",
    "hard_threshold",
    "to_day",
)
"""Options that are None where they are not given."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Show the heart-rate bands in force over time; add, change and remove them.")
    acts = parser.add_subparsers(dest="act", metavar=tr("command"))
    show = common.act_parser(acts, "list", tr("show every band and how it was found (the default)"))
    common.finish_act(show, _list, _options)
    add = common.act_parser(acts, "add", tr("put a band in force from a day on"))
    add.add_argument("day", type=common.day, metavar=tr("DAY"), help=tr("the first day it holds"))
    add.add_argument(
        "--ground", choices=GROUNDS, help=tr("for outings on foot or on a bike; both if left out")
    )
    _band_options(add)
    common.finish_act(add, _add, _options, asks=True)
    change = common.act_parser(acts, "change", tr("change a band: its edges, its day, how it was found"))
    _which(change)
    change.add_argument(
        "--to-day", type=common.day, metavar=tr("DAY"), help=tr("let it hold from this day on instead")
    )
    _band_options(change)
    common.finish_act(change, _change, _options, asks=True)
    remove = common.act_parser(acts, "remove", tr("remove a band; the one before it stays in force"))
    _which(remove)
    common.finish_act(remove, _remove, _options, asks=True)
    _options(parser)
    parser.set_defaults(run=common.act_on_library, carry_out=_list, **dict.fromkeys(_GIVEN), yes=False)


def _which(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("day", type=common.day, metavar=tr("DAY"), help=tr("the day from which it holds"))
    text = tr("its ground; may be left out when there is only one band of that day")
    parser.add_argument("--ground", choices=GROUNDS, help=text)


def _band_options(parser: argparse.ArgumentParser) -> None:
    common.add_band_options(parser)
    parser.add_argument("--found", metavar=tr("TEXT"), help=tr("how it was found, in your own words"))
    text = tr("heart rate at the hard threshold, where it is known")
    common.add_number(parser, "--hard-threshold", "N", text)


def _options(parser: argparse.ArgumentParser) -> None:
    common.add_library_options(parser, tr("whose bands; may be left out when there is only one athlete"))
    common.add_json_option(parser)
    add_speech_options(parser)


def _list(options: argparse.Namespace, library: Library) -> None:
    """Of every athlete where none is named."""
    everyone = list(library.athletes) if options.athlete is None else [athlete_of(library, options.athlete)]
    rows = [(athlete, period) for athlete in everyone for period in library.bands.of(athlete.identity)]
    common.give_answer(
        options.json, lambda: _as_text(rows), lambda: {"bands": [_values(*row) for row in rows]}
    )


def _as_text(rows: Sequence[tuple[Athlete, BandPeriod]]) -> str:
    if not rows:
        return tr("No band is in force yet; add one with slopebeat bands add.")
    heads = (tr("Name"), tr("For outings"), tr("From"), tr("Band"), tr("How it was found"))
    lines = [
        (athlete.name, key_name(each.ground), str(each.from_day), str(each.band), how_words(each.band))
        for athlete, each in rows
    ]
    return "\n".join(aligned_lines((heads, *lines), left=(0, 1, 2, 3, 4)))


def _values(athlete: Athlete, period: BandPeriod) -> dict[str, Any]:
    band = period.band
    return {
        "athlete": athlete.name,
        "ground": period.ground.value,
        "from_day": period.from_day.isoformat(),
        "lower_bpm": band.lower_bpm,
        "upper_bpm": band.upper_bpm,
        "method": band.method.value,
        "basis": band.basis.values,
    }


def _add(options: argparse.Namespace, library: Library) -> int | None:
    athlete = athlete_of(library, options.athlete)
    band = common.band_given(options)
    if band is None:
        raise UserError(tr("Say which band with --band LO-HI or --hr-max N."))
    if options.hr_max is None:
        band = replace(band, basis=Basis.of(BY_HAND))
    band = _with_rest(options, band, None)
    grounds = list(Ground) if options.ground is None else [GROUNDS[options.ground]]
    come = [BandPeriod(athlete.identity, ground, options.day, band) for ground in grounds]
    return _put(options, library, athlete, [], come)


def _change(options: argparse.Namespace, library: Library) -> int | None:
    athlete, period = _meant(options, library)
    band = common.band_given(options)
    if band is None:
        band = period.band
    elif options.hr_max is None:
        band = replace(band, basis=Basis.of(BY_HAND))
    band = _with_rest(options, band, period.band.basis.numbers(HARD_THRESHOLD_BPM))
    changed = replace(period, band=band, from_day=options.to_day or period.from_day)
    if changed == period:
        raise UserError(tr("Say what to change: --band or --hr-max, --to-day, --found or --hard-threshold."))
    return _put(options, library, athlete, [period], [changed])


def _with_rest(options: argparse.Namespace, band: Band, hard_bpm: tuple[float, ...] | None) -> Band:
    """The band with what else was said of it, else with the hard threshold known of before."""
    if options.found is not None:
        words = typed_title(options.found)
        if not words:
            raise UserError(tr("How a band was found needs some words."))
        band = replace(band, basis=Basis.own(words))
    if options.hard_threshold is not None:
        hard_bpm = (options.hard_threshold,)
    return band if hard_bpm is None else with_hard_threshold(without_hard_threshold(band), hard_bpm[0])


def _put(
    options: argparse.Namespace,
    library: Library,
    athlete: Athlete,
    gone: list[BandPeriod],
    come: list[BandPeriod],
) -> int | None:
    """Bands that come for those that go; another band of the same day is asked about."""
    others = [each for each in library.bands.of(athlete.identity) if each not in gone]
    there = [each for each in (same_day(others, period) for period in come) if each is not None]
    there = [each for each in there if each not in come]
    if there and not options.yes:
        return common.ask_first(options, " ".join(map(taken_words, there)))
    exchange(library, [*gone, *there], come)
    text = tr("From {day} on the band {band} is in force for {name}, {ground}.")
    lines = [
        text.format(day=each.from_day, band=each.band, name=athlete.name, ground=key_name(each.ground))
        for each in come
    ]
    _done(options, library, athlete, lines, come)
    return None


def _remove(options: argparse.Namespace, library: Library) -> int | None:
    athlete, period = _meant(options, library)
    if not options.yes:
        return common.ask_first(options, removal_words(library, period))
    exchange(library, [period], [])
    told = tr("The band {band} from {day} was removed.").format(band=period.band, day=period.from_day)
    _done(options, library, athlete, [told], [])
    return None


def _done(
    options: argparse.Namespace,
    library: Library,
    athlete: Athlete,
    lines: Sequence[str],
    come: Sequence[BandPeriod],
) -> None:
    renewed = len(recompute(library, athlete.identity, few_here=True).renewed)
    values = {"done": True, "bands": [_values(athlete, each) for each in come], "reviewed_again": renewed}
    common.give_answer(options.json, lambda: "\n".join(lines), lambda: values)


def _meant(options: argparse.Namespace, library: Library) -> tuple[Athlete, BandPeriod]:
    athlete = athlete_of(library, options.athlete)
    ground = None if options.ground is None else GROUNDS[options.ground]
    found = [
        each
        for each in library.bands.of(athlete.identity)
        if each.from_day == options.day and ground in (None, each.ground)
    ]
    if not found:
        refusal = tr("{name} has no such band from {day} on; slopebeat bands shows those there are.")
        raise UserError(refusal.format(name=athlete.name, day=options.day))
    if len(found) > 1:
        refusal = tr("{name} has two bands from {day} on; say --ground foot or --ground bike.")
        raise UserError(refusal.format(name=athlete.name, day=options.day))
    return athlete, found[0]
