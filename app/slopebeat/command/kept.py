"""What is kept of a recording, and what the earlier outings of an athlete say of it, for commands.

What reads a library is loaded in the functions: a review that asks for none starts in a tenth less time.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from slopebeat.disk.places import library_path

if TYPE_CHECKING:
    from slopebeat.library.results import Inputs
    from slopebeat.library.store import Library
    from slopebeat.model.outing.notebooks import Notebook
    from slopebeat.model.people import Aim
    from slopebeat.model.recording import Recording
    from slopebeat.review.earlier import Again
    from slopebeat.review.outing import Review


def with_earlier(
    review: Review, options: argparse.Namespace, again: Again | None
) -> tuple[Review, tuple[str, ...]]:
    """The review with the earlier outings of an athlete in it, where one of them was named."""
    with _named(options) as named:
        if named is None:
            return review, ()
        from slopebeat.review.earlier import EarlierOutings
        from slopebeat.review.summary import COMPUTATION_VERSION
        from slopebeat.review.words.messages import stale_sentences

        library, athlete = named
        kept = library.results.evidence(athlete)
        stale = len(library.stale_outings(COMPUTATION_VERSION, athlete))
    return EarlierOutings(kept).speak(review, again), stale_sentences(stale)


def kept_book(content_hash: str, activity: int, library: Path | None) -> Notebook:
    """Notes, marks, load and title kept on an activity (from 0) of a file; empty where there is nothing.

    ``content_hash`` is that of the file as it was read; ``library`` None looks in the user's own one, if any.

    Raises
    ------
    UserError
        With a sentence, when the library or the notebook cannot be read.
    """
    from slopebeat.library.notebooks import Notebooks
    from slopebeat.library.store import Library
    from slopebeat.model.outing.notebooks import ContentKey
    from slopebeat.review.notes.keeping import read_kept_book

    key, notebooks = ContentKey(content_hash, activity), Notebooks()
    if library is None and not library_path().is_file():
        return read_kept_book(key, notebooks)
    with Library.open(library or library_path()) as opened:
        return read_kept_book(key, notebooks, opened)


def as_kept(
    recording: Recording, aim: Aim, book: Notebook, options: argparse.Namespace
) -> tuple[Recording, Aim]:
    """A recording with the title, and the aim with the load that are kept of it."""
    if options.load is None and book.load is not None:
        aim = replace(aim, load_kg=book.load[0], load_until_s=book.load[1])
    return replace(recording, title=book.title or recording.title), aim


def athletes_inputs(options: argparse.Namespace) -> Inputs | None:
    """What the athlete named is reviewed with, bands among it; None where nobody was named."""
    with _named(options) as named:
        return None if named is None else named[0].inputs(named[1])


@contextmanager
def _named(options: argparse.Namespace) -> Iterator[tuple[Library, str] | None]:
    """The library and the athlete, by identity, that a review is to know of; None without a name."""
    place = options.library or (None if options.athlete is None else library_path())
    if place is None:
        yield None
        return
    # Only here: what it brings along, imports and months, takes a third of the time of a start to load.
    from slopebeat.api.library import athlete_of
    from slopebeat.library.store import Library

    with Library.open(place) as library:
        if options.kept and options.athlete is None and len(list(library.athletes)) != 1:
            yield None
        else:
            yield library, athlete_of(library, options.athlete).identity
