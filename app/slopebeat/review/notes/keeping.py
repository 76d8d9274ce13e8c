"""Where notes and decisions on a recording are kept: in the library that holds it, else in a notebook."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from slopebeat.files.progress import Progress
from slopebeat.files.reading import ReadFile, read
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.notes import where_noted
from slopebeat.library.outings import StoredOuting
from slopebeat.library.store import Library
from slopebeat.library.takeover import shifted_range
from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.model.outing.notebooks import ContentKey, KeptNotebook, Notebook, Store, joined
from slopebeat.model.people import Aim, session_target_s
from slopebeat.model.recording import Recording
from slopebeat.review.kept_days import find_days


class NotebookStore:
    """In a notebook of its own."""

    def __init__(self, notebooks: Notebooks, key: ContentKey) -> None:
        self.notebooks = notebooks
        self.key = key

    def write(self, book: Notebook) -> None:
        self.notebooks.write(self.key, book)

    def find_again(self, library: Library, athlete: str | None) -> tuple[Store, Notebook, str]:
        """Where it belongs now that a library is there; see :func:`find_store`."""
        return find_store(self.key, self.notebooks, library, athlete)


class LibraryStore:
    """With an outing of a library; ``saved`` is what is known to be there."""

    def __init__(self, library: Library, outing: StoredOuting, saved: Notebook) -> None:
        self.library = library
        self.outing = outing
        self._saved = saved

    def write(self, book: Notebook) -> None:
        """Keep what differs from what was kept last, also what could not be kept in between."""
        outings, identity, saved = self.library.outings, self.outing.identity, self._saved
        try:
            self._check_recording(outings.get(identity))
        except KeyError:
            raise UserError(
                tr("This outing was removed from the library; what you change in it now is not kept.")
            ) from None
        known = set(saved.notes)
        notes = [note for note in book.notes if note not in known]
        if notes:
            self.library.notes.merge(identity, notes)
        if book.marks != saved.marks:
            outings.set_marks(identity, book.marks)
        if book.load is not None and book.load != saved.load:
            outings.set_load(identity, *book.load)
        if book.title is not None and book.title != saved.title:
            outings.set_title(identity, book.title)
        self._saved = book

    def read_again(self) -> tuple[Notebook, Notebook]:
        """What was known to be there, and what is there now: someone else may have written to the library.

        Raises
        ------
        UserError
            With a sentence, when it cannot be read. An outing that is gone is as it was.
        """
        was = self._saved
        with suppress(KeyError):
            outing = self.library.outings.get(self.outing.identity)
            self._check_recording(outing)
            self._saved = book_of(self.library, outing)
        return was, self._saved

    def _check_recording(self, here: StoredOuting) -> None:
        """Seconds are of one recording; those of another must not mix with them."""
        if (here.content_hash, here.activity) != (self.outing.content_hash, self.outing.activity):
            raise UserError(
                tr(
                    "A longer recording of this outing, {file}, took its place in the library; open it from "
                    "there. What you change in the one on screen is not kept."
                ).format(file=here.file_name)
            )


def book_of(library: Library, outing: StoredOuting) -> Notebook:
    """What a library keeps on an outing."""
    return Notebook(
        library.notes.of(outing.identity, deleted=True),
        library.outings.marks(outing.identity),
        (outing.load_kg, outing.load_until_s),
        outing.title,
    )


def read_kept_book(key: ContentKey, notebooks: Notebooks, library: Library | None = None) -> Notebook:
    """What is kept on a recording, in a library and in its notebook; nothing is moved from one to the other.

    Raises
    ------
    UserError
        With a sentence, when it cannot be read.
    """
    book, problem = notebooks.read(key)
    if problem:
        raise UserError(problem)
    outing = None if library is None else outing_holding(library, key, None)
    return book if library is None or outing is None else joined(book_of(library, outing), book)


def move_to_outing(
    library: Library,
    outing: StoredOuting,
    notebooks: Notebooks,
    key: ContentKey,
    start_utc: datetime | None = None,
) -> tuple[bool, str]:
    """Bring a notebook into the outing its recording is kept as.

    Returns whether that changed anything in the library, and a sentence where the notebook was damaged.

    Notes are merged, the later change of each holding. Marks and load are taken where nothing was decided in
    the library. What was taken leaves the notebook, or it would come back after a later decision in the
    library; notes stay, because merging knows which state is the later one. Where the outing is kept by
    another recording, of one that starts at ``start_utc`` notes are taken at their moments; marks, load and
    title are about that recording alone and stay in the notebook.
    """
    book, problem = notebooks.read(key)
    if book.empty:
        return False, problem
    of_another = (outing.content_hash, outing.activity) != (key.content_hash, key.activity)
    if of_another:
        if start_utc is None:
            return False, problem
        taken = Notebook(notes=_at_its_moments(book.notes, outing, start_utc))
    else:
        taken = book
    here = book_of(library, outing)
    merged = joined(here, taken)
    LibraryStore(library, outing, here).write(merged)
    left = book if of_another else Notebook(notes=book.notes)
    if left != book:
        notebooks.write(key, left)
    return merged != here, ""


@dataclass(frozen=True)
class WrittenCount:
    """How many notes there are on outings, and on how many of them doubted stretches were decided on."""

    notes: int
    decided: int


def written_on(library: Library, identities: Sequence[str]) -> WrittenCount:
    """What a library keeps on outings that would go with them."""
    notes = sum(len(library.notes.of(identity)) for identity in identities)
    return WrittenCount(notes, sum(library.outings.marks(identity) is not None for identity in identities))


def _at_its_moments(notes: Sequence[Note], outing: StoredOuting, start_utc: datetime) -> tuple[Note, ...]:
    """Notes in the seconds of another recording of the outing."""
    shift_s = (start_utc - outing.start_utc) / timedelta(seconds=1)
    places = (shifted_range(note.start_s, note.end_s, shift_s) for note in notes)
    return tuple(
        replace(note, start_s=start_s, end_s=end_s)
        for note, (start_s, end_s) in zip(notes, places, strict=True)
    )


def remove_for_good(library: Library, identities: Sequence[str], notebooks: Notebooks) -> None:
    """Remove outings with all that was written on them, also in notebooks: else it would come back."""
    for identity in identities:
        try:
            outing = library.outings.get(identity)
        except KeyError:
            continue
        notebooks.remove(ContentKey(outing.content_hash, outing.activity))
    library.outings.remove(identities)
    find_days(library)


def outing_holding(library: Library, key: ContentKey, athlete: str | None) -> StoredOuting | None:
    """The outing kept by this very recording, that of ``athlete`` before those of others; None without one.

    What is written on another recording of an outing counts from another first record.
    """
    known = library.imports.holding(key.content_hash, key.activity)
    found = [each for each in known if (each.content_hash, each.activity) == (key.content_hash, key.activity)]
    mine = [outing for outing in found if outing.athlete == athlete]
    return next(iter((*mine, *found)), None)


def find_store(
    key: ContentKey, notebooks: Notebooks, library: Library | None = None, athlete: str | None = None
) -> tuple[Store, Notebook, str]:
    """Where what is decided on a recording belongs, what is there, and a sentence on a damaged notebook.

    Raises
    ------
    UserError
        With a sentence, when it cannot be read.
    """
    outing = None if library is None else outing_holding(library, key, athlete)
    if library is not None and outing is not None:
        _, problem = move_to_outing(library, outing, notebooks, key)
        outing = library.outings.get(outing.identity)
        book = book_of(library, outing)
        return LibraryStore(library, outing, book), book, problem
    book, problem = notebooks.read(key)
    return NotebookStore(notebooks, key), book, problem


def kept_of_file(file: ReadFile, library: Library | None, athlete: str | None) -> tuple[KeptNotebook, ...]:
    """What is kept of the recordings of a file, found by the very bytes they were read from.

    Raises
    ------
    UserError
        With a sentence, when it cannot be read.
    """
    notebooks = Notebooks()
    return tuple(
        KeptNotebook(*find_store(ContentKey(file.content_hash, activity), notebooks, library, athlete))
        for activity in range(len(file.recordings))
    )


@dataclass(frozen=True, eq=False)
class OutingAsKept:
    """An outing read back; the aim has the band in force on its day and the prescription of a session."""

    outing: StoredOuting
    recording: Recording
    aim: Aim
    book: Notebook


def read_outing(library: Library, identity: str, progress: Progress | None = None) -> OutingAsKept:
    """Read an outing back from the file kept of it; KeyError when there is none of this identity.

    Raises
    ------
    UserError
        With a sentence, when that file is damaged.
    """
    outing = library.outings.get(identity)
    recordings = read(library.outings.original(identity), progress, outing.file_name).recordings
    if outing.activity >= len(recordings):
        raise UserError(
            tr("{file} holds no activity number {number} any more.").format(
                file=outing.file_name, number=outing.activity + 1
            )
        )
    inputs, book = library.inputs(outing.athlete), book_of(library, outing)
    placed = where_noted(outing, book.notes)
    target_s = session_target_s(inputs.prescribed(placed.local_day()))
    aim = replace(inputs.aim_of(placed), target_s=target_s)
    return OutingAsKept(outing, replace(recordings[outing.activity], title=outing.title), aim, book)
