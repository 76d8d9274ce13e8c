"""``slopebeat outings``: the outings of an athlete; title and sport put right for many at once."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from slopebeat.api.library import athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr, trn
from slopebeat.model.note_kinds import SPORTS, Author
from slopebeat.model.recording import Sport, typed_title
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.notes.corrections import outings_as_noted, put_sports, put_titles
from slopebeat.review.present.figure import aligned_lines
from slopebeat.review.present.listed import name_of, start_of
from slopebeat.review.words.names import kilograms, sport_name

AS_RECORDED = "as-recorded"
"""The sport that takes the file's word again."""

_SPORTS = {str(sport).replace(" ", "-"): sport for sport in SPORTS}

_ROLES = {role.value: role for role in Author}

_GIVEN = ("library", "athlete", "json", "first_day", "last_day", "sport_now", "title", "sport", "role")
"""Options that are None where they are not given."""


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Show the outings of an athlete; put title and sport right for many at once.")
    acts = parser.add_subparsers(dest="act", metavar=tr("command"))
    show = common.act_parser(acts, "list", tr("show every outing (the default)"))
    common.finish_act(show, _list, _options)
    change = common.act_parser(acts, "change", tr("give outings of some days a title or another sport"))
    change.add_argument("--title", metavar=tr("TEXT"), help=tr("one title for all of them"))
    said = tr("what was done; {word} takes the file's word again").format(word=AS_RECORDED)
    change.add_argument("--sport", choices=(*_SPORTS, AS_RECORDED), help=said)
    roles = tr("who puts the sport right: {athlete} (the default) or {coach}")
    change.add_argument("--role", choices=_ROLES, help=roles.format(athlete="athlete", coach="coach"))
    common.add_switch(change, "--yes", tr("do it; else it is only told what changes"))
    common.finish_act(change, _change, _options)
    _options(parser)
    parser.set_defaults(run=common.act_on_library, carry_out=_list, **dict.fromkeys(_GIVEN), yes=False)


def _options(parser: argparse.ArgumentParser) -> None:
    common.add_day_options(parser)
    text = tr("only outings of this sport, as it stands now")
    parser.add_argument("--sport-now", choices=[str(s).replace(" ", "-") for s in Sport], help=text)
    common.add_library_options(parser)
    common.add_json_option(parser)
    add_speech_options(parser)


def _list(options: argparse.Namespace, library: Library) -> None:
    rows = _meant(options, library)
    common.give_answer(
        options.json, lambda: _as_text(rows), lambda: {"outings": [_values(each) for each in rows]}
    )


def _meant(options: argparse.Namespace, library: Library) -> list[StoredOuting]:
    athlete, sport = athlete_of(library, options.athlete), options.sport_now
    return [
        each
        for each in outings_as_noted(library, athlete.identity)
        if common.is_between(options, each.local_day())
        and (sport is None or sport == each.sport.replace(" ", "-"))
    ]


def _as_text(rows: Sequence[StoredOuting]) -> str:
    if not rows:
        return tr("There is no such outing.")
    heads = (tr("Date"), tr("Title"), tr("Sport"), tr("Load"))
    text = [
        (
            f"{start_of(each):%Y-%m-%d %H:%M}",
            name_of(each),
            sport_name(each.sport),
            kilograms(each.load_kg) if each.load_kg else "",
        )
        for each in rows
    ]
    return "\n".join(aligned_lines((heads, *text), left=(0, 1, 2)))


def _values(outing: StoredOuting) -> dict[str, Any]:
    return {
        "outing_id": outing.identity,
        "day": outing.local_day().isoformat(),
        "start_utc": outing.start_utc.isoformat(),
        "title": name_of(outing),
        "sport": outing.sport,
        "on_bike": outing.on_bike,
        "load_kg": outing.load_kg,
        "file": outing.file_name,
    }


def _change(options: argparse.Namespace, library: Library) -> int | None:
    title = None if options.title is None else typed_title(options.title)
    if title is None and options.sport is None:
        raise UserError(tr("Say what to change: --title or --sport."))
    if title == "":
        raise UserError(tr("A title needs some words."))
    chosen = _meant(options, library)
    if not chosen:
        raise UserError(tr("There is no such outing."))
    identities = [each.identity for each in chosen]
    if not options.yes:
        line = f"{_as_text(chosen)}\n{tr('Nothing was changed; give --yes to do it.')}"
        common.give_answer(options.json, lambda: line, lambda: {"done": False, "outings": len(chosen)})
        return common.EXIT_ASKED
    with library.together():
        if title is not None:
            put_titles(library, dict.fromkeys(identities, title))
        if options.sport is not None:
            role = _ROLES.get(options.role, Author.ATHLETE)
            put_sports(library, dict.fromkeys(identities, _SPORTS.get(options.sport)), role)
    renewed = len(recompute(library, chosen[0].athlete, few_here=True).renewed)
    text = trn("{n} outing was changed.", "{n} outings were changed.", len(chosen)).format(n=len(chosen))
    values = {"done": True, "outings": len(chosen), "reviewed_again": renewed}
    common.give_answer(options.json, lambda: text, lambda: values)
    return None
