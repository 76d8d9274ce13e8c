"""``slopebeat athletes``: who is in a library; rename, merge and remove athletes, move outings between them.

What cannot be undone tells what goes along, and is done only once ``--yes`` is given.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace

from slopebeat.api.library import athlete_of
from slopebeat.command import common
from slopebeat.command.speech import add_speech_options
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings, Transferred
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.people import Athlete
from slopebeat.review import people
from slopebeat.review.imports.recompute import recompute
from slopebeat.review.notes.corrections import outings_as_noted
from slopebeat.review.present.figure import aligned_lines


def describe(parser: argparse.ArgumentParser) -> None:
    """Describe the command to its argument parser."""
    parser.description = tr("Show who is in a library; rename, merge and remove athletes, move outings.")
    acts = parser.add_subparsers(dest="act", metavar=tr("command"))
    show = common.act_parser(acts, "list", tr("show every athlete and what is kept (the default)"))
    common.finish_act(show, _list, _options)
    rename = common.act_parser(acts, "rename", tr("give an athlete another name"))
    rename.add_argument("name", metavar=tr("NAME"), help=tr("the name now"))
    rename.add_argument("to", metavar=tr("NEW"), help=tr("the name to be"))
    common.finish_act(rename, _rename, _options)
    merge = common.act_parser(acts, "merge", tr("make two athletes one"))
    merge.add_argument("name", metavar=tr("NAME"), help=tr("whose everything goes over"))
    merge.add_argument("into", metavar=tr("OTHER"), help=tr("the one that stays"))
    common.finish_act(merge, _merge, _options, asks=True)
    remove = common.act_parser(acts, "remove", tr("remove an athlete with everything"))
    remove.add_argument("name", metavar=tr("NAME"), help=tr("who goes"))
    common.finish_act(remove, _remove, _options, asks=True)
    move = common.act_parser(acts, "move", tr("give outings of some days another athlete"))
    move.add_argument("name", metavar=tr("NAME"), help=tr("whose outings they are"))
    move.add_argument("into", metavar=tr("OTHER"), help=tr("whose they are to be"))
    common.add_day_options(move)
    common.finish_act(move, _move, _options, asks=True)
    _options(parser)
    parser.set_defaults(run=common.act_on_library, carry_out=_list, first_day=None, last_day=None, yes=False)


def _options(parser: argparse.ArgumentParser) -> None:
    words = tr("the library (default: your own)")
    common.add_path(parser, "--library", words)
    common.add_json_option(parser)
    add_speech_options(parser)


def _list(options: argparse.Namespace, library: Library) -> None:
    rows = [(each, library.transfers.belongings(each.identity)) for each in library.athletes]
    values = [{"name": each.name, **vars(kept)} for each, kept in rows]
    common.give_answer(options.json, lambda: _as_text(rows), lambda: {"athletes": values})


def _as_text(rows: Sequence[tuple[Athlete, Belongings]]) -> str:
    if not rows:
        return tr("The library holds no athlete yet.")
    heads = (tr("Name"), tr("outings"), tr("notes"), tr("bands"))
    listed_rows = [
        (each.name, *(f"{n}" for n in (kept.outings, kept.notes, kept.bands))) for each, kept in rows
    ]
    return "\n".join(aligned_lines((heads, *listed_rows)))


def _rename(options: argparse.Namespace, library: Library) -> None:
    athlete = athlete_of(library, options.name)
    kept = library.athletes.change(replace(athlete, name=options.to))
    text = tr("{name} is called {new} now.").format(name=athlete.name, new=kept.name)
    common.give_answer(options.json, lambda: text, lambda: {"name": kept.name})


def _merge(options: argparse.Namespace, library: Library) -> int | None:
    gone, into = _two(options, library)
    kept = library.transfers.belongings(gone.identity)
    if not options.yes:
        return common.ask_first(options, people.merge_question(library, gone, into), vars(kept))
    done = library.transfers.merge(gone.identity, into.identity)
    _transferred(options, library, done, into)
    return None


def _move(options: argparse.Namespace, library: Library) -> int | None:
    gone, into = _two(options, library)
    chosen = [
        each
        for each in outings_as_noted(library, gone.identity)
        if common.is_between(options, each.local_day())
    ]
    if not chosen:
        raise UserError(tr("There is no such outing."))
    identities = [each.identity for each in chosen]
    if not options.yes:
        kept = people.of_outings(library, identities)
        return common.ask_first(options, people.move_question(library, identities, gone, into), vars(kept))
    done = library.transfers.move(identities, into.identity)
    _transferred(options, library, done, into)
    return None


def _transferred(options: argparse.Namespace, library: Library, done: Transferred, into: Athlete) -> None:
    recompute(library, into.identity)
    common.give_answer(options.json, lambda: people.transferred_words(done, into), lambda: dict(vars(done)))


def _remove(options: argparse.Namespace, library: Library) -> int | None:
    athlete = athlete_of(library, options.name)
    kept = library.transfers.belongings(athlete.identity)
    if not options.yes:
        return common.ask_first(options, people.removal_question(library, athlete), vars(kept))
    count = people.remove_athlete(library, athlete.identity, Notebooks())
    common.give_answer(options.json, lambda: people.removed_words(athlete, count), lambda: {"outings": count})
    return None


def _two(options: argparse.Namespace, library: Library) -> tuple[Athlete, Athlete]:
    gone, into = athlete_of(library, options.name), athlete_of(library, options.into)
    if gone.identity == into.identity:
        raise UserError(tr("Two athletes are needed; {name} is one.").format(name=gone.name))
    return gone, into
