"""Acts on athletes with all that is theirs, and what is said before and after."""

from __future__ import annotations

from slopebeat.library.notebooks import Notebooks
from slopebeat.library.store import Library
from slopebeat.library.transfer import Belongings, Transferred
from slopebeat.model.language import tr, trn
from slopebeat.model.notebooks import ContentKey
from slopebeat.model.people import Athlete


def remove_athlete(library: Library, athlete: str, notebooks: Notebooks) -> int:
    """Remove an athlete with everything, also what notebooks hold on the recordings; how many outings went.

    The library goes first, in one transaction: what is stopped in between loses nothing that was to stay.
    """
    outings = library.outings.of(athlete)
    count = library.athletes.remove(athlete)
    for each in outings:
        key = ContentKey(each.content_hash, each.activity)
        if not library.arrivals.holding(*vars(key).values()):
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
