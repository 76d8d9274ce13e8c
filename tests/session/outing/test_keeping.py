"""What is written on an outing is on the disk at once and comes back wherever the outing is opened from."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, QEventLoop, QTimer
from pytestqt.qtbot import QtBot

from helpers.patience import WAIT_MS
from library.making import facts, keep
from session.outing.test_notes import NOTE_ACT, NoteSession
from session.test_undo import ACT
from slopebeat.files.reading import ReadFile, read
from slopebeat.library.notebooks import Notebooks
from slopebeat.library.old.notebooks import file_of
from slopebeat.library.outings import StoredOuting
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.marks import Channel, Mark, MarkState, Reason
from slopebeat.model.notes import Author, Note, NoteKind, new_note
from slopebeat.model.outing.notebooks import ContentKey, KeptNotebook, Notebook, caught_up
from slopebeat.model.people import Athlete
from slopebeat.model.recording import content_hash
from slopebeat.review.imports.importing import import_files
from slopebeat.review.notes.keeping import LibraryStore, NotebookStore, book_of
from slopebeat.review.summary import COMPUTATION_VERSION
from slopebeat.session.outing.aim import aim_act
from slopebeat.session.outing.autosave import AutoSave
from slopebeat.session.session import Session
from slopebeat.session.undo import Change

EVERYTHING = next((Path(__file__).parents[2] / "library" / "files" / "notebooks_1").glob("a0a44ed8*-0.json"))
"""A notebook in a file of its own, as an earlier version kept it."""

MARK = Mark(30.0, 60.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
POINT = (
    '<trkpt lat="{lat:.6f}" lon="11.0"><ele>{ele:.1f}</ele>'
    "<time>2026-07-11T06:{minute:02d}:{second:02d}Z</time><extensions><hr>{hr}</hr></extensions></trkpt>"
)


def walk_text(name: str = "To the upper hut") -> str:
    points = (
        POINT.format(lat=46.0 + 1e-5 * t, ele=1500 + 0.2 * t, minute=t // 60, second=t % 60, hr=110 + t % 9)
        for t in range(0, 600, 5)
    )
    head = '<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk>'
    return f"{head}<name>{name}</name><trkseg>{''.join(points)}</trkseg></trk></gpx>"


@pytest.fixture
def walk(tmp_path: Path) -> Path:
    path = tmp_path / "walk.gpx"
    path.write_text(walk_text(), encoding="utf-8")
    return path


@pytest.fixture
def session(qtbot: QtBot) -> Iterator[Session]:
    made = Session()
    yield made
    made.close()


def opened(session: Session, qtbot: QtBot, path: Path) -> Session:
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.open([path])
    return session


def settled(session: Session, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: session.keeping.idle and session.background.idle, timeout=WAIT_MS)


def again(session: Session, qtbot: QtBot, path: Path) -> Session:
    """The same file opened in a program started afresh."""
    session.close()
    return opened(Session(), qtbot, path)


def remark(text: str = "steep and wet", start_s: float | None = 40.0) -> Note:
    return new_note(NoteKind.REMARK, Author.COACH, text, start_s=start_s)


def test_what_was_decided_on_a_plain_file_is_there_at_the_next_start(
    qtbot: QtBot, session: Session, walk: Path
) -> None:
    opened(session, qtbot, walk)
    session.notes.add(remark())
    session.doubts.add(30.0, 60.0)
    entered = session.aim.entered
    session.edit_aim(replace(entered, rest=replace(entered.rest, load_kg=12.0, load_until_s=300.0)))
    session.outing.set_title("Supply walk")
    shown, marks = session.notes.all, session.outing.marks
    fresh = again(session, qtbot, walk)
    assert fresh.notes.all == shown
    assert fresh.outing.marks == marks
    assert fresh.outing.marks is not None
    assert fresh.outing.review is not None
    assert fresh.outing.review.marks == marks
    assert (fresh.aim.aim.load_kg, fresh.aim.aim.load_until_s) == (12.0, 300.0)
    assert fresh.outing.review.recording.title == "Supply walk"
    fresh.close()


def test_who_writes_is_remembered(qtbot: QtBot, session: Session) -> None:
    session.notes.author = Author.COACH
    fresh = Session()
    assert fresh.notes.author is Author.COACH
    fresh.close()


def test_a_notebook_belongs_to_the_content_and_not_to_the_name(
    qtbot: QtBot, session: Session, walk: Path, tmp_path: Path
) -> None:
    opened(session, qtbot, walk).notes.add(remark())
    settled(session, qtbot)
    renamed, other = tmp_path / "other name.gpx", tmp_path / "walk too.gpx"
    renamed.write_bytes(walk.read_bytes())
    other.write_text(walk_text("Another"), encoding="utf-8")
    assert [note.text for note in opened(session, qtbot, renamed).notes.all] == ["steep and wet"]
    assert opened(session, qtbot, other).notes.all == ()


def test_a_file_that_vanishes_or_changes_once_it_was_read_keeps_its_own_notes(
    qtbot: QtBot, walk: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.gpx"
    other.write_text(walk_text("Another"), encoding="utf-8")
    first = Session()
    opened(first, qtbot, walk).notes.add(remark("of the walk"))
    settled(first, qtbot)
    opened(first, qtbot, other).notes.add(remark("of the other"))
    settled(first, qtbot)
    first.close()

    def vanishing(path: Path, progress: Any) -> ReadFile:
        """Reads a file, behind which it is gone, or is another one."""
        file = read(path, progress)
        path.unlink() if path == walk else path.write_text(walk_text("A third"), encoding="utf-8")
        return file

    second = Session(reader=vanishing)
    with qtbot.waitSignal(second.outing.reviewed, timeout=WAIT_MS):
        second.open([walk, other])
    assert [note.text for note in second.outing.notes] == ["of the walk"]
    with qtbot.waitSignal(second.outing.reviewed, timeout=WAIT_MS):
        second.outing.choose(1)
    assert [note.text for note in second.outing.notes] == ["of the other"]
    second.close()


def test_a_load_of_one_outing_is_not_that_of_the_next(
    qtbot: QtBot, session: Session, walk: Path, tmp_path: Path
) -> None:
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    Notebooks().write(key, Notebook(load=(14.0, None)))
    other = tmp_path / "other.gpx"
    other.write_text(walk_text("Another"), encoding="utf-8")
    assert opened(session, qtbot, walk).aim.aim.load_kg == 14.0
    assert opened(session, qtbot, other).aim.aim.load_kg == 0.0
    assert Notebooks().read(ContentKey(content_hash(other.read_bytes()), 0)) == (Notebook(), "")


def test_a_damaged_notebook_is_set_aside_with_a_sentence_and_never_written_over(
    qtbot: QtBot, session: Session, walk: Path
) -> None:
    books = Notebooks()
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    old, whole = file_of(books.folder, key), EVERYTHING.read_bytes()
    old.parent.mkdir(parents=True)
    old.write_bytes(whole[:-20])
    told: list[str] = []
    session.opening.failed.connect(told.append)
    opened(session, qtbot, walk)
    (sentence,) = told
    assert "damaged" in sentence
    session.notes.add(remark("a new one"))
    settled(session, qtbot)
    aside = [path for path in books.folder.iterdir() if ".damaged." in path.name]
    assert [path.read_bytes() for path in aside] == [whole[:-20]]
    assert [note.text for note in books.read(key)[0].notes] == ["a new one"]


def test_a_notebook_of_a_later_version_is_left_alone(qtbot: QtBot, session: Session, walk: Path) -> None:
    books = Notebooks()
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    old = file_of(books.folder, key)
    old.parent.mkdir(parents=True)
    later = json.dumps(json.loads(EVERYTHING.read_text()) | {"version": 99, "more": "words"})
    old.write_text(later)
    told: list[str] = []
    session.opening.failed.connect(told.append)
    session.notes.failed.connect(told.append)
    opened(session, qtbot, walk).notes.add(remark())
    settled(session, qtbot)
    assert "later version" in told[0]
    assert old.read_text() == later
    assert len(session.notes.all) == 1


def test_a_failed_write_is_told_and_the_note_stays_on_screen(
    qtbot: QtBot, session: Session, walk: Path
) -> None:
    books = Notebooks()
    opened(session, qtbot, walk)
    books.path.parent.mkdir(parents=True, exist_ok=True)
    books.path.write_text("a file where the library should be")
    told: list[str] = []
    session.notes.failed.connect(told.append)
    session.notes.add(remark())
    settled(session, qtbot)
    assert len(told) == 1
    assert "cannot be kept" in told[0]
    assert len(session.notes.all) == 1
    os.remove(books.path)
    session.notes.add(remark("and later"))
    settled(session, qtbot)
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    assert books.read(key)[0].notes == session.notes.every, "what could not be written goes with the next"


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.create(tmp_path / "library.sqlite3") as made:
        made.athletes.add(Athlete(new_identity(), "Hut warden"))
        yield made


def test_importing_brings_the_notebook_along(library: Library, walk: Path) -> None:
    (athlete,) = library.athletes
    key, note = ContentKey(content_hash(walk.read_bytes()), 0), remark()
    Notebooks().write(key, Notebook((note,), (MARK,), (9.0, 300.0), "Supply walk"))
    report = import_files(library, athlete.identity, [walk])
    (outing,) = library.outings.of(athlete.identity)
    assert (report.notebooks, [each.identity for each in report.imported]) == (1, [outing.identity])
    expected = Notebook((note,), (MARK,), (9.0, 300.0), "Supply walk")
    assert book_of(library, outing) == expected
    assert [each.outing.identity for each in library.stale_outings(COMPUTATION_VERSION)] == [outing.identity]
    # Taken back in the library it stays taken back, though the notebook had it.
    library.outings.set_marks(outing.identity, None)
    library.outings.set_load(outing.identity, 0.0)
    library.notes.merge(outing.identity, [note.taken_back(note.changed_utc.replace(year=2099))])
    assert import_files(library, athlete.identity, [walk]).notebooks == 0
    book = book_of(library, library.outings.get(outing.identity))
    assert (book.marks, book.load, [each.deleted for each in book.notes]) == (None, (0.0, None), [True])


def test_marks_decided_in_the_library_hold_against_those_of_the_notebook(
    library: Library, walk: Path
) -> None:
    (athlete,) = library.athletes
    import_files(library, athlete.identity, [walk])
    (outing,) = library.outings.of(athlete.identity)
    library.outings.set_marks(outing.identity, (MARK,))
    other = Mark(100.0, 200.0, Channel.HEART_RATE, Reason.BY_HAND, MarkState.ACCEPTED)
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    Notebooks().write(key, Notebook(marks=(other,)))
    import_files(library, athlete.identity, [walk])
    assert library.outings.marks(outing.identity) == (MARK,)


def test_a_file_the_open_library_holds_is_written_to_there(
    qtbot: QtBot, session: Session, library: Library, walk: Path
) -> None:
    (athlete,) = library.athletes
    import_files(library, athlete.identity, [walk], load_kg=6.0)
    (outing,) = library.outings.of(athlete.identity)
    library.outings.set_marks(outing.identity, (MARK,))
    with qtbot.waitSignal(session.library.opened.opened, timeout=WAIT_MS):
        session.library.open(library.path)
    opened(session, qtbot, walk)
    assert session.outing.marks == (MARK,)
    assert session.aim.aim.load_kg == 6.0
    session.notes.add(remark())
    session.history.undo()
    session.history.redo()
    settled(session, qtbot)
    assert book_of(library, outing).notes == session.notes.every
    assert not Notebooks().path.exists()


def test_an_outing_on_screen_moves_into_the_library_it_is_imported_to(
    qtbot: QtBot, session: Session, library: Library, walk: Path
) -> None:
    opened(session, qtbot, walk)
    session.notes.add(remark())
    with qtbot.waitSignal(session.library.opened.opened, timeout=WAIT_MS):
        session.library.open(library.path)
    with qtbot.waitSignal(session.library.work.imported, timeout=WAIT_MS):
        session.library.import_paths([walk])
    settled(session, qtbot)
    session.notes.add(remark("written after"))
    session.doubts.add(30.0, 60.0)
    settled(session, qtbot)
    (athlete,) = library.athletes
    (outing,) = library.outings.of(athlete.identity)
    book = book_of(library, outing)
    assert book.notes == session.notes.every
    assert len(book.notes) == 2
    assert book.marks == session.outing.marks is not None


def opened_from_library(qtbot: QtBot, session: Session, library: Library, walk: Path) -> StoredOuting:
    """The walk imported, and opened out of the library."""
    (athlete,) = library.athletes
    import_files(library, athlete.identity, [walk])
    (outing,) = library.outings.of(athlete.identity)
    with qtbot.waitSignal(session.library.opened.opened, timeout=WAIT_MS):
        session.library.open(library.path)
    with qtbot.waitSignal(session.outing.reviewed, timeout=WAIT_MS):
        session.library.open_outing(outing.identity)
    return outing


def test_decisions_on_an_outing_of_the_library_come_back_and_the_list_follows(
    qtbot: QtBot, session: Session, library: Library, walk: Path
) -> None:
    outing = opened_from_library(qtbot, session, library, walk)
    entered = session.aim.entered
    session.edit_aim(replace(entered, rest=replace(entered.rest, load_kg=8.0)))
    session.outing.set_title("Supply walk")
    session.doubts.add(30.0, 60.0)
    session.notes.add(new_note(NoteKind.LOAD, Author.ATHLETE, value=15.0, start_s=100.0, end_s=200.0))
    settled(session, qtbot)
    review = session.outing.review
    assert review is not None
    assert review.load_kg == 15.0
    assert book_of(library, library.outings.get(outing.identity)) == Notebook(
        session.notes.every, session.outing.marks, (8.0, None), "Supply walk"
    )

    def followed() -> bool:
        rows = session.library.opened.rows
        return bool(rows) and rows[0].summary is not None and rows[0].summary.load_kg == 15.0

    qtbot.waitUntil(followed, timeout=WAIT_MS)
    assert session.library.opened.rows[0].outing.title == "Supply walk"
    assert library.stale_outings(COMPUTATION_VERSION) == ()
    session.history.undo()
    session.history.undo()
    settled(session, qtbot)
    assert library.outings.marks(outing.identity) is None
    assert session.settings.content.entered.rest.load_kg == 0.0, "the user's own aim is kept apart"


def test_what_comes_into_the_library_for_an_outing_on_screen_is_shown_and_decisions_on_screen_stay(
    qtbot: QtBot, session: Session, library: Library, walk: Path
) -> None:
    outing = opened_from_library(qtbot, session, library, walk)
    mine, theirs = remark("mine"), remark("theirs", 80.0)
    session.notes.add(mine)
    session.edit_title("Mine")
    settled(session, qtbot)
    # What another person has written comes in by the library, past this window.
    library.notes.merge(outing.identity, [theirs])
    library.outings.set_marks(outing.identity, (MARK,))
    library.outings.set_load(outing.identity, 11.0)
    session.look_for_library()
    session.edit_title("Mine again")
    settled(session, qtbot)
    assert {note.text for note in session.notes.all} == {"mine", "theirs"}
    assert (session.outing.marks, session.aim.aim.load_kg) == ((MARK,), 11.0)
    assert session.outing.recordings[0].title == "Mine again"
    expected = Notebook(session.notes.every, (MARK,), (11.0, None), "Mine again")
    assert book_of(library, library.outings.get(outing.identity)) == expected
    session.history.undo()
    settled(session, qtbot)
    assert book_of(library, library.outings.get(outing.identity)) == replace(expected, title="Mine")
    assert session.keeping.usual_load_kg == 0.0


BOOKS = st.builds(
    Notebook,
    marks=st.sampled_from([None, (MARK,)]),
    load=st.sampled_from([(0.0, None), (8.0, None), (8.0, 60.0)]),
    title=st.sampled_from(["one", "two", "three"]),
)


@given(BOOKS, BOOKS, BOOKS)
def test_catching_up_takes_what_changed_on_either_side_and_prefers_the_screen(
    was: Notebook, mine: Notebook, now: Notebook
) -> None:
    assert caught_up(was, was, now) == now
    assert caught_up(mine, was, was) == mine
    made = caught_up(mine, was, now)
    for name in ("marks", "load", "title"):
        here, before = getattr(mine, name), getattr(was, name)
        assert getattr(made, name) == (here if here != before else getattr(now, name))


def test_an_outing_removed_while_it_is_on_screen_is_said_so(
    qtbot: QtBot, session: Session, library: Library, walk: Path
) -> None:
    (athlete,) = library.athletes
    import_files(library, athlete.identity, [walk])
    (outing,) = library.outings.of(athlete.identity)
    with qtbot.waitSignal(session.library.opened.opened, timeout=WAIT_MS):
        session.library.open(library.path)
    opened(session, qtbot, walk)
    library.outings.remove([outing.identity])
    with qtbot.waitSignal(session.notes.failed, timeout=WAIT_MS) as told:
        session.notes.add(remark())
    assert "removed from the library" in told.args[0]


class SavedSession(NoteSession):
    """The parts with what writes to the disk, on one recording that is kept in a store."""

    def __init__(self, store: LibraryStore | NotebookStore, book: Notebook) -> None:
        super().__init__()
        self.keeping = AutoSave(self.outing, self.aim)
        self.keeping.show((KeptNotebook(store, book),))
        self.outing.set_recordings(self.outing.recordings[:1], (book,))

    @property
    def book(self) -> Notebook:
        """What is on screen."""
        rest = self.aim.entered.rest
        title = self.outing.recordings[0].title
        return Notebook(self.notes.every, self.outing.marks, (rest.load_kg, rest.load_until_s), title)

    def act(self, act: tuple[Any, ...]) -> None:
        if act[0] in ("undo", "redo"):
            getattr(self.history, act[0])()
        elif act[0] == "title":
            before = self.outing.recordings[0].title
            if act[1] != before:
                self.history.do(Change("title", before, act[1], self.outing.set_title))
        elif act[0] == "load":
            entered = self.aim.entered
            rest = replace(entered.rest, load_kg=act[1], load_until_s=act[2])
            if rest != entered.rest:
                self.history.do(aim_act(self.aim, entered, replace(entered, rest=rest)))
        else:
            super().act(act)


ACTS = st.lists(
    st.one_of(
        ACT,
        NOTE_ACT,
        st.tuples(st.just("title"), st.sampled_from(["Supply walk", "Ridge", "Über den Grat"])),
        st.tuples(st.just("load"), st.sampled_from([0.0, 6.5, 14.0]), st.sampled_from([None, 60.0])),
        st.just(("undo",)),
        st.just(("redo",)),
    ),
    min_size=1,
    max_size=14,
)


def shown(book: Notebook) -> tuple[object, ...]:
    """What a person sees of a book: which notes are there, not when they were changed last."""
    notes = {replace(note, changed_utc=note.created_utc) for note in book.notes if not note.deleted}
    return notes, book.marks, book.load or (0.0, None), book.title or ""


@pytest.mark.usefixtures("qapp")
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(walked=ACTS, in_library=st.booleans())
def test_what_is_stored_is_what_is_on_screen_after_any_walk(
    library: Library, walk: Path, walked: list[Any], in_library: bool
) -> None:
    """Notes, marks, load and title: after any acts, after taking all back, and after doing all again."""
    (athlete,) = library.athletes
    key = ContentKey(content_hash(walk.read_bytes()), 0)
    if in_library:
        library.outings.remove([o.identity for o in library.outings.of(athlete.identity)])
        (kept,) = keep(library, athlete, walk.read_bytes(), facts())
        begun = book_of(library, kept.outing)
        store: LibraryStore | NotebookStore = LibraryStore(library, kept.outing, begun)
    else:
        Notebooks().remove(key)
        begun, store = Notebook(), NotebookStore(Notebooks(), key)

    def stored() -> Notebook:
        if in_library:
            return book_of(library, library.outings.get(kept.outing.identity))
        return Notebooks().read(key)[0]

    parts = SavedSession(store, begun)
    for act in walked:
        parts.act(act)
    after = parts.book
    settle(parts)
    assert shown(stored()) == shown(after)
    assert stored().notes == after.notes
    while parts.history.undo_words is not None:
        parts.history.undo()
    settle(parts)
    assert shown(stored()) == shown(parts.book) == shown(begun)
    while parts.history.redo_words is not None:
        parts.history.redo()
    parts.keeping.close()
    assert shown(stored()) == shown(parts.book)


def settle(parts: SavedSession) -> None:
    """Wait until everything is on the disk and told of."""
    patience = QTimer(singleShot=True)
    patience.start(WAIT_MS)
    while not parts.keeping.idle:
        assert patience.isActive()
        # What is written is told of by an event; to look again and again would keep the writer waiting.
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
