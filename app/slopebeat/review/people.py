"""Acts on athletes with all that is theirs, and what is said before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from slopebeat.library.notebooks import Notebooks
from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings, Transferred
from slopebeat.model.language import tr, trn
from slopebeat.model.outing.notebooks import ContentKey
from slopebeat.model.people import Athlete, BandPeriod, first_day_of
from slopebeat.review.bands import DatedEntry, same_day
from slopebeat.review.notes.keeping import written_on
from slopebeat.review.week.words import entry_words
from slopebeat.review.words.names import key_name


def remove_athlete(library: Library, athlete: str, notebooks: Notebooks) -> int:
    """Remove an athlete with everything, also what notebooks hold on the recordings; how many outings went.

    The library goes first, in one transaction: what is stopped in between loses nothing that was to stay.
    """
    outings = library.outings.of(athlete)
    count = library.athletes.remove(athlete)
    for each in outings:
        key = ContentKey(each.content_hash, each.activity)
        if not library.imports.holding(*vars(key).values()):
            notebooks.remove(key)
    return count


def belongings_words(kept: Belongings) -> str:
    """What goes along, counted: ``3 outings, 1 note, 2 bands``."""
    counted = (
        (kept.outings, trn("{n} outing", "{n} outings", kept.outings)),
        (kept.notes, trn("{n} note", "{n} notes", kept.notes)),
        (
            kept.decided,
            trn("decisions on doubts of {n} outing", "decisions on doubts of {n} outings", kept.decided),
        ),
        (kept.bands, trn("{n} band", "{n} bands", kept.bands)),
        (kept.prescriptions, trn("{n} dated prescription", "{n} dated prescriptions", kept.prescriptions)),
        (kept.masses, trn("{n} dated body mass", "{n} dated body masses", kept.masses)),
        (kept.phases, trn("{n} phase", "{n} phases", kept.phases)),
        (kept.places, trn("{n} place gone again", "{n} places gone again", kept.places)),
    )
    return ", ".join(words.format(n=n) for n, words in counted if n) or tr("nothing")


def merge_question(library: Library, gone: Athlete, into: Athlete) -> str:
    """What merging would do, before it is done: what goes over, and what falls away."""
    kept = library.transfers.belongings(gone.identity)
    lines = [
        tr("{name} would be no more, and {what} would go to {other}.").format(
            name=gone.name, what=belongings_words(kept), other=into.name
        )
    ]
    ours = {(each.content_hash, each.activity) for each in library.outings.of(into.identity)}
    twice = sum((each.content_hash, each.activity) in ours for each in library.outings.of(gone.identity))
    if twice:
        text = trn(
            "{n} outing is of a file that {other} has, too: one of two is left, with all notes.",
            "{n} outings are of files that {other} has, too: one of two is left, with all notes.",
            twice,
        )
        lines.append(text.format(n=twice, other=into.name))
    apart = dropped_entries(library, gone, into)
    if apart:
        text = tr("These fall away, because {other} has others of the same day: {entries}.")
        lines.append(text.format(other=into.name, entries="; ".join(map(_entry_words, apart))))
    if replace(gone, identity=into.identity, name=into.name) != into:
        text = tr("Year of birth, masses and prescription without a date stay those of {other}.")
        lines.append(text.format(other=into.name))
    return " ".join(lines)


def dropped_entries(library: Library, gone: Athlete, into: Athlete) -> tuple[DatedEntry, ...]:
    """Bands, prescriptions and masses of days on which the one that stays has others."""
    theirs, ours = library.inputs(gone.identity), library.inputs(into.identity)
    found: list[DatedEntry] = []
    for period in theirs.periods:
        there = same_day(ours.periods, period)
        if there is not None and there.band != period.band:
            found.append(period)
    for entries, here in (
        (theirs.dated.prescriptions, ours.dated.prescriptions),
        (theirs.dated.masses, ours.dated.masses),
    ):
        days = {each.from_day: each for each in here}
        for entry in entries:
            other = days.get(entry.from_day)
            if other is not None and replace(entry, athlete=into.identity) != other:
                found.append(entry)
    return tuple(found)


def _entry_words(entry: DatedEntry) -> str:
    if isinstance(entry, BandPeriod):
        text = tr("band {band}, {ground}, from {day}")
        return text.format(band=entry.band, ground=key_name(entry.ground), day=entry.from_day)
    return tr("{what} from {day}").format(what=entry_words(entry), day=first_day_of(entry))


def removal_question(library: Library, gone: Athlete) -> str:
    """What would go with an athlete, before it goes."""
    kept = library.transfers.belongings(gone.identity)
    question = tr("{name} would be removed for good, with {what}.")
    return question.format(name=gone.name, what=belongings_words(kept))


def removed_words(gone: Athlete, outings: int) -> str:
    text = trn("{name} was removed with {n} outing.", "{name} was removed with {n} outings.", outings)
    return text.format(name=gone.name, n=outings)


def of_outings(library: Library, outings: Sequence[str]) -> Belongings:
    """What is kept on outings."""
    written = written_on(library, outings)
    return Belongings(outings=len(outings), notes=written.notes, decided=written.decided)


def move_question(library: Library, outings: Sequence[str], gone: Athlete, into: Athlete) -> str:
    """What would go with outings to another athlete."""
    question = tr("{what} would go from {name} to {other}.")
    names = {"name": gone.name, "other": into.name}
    return question.format(what=belongings_words(of_outings(library, outings)), **names)


def transferred_words(done: Transferred, into: Athlete) -> str:
    """What a transfer did, in sentences."""
    sentences = [
        trn("{n} outing went to {name}.", "{n} outings went to {name}.", done.outings).format(
            n=done.outings, name=into.name
        )
    ]
    if done.joined:
        text = trn(
            "{n} outing of the same file was there already: one of two is left, with all notes.",
            "{n} outings of the same files were there already: one of two is left, with all notes.",
            done.joined,
        )
        sentences.append(text.format(n=done.joined))
    if done.kept_apart:
        text = trn(
            "{n} entry of a day on which {name} has another was not taken.",
            "{n} entries of days on which {name} has others were not taken.",
            done.kept_apart,
        )
        sentences.append(text.format(n=done.kept_apart, name=into.name))
    return " ".join(sentences)
