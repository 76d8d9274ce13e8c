"""``slopebeat price``: what the prescribed minutes take on each kind of ground, and next week in words."""

from __future__ import annotations

import argparse
from datetime import date
from typing import Any

from slopebeat.analysis.price.draws import INTERVAL_LEVEL
from slopebeat.api.library import athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options, answering
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.units import duration
from slopebeat.review.cautions import cautions
from slopebeat.review.present.figure import On, json_of, text_table
from slopebeat.review.present.price import PRICE_FIGURES
from slopebeat.review.price.athlete import AthletePrice, NextWeek, price_of_athlete
from slopebeat.review.price.gap import gap_sentences, gap_values
from slopebeat.review.price.grounds import SportPrice
from slopebeat.review.price.words import price_sentences
from slopebeat.review.words.messages import say

LONGEST_MIN = 24 * 60.0
"""More minutes in band are nobody's target [project choice]."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr(
        "How long the prescribed minutes in band take on each kind of ground an athlete goes on, and what is "
        "missing this week."
    )
    common.add_library_options(parser)
    common.add_number(parser, "--target", "MIN", tr("minutes in band (default: one prescribed session)"))
    common.add_number(parser, "--missing", "MIN", tr("minutes missing (default: this week's)"))
    until = tr("as known at the end of this day, as 2026-07-31 (default: today)")
    parser.add_argument("--until", type=common.day, metavar=tr("DAY"), help=until)
    common.add_path(parser, "--letter", tr("also write it as a one-page letter: .pdf, .html or .txt"))
    common.add_band_options(parser, tr("a band for all sports, in the place of those in force"))
    common.add_json_option(parser)
    add_speech_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> None:
    """Carry out ``slopebeat price``."""
    common.check_outputs((options.json, options.letter), (common.place_of_library(options),))
    with answering(options.json):
        found, warnings = _answer(options)
        if options.letter is not None:
            from slopebeat.report.formats import write_as
            from slopebeat.report.letter import letter_formats

            write_as(letter_formats(found.letter()), options.letter)
        common.give_answer(options.json, lambda: as_text(found, warnings), lambda: as_values(found, warnings))


def _answer(options: argparse.Namespace) -> tuple[AthletePrice, tuple[str, ...]]:
    """The answer, and sentences on what could not be read."""
    day, band = options.until or date.today(), common.band_given(options)
    target, missing = (_seconds(each) for each in (options.target, options.missing))
    with common.open_library(options) as library:
        identity = athlete_of(library, options.athlete).identity
        taught = [each.evidence for each in library.results.evidence(identity) if each.teaches]
        summaries = tuple(library.results.summaries(identity).values())
        inputs = library.inputs(identity)
        warnings = tuple(map(say, library.damage.found))
    if target == 0.0:
        raise UserError(tr("A target is a number of minutes, more than none and less than a day."))
    aimed = {"target_s": target, "missing_s": missing}
    return price_of_athlete(inputs, taught, summaries, day, band=band, **aimed), warnings


def as_text(found: AthletePrice, warnings: tuple[str, ...] = ()) -> str:
    """The answer for the terminal."""
    price, lines = found.price, [f"{found.athlete.name}  |  {found.price.day}", ""]
    if found.week is not None:
        lines += [tr("Next"), *(f"  {text}" for text in found.week.sentences), ""]
    title = tr("Time on the clock for {target} in band").format(target=duration(price.target_s))
    if price.rows:
        lines += [title, *text_table(On.TERMINAL, PRICE_FIGURES, price.rows, indent="  "), ""]
    lines += [*price_sentences(price), *gap_sentences(found.gaps), *warnings]
    return "\n".join([*lines, "", *(cautions(0, 1, 2) if found.gaps else cautions(0, 2))])


def as_values(found: AthletePrice, warnings: tuple[str, ...] = ()) -> dict[str, Any]:
    """The answer as JSON values: seconds, shares from 0 to 1, beats per minute; null for unknown."""
    price, week = found.price, found.week
    return {
        "athlete": found.athlete.name,
        "day": price.day.isoformat(),
        "target_s": price.target_s,
        "interval_percent": 100.0 * INTERVAL_LEVEL,
        "sports": [_sport(each) for each in price.sports],
        "grounds": [json_of(PRICE_FIGURES, i, row) for i, row in enumerate(price.rows)],
        "sentences": list(price_sentences(price)),
        "week": None if week is None else _week(week),
        "aerobic_gap": gap_values(found.gaps),
        "aerobic_gap_sentences": list(gap_sentences(found.gaps)),
        "warnings": list(warnings),
    }


def _sport(sport: SportPrice) -> dict[str, Any]:
    off = sport.off_band
    return {
        "sport": sport.sport,
        "outings": sport.outings,
        "band_lower_bpm": None if sport.band is None else sport.band.lower_bpm,
        "band_upper_bpm": None if sport.band is None else sport.band.upper_bpm,
        "off_band": off is not None,
        "mean_off_middle_bpm": sport.rows[0].answers.as_usual.off_bpm if sport.rows else None,
    }


def _week(week: NextWeek) -> dict[str, Any]:
    return {
        "missing_s": week.missing_s,
        "sessions": week.sessions,
        "each_s": week.price.target_s,
        "sentences": list(week.sentences),
        "grounds": [json_of(PRICE_FIGURES, i, row) for i, row in enumerate(week.price.rows)],
    }


def _seconds(minutes: float | None) -> float | None:
    """Minutes given as seconds; a sentence for what are no minutes."""
    if minutes is None:
        return None
    if not 0.0 <= minutes <= LONGEST_MIN:
        refusal = tr("Minutes in band lie between 0 and {most}, not at {minutes}.")
        raise UserError(refusal.format(most=f"{LONGEST_MIN:.0f}", minutes=f"{minutes:g}"))
    return 60.0 * minutes
