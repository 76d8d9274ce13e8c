"""Athletes made one and removed, and outings given to another or put right, many at once, in the window."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.library.people import new_identity
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.notes import Author, NoteKind, new_note
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.model.recording import Sport
from slopebeat.review.archive.library import ArchiveChange, ArchiveMerge, What
from slopebeat.review.imports.report import ImportReport
from slopebeat.window.library.athletes import AthletesDialog
from slopebeat.window.library.picked import TitleDialog
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.dialogs import Question


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was asked; every question is answered with yes."""
    words: list[str] = []

    def answer(_parent: object, _title: str, said: str, _act: str) -> bool:
        words.append(said)
        return True

    monkeypatch.setattr(Question, "ask", answer)
    return words


@pytest.fixture
def opened(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> MainWindow:
    """Twelve outings of one athlete, and a second athlete with a band of the same day and another."""
    made(tmp_path / "walks.sqlite3")
    with Library.open(tmp_path / "walks.sqlite3") as library:
        (first,) = library.athletes
        band = library.bands.of(first.identity)[0]
        second = library.athletes.add(Athlete(new_identity(), "Valley guide"))
        library.bands.put(BandPeriod(second.identity, band.ground, band.from_day, Band(100, 120)))
        library.bands.put(BandPeriod(second.identity, Ground.BIKE, date(2026, 7, 1), Band(105, 125)))
    window.library._go_there = True
    window.session.library.open(tmp_path / "walks.sqlite3")
    settle(qtbot, window)
    return window


def settle(qtbot: QtBot, window: MainWindow) -> None:
    library = window.session.library

    def done() -> bool:
        return library.idle and window.session.background.idle and library.outings.up_to_date

    qtbot.waitUntil(done, timeout=WAIT_MS)


def chosen(window: MainWindow, title: str) -> None:
    """Choose an entry of the menu of what is picked, also of its menus inside."""
    menu = window.library.page.picked_menu()
    inside = [action for part in menu.findChildren(QMenu) for action in part.actions()]
    next(action for action in [*menu.actions(), *inside] if action.text() == title).trigger()


def test_merging_says_beforehand_what_falls_away(opened: MainWindow, qtbot: QtBot, asked: list[str]) -> None:
    library = opened.session.library
    dialog = AthletesDialog(opened, library)
    qtbot.addWidget(dialog)
    settle(qtbot, opened)
    names = [not_none(dialog.table.item(row, 0)).text() for row in range(dialog.table.rowCount())]
    dialog.table.selectRow(names.index("Valley guide"))
    dialog.merge.menu().actions()[0].trigger()
    settle(qtbot, opened)
    assert "Valley guide would be no more, and 2 bands would go" in asked[0]
    assert "These fall away" in asked[0]
    assert "band 100-120 bpm" in asked[0]
    assert "105-125" not in asked[0]
    assert [each.name for each in library.opened.athletes] == [
        name for name in names if name != "Valley guide"
    ]
    bands = {(p.ground, p.from_day): p.band.upper_bpm for p in library.opened.periods}
    assert bands[Ground.BIKE, date(2026, 7, 1)] == 125
    assert 120 not in bands.values()
    assert dialog.table.rowCount() == 1


def test_an_athlete_who_is_looked_at_is_removed_and_the_next_is_shown(
    opened: MainWindow, qtbot: QtBot, asked: list[str]
) -> None:
    library = opened.session.library
    gone = not_none(library.opened.athlete)
    dialog = AthletesDialog(opened, library)
    qtbot.addWidget(dialog)
    settle(qtbot, opened)
    dialog.table.selectRow(next(at for at, (who, _) in enumerate(dialog._kept) if who == gone))
    dialog.remove.click()
    settle(qtbot, opened)
    assert "12 outings" in asked[0]
    assert "cannot be undone" in asked[0]
    assert not_none(library.opened.athlete).name == "Valley guide"
    assert library.opened.rows == ()
    assert opened.library.page.list.rows.rows == ()


def test_title_and_sport_of_many_are_put_right_at_once_and_taken_back(
    opened: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    library, page = opened.session.library, opened.library.page
    walks = [row.outing for row in library.opened.rows if row.outing.ground is Ground.FOOT][:3]
    ids = tuple(each.identity for each in walks)

    def now() -> list[tuple[str, str]]:
        rows = {row.outing.identity: row.outing for row in library.opened.rows}
        return [(rows[each].title, rows[each].sport) for each in ids]

    before = now()
    monkeypatch.setattr(TitleDialog, "ask", lambda *_: "  To the   lake ")
    page.list.pick_outings(ids)
    chosen(opened, "Change the title…")
    settle(qtbot, opened)
    assert [title for title, _ in now()] == ["To the lake"] * 3
    page.list.pick_outings(ids)
    chosen(opened, "mountain biking")
    settle(qtbot, opened)
    assert [sport for _, sport in now()] == [str(Sport.MOUNTAIN_BIKING)] * 3
    # The band on a bike is in force for them now, and no longer that on foot.
    kept = not_none(library.opened.library)
    athlete = not_none(library.opened.athlete).identity
    assert {note.value for each in ids for note in kept.notes.of(each)} == {5.0}
    assert opened.actions_by_slot["undo"].text() == "&Undo sport of 3 outings"
    opened.commands.undo()
    opened.commands.undo()
    settle(qtbot, opened)
    assert now() == before
    assert not any(kept.notes.by_outing(athlete, tuple(NoteKind)).values())


def test_outings_go_to_another_athlete_once_it_was_asked(
    opened: MainWindow, qtbot: QtBot, asked: list[str]
) -> None:
    library, page = opened.session.library, opened.library.page
    ids = tuple(row.outing.identity for row in library.opened.rows[:2])
    page.list.pick_outings(ids)
    chosen(opened, "Valley guide")
    settle(qtbot, opened)
    assert asked[0].startswith("2 outings would go from")
    assert len(library.opened.rows) == 10
    other = next(each for each in library.opened.athletes if each.name == "Valley guide")
    there = not_none(library.opened.library).outings.of(other.identity)
    assert {each.identity for each in there} == set(ids)


def test_what_an_archive_brought_is_listed_with_who_wrote_it_and_opens(
    opened: MainWindow, qtbot: QtBot
) -> None:
    library, view = opened.session.library, opened.library.page.report
    outing = library.opened.rows[0].outing
    note = new_note(NoteKind.REMARK, Author.COACH, "Hold 4 km/h")
    merge = ArchiveMerge(outing.athlete, notes_added=1, brought=[ArchiveChange(outing, What.ADDED, note)])
    view.show_report(ImportReport(archives=[merge]))
    row = not_none(not_none(view.list.topLevelItem(0)).child(0))
    assert row.text(1) == "note by the coach: remark, Hold 4 km/h"
    with qtbot.waitSignal(view.open_requested, timeout=WAIT_MS) as told:
        view.list.itemActivated.emit(row, 0)
    assert told.args == [outing.identity]
