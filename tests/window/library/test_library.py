"""The library in the window, as a person uses it: people, import, list, comparison, bands, demo."""

from __future__ import annotations

import hashlib
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import FIRST, made
from helpers.patience import WAIT_MS
from helpers.summaries import outing
from helpers.window_acts import drop, next_review, wait_drawn
from slopebeat.analysis.band.lactate import Stage
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.plots.colours import LIGHT
from slopebeat.review.present.listed import LIST_FIGURES
from slopebeat.review.words.basis import how_words
from slopebeat.session.library import library as session_library
from slopebeat.session.library import watch
from slopebeat.session.outing.aim import BandChoice
from slopebeat.session.session import Session
from slopebeat.window.library.athletes import AthleteDialog
from slopebeat.window.library.band.dialog import BandsDialog
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.library.importing import WatchedFolderDialog
from slopebeat.window.library.list import OutingsModel
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.dialogs import Question
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.rows import columns_of

TITLE = 1
WALKED = Path(__file__).resolve().parents[3] / "samples" / "lake_shore_walk.gpx"


def settle(qtbot: QtBot, window: MainWindow) -> None:
    library = window.session.library

    def done() -> bool:
        return library.idle and window.session.background.idle and library.outings.up_to_date

    qtbot.waitUntil(done, timeout=WAIT_MS)


def shown_titles(window: MainWindow) -> list[str]:
    model = window.library.page.list.model()
    return [str(model.index(row, TITLE).data()) for row in range(model.rowCount())]


def show_bar_at_once(window: MainWindow) -> None:
    """Work that is over before the bar would be shown never shows it: how quick it is decides no test."""
    window.library.bar._late.setInterval(0)


@pytest.fixture
def library_window(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> MainWindow:
    """The window on a library of twelve stated outings."""
    made(tmp_path / "walks.sqlite3")
    window.library._go_there = True
    window.session.library.open(tmp_path / "walks.sqlite3")
    settle(qtbot, window)
    assert window.stack.currentWidget() is window.library.page
    return window


def test_a_first_library_is_made_with_an_athlete_and_is_there_at_the_next_start(
    window: MainWindow, qtbot: QtBot
) -> None:
    qtbot.mouseClick(window.welcome.library, Qt.MouseButton.LeftButton)
    settle(qtbot, window)
    dialog = AthleteDialog(window, None, window.session.library.opened.put_athlete)
    dialog.buttons.button(dialog.buttons.StandardButton.Save).click()
    settle(qtbot, window)
    assert "name" in dialog.problem.text()
    qtbot.keyClicks(dialog.name, "Trail patrol")
    dialog.sessions.setValue(3)
    dialog.minutes.setValue(150)
    dialog.body.setValue(71.5)
    dialog.buttons.button(dialog.buttons.StandardButton.Save).click()
    settle(qtbot, window)
    assert window.library.page.athlete.currentText() == "Trail patrol"
    assert "150 min in band in 3 sessions a week" in window.library.page.prescription.text()
    again = MainWindow(Session(), LIGHT)
    qtbot.addWidget(again)
    again.show()
    again.library.start()
    settle(qtbot, again)
    assert again.stack.currentWidget() is again.library.page
    kept = again.session.library.opened.athlete
    assert kept is not None
    assert (kept.name, kept.sessions_per_week, kept.minutes_per_week) == ("Trail patrol", 3, 150.0)
    assert kept.body_mass_kg == 71.5
    again.session.close()


def test_a_taken_name_is_refused_in_a_sentence(library_window: MainWindow, qtbot: QtBot) -> None:
    dialog = AthleteDialog(library_window, None, library_window.session.library.opened.put_athlete)
    qtbot.keyClicks(dialog.name, "hut warden")
    dialog.buttons.button(dialog.buttons.StandardButton.Save).click()
    settle(qtbot, library_window)
    assert dialog.problem.text() == "There is already an athlete named Hut warden."


def test_switching_the_athlete_shows_the_outings_of_that_one(
    library_window: MainWindow, qtbot: QtBot
) -> None:
    session = library_window.session.library
    session.opened.put_athlete(Athlete("b" * 36, "Trail patrol"))
    settle(qtbot, library_window)
    assert shown_titles(library_window) == []
    box = library_window.library.page.athlete
    box.setCurrentIndex(box.findText("Hut warden"))
    box.activated.emit(box.currentIndex())
    settle(qtbot, library_window)
    assert len(shown_titles(library_window)) == 12


def test_a_dropped_folder_is_imported_and_the_summary_names_what_failed_and_why(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path
) -> None:
    folder = tmp_path / "recordings"
    (folder / "deeper").mkdir(parents=True)
    shutil.copy(walk_file, folder / "walk.gpx")
    shutil.copy(walk_file, folder / "deeper" / "same.gpx")
    (folder / "letter.fit").write_text("Dear warden, the stove is broken.")
    show_bar_at_once(library_window)
    with qtbot.waitSignal(library_window.session.library.work.imported, timeout=WAIT_MS):
        drop(library_window, [folder])
        qtbot.waitUntil(library_window.library.bar.isVisible, timeout=WAIT_MS)
    settle(qtbot, library_window)
    assert not library_window.library.bar.isVisible()
    report = library_window.library.page.report
    assert report.isVisible()
    assert report.summary.text() == "1 outing imported, 1 already there, 1 file not read."
    groups = [not_none(report.list.topLevelItem(i)) for i in range(3)]
    failed = not_none(next(group for group in groups if group.text(0) == "Not read (1)").child(0))
    assert failed.text(0) == "letter.fit"
    assert failed.text(1).endswith(".")
    assert len(shown_titles(library_window)) == 13
    imported = library_window.session.library.opened.rows
    row = next(r for r in imported if r.outing.file_name in ("walk.gpx", "same.gpx"))
    assert row.summary is not None
    assert row.summary.band_lower_bpm == 112


def test_an_import_can_be_stopped_and_keeps_what_was_done(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path
) -> None:
    archive = tmp_path / "many.zip"
    with zipfile.ZipFile(archive, "w") as packed:
        text = walk_file.read_text(encoding="utf-8")
        for number in range(30):
            packed.writestr(f"walk{number}.gpx", text.replace("2026-", f"20{number + 30}-"))
    monkey = library_window.library
    show_bar_at_once(library_window)
    with qtbot.waitSignal(library_window.session.library.work.imported, timeout=WAIT_MS) as told:
        monkey.imports.import_paths([archive])
        qtbot.waitUntil(monkey.bar.isVisible, timeout=WAIT_MS)
        qtbot.mouseClick(monkey.bar.stop, Qt.MouseButton.LeftButton)
    assert told.args[0].cancelled
    assert len(told.args[0].imported) < 30
    settle(qtbot, library_window)
    assert len(shown_titles(library_window)) == 12 + len(told.args[0].imported)


def test_the_open_outing_is_kept_once_with_its_load(
    library_window: MainWindow, qtbot: QtBot, walk_file: Path
) -> None:
    with next_review(library_window.session, qtbot):
        library_window.open([walk_file])
    library_window.page.aim.load.setValue(9.5)
    settle(qtbot, library_window)
    for told in ("1 outing imported", "1 already there"):
        with qtbot.waitSignal(library_window.session.library.work.imported, timeout=WAIT_MS):
            library_window.library.imports.keep_outing()
        assert told in library_window.notice.text.text()
    settle(qtbot, library_window)
    kept = [row for row in library_window.session.library.opened.rows if row.outing.load_kg == 9.5]
    assert len(kept) == 1


def test_of_two_files_of_one_name_the_one_looked_at_is_kept_as_it_was_read(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path, ride_file: Path
) -> None:
    walk, ride = tmp_path / "spring" / "outing.gpx", tmp_path / "summer" / "outing.gpx"
    for target, file in ((walk, walk_file), (ride, ride_file)):
        target.parent.mkdir()
        shutil.copy(file, target)
    session = library_window.session
    with next_review(session, qtbot):
        library_window.open([walk, ride])
    with next_review(session, qtbot):
        session.outing.choose(1)
    walk.unlink()
    ride.write_text("the stick was pulled out, and another put in")
    with qtbot.waitSignal(session.library.work.imported, timeout=WAIT_MS) as told:
        library_window.library.imports.keep_outing()
    (kept,) = told.args[0].imported
    assert kept.content_hash == hashlib.sha256(ride_file.read_bytes()).hexdigest()
    with next_review(session, qtbot):
        session.outing.choose(0)
    with qtbot.waitSignal(session.library.work.imported, timeout=WAIT_MS) as told:
        library_window.library.imports.keep_outing()
    (kept,) = told.args[0].imported
    assert kept.content_hash == hashlib.sha256(walk_file.read_bytes()).hexdigest()
    settle(qtbot, library_window)


def test_another_recording_of_an_outing_is_imported_anyway_from_the_list(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, walk_file: Path
) -> None:
    library, view = library_window.session.library, library_window.library.page.report
    points = walk_file.read_text(encoding="utf-8").split("<trkpt")
    part = tmp_path / "part.gpx"
    part.write_text("<trkpt".join([*points[: len(points) // 2], points[-1]]), encoding="utf-8")
    with qtbot.waitSignal(library.work.imported, timeout=WAIT_MS):
        library.import_paths([walk_file])
    assert view.anyway.isHidden()
    with qtbot.waitSignal(library.work.imported, timeout=WAIT_MS) as told:
        library.import_paths([part])
    assert [each.name for each in told.args[0].duplicates] == ["part.gpx"]
    assert not view.anyway.isHidden()
    with qtbot.waitSignal(library.work.imported, timeout=WAIT_MS) as told:
        view.anyway.click()
    assert [outing.file_name for outing in told.args[0].imported] == ["part.gpx"]
    assert view.anyway.isHidden()
    settle(qtbot, library_window)


def test_enter_opens_an_outing_with_the_band_of_its_day_and_two_are_compared(
    library_window: MainWindow, qtbot: QtBot, walk_file: Path, ride_file: Path
) -> None:
    library = library_window.session.library
    with qtbot.waitSignal(library.work.imported, timeout=WAIT_MS):
        library.import_paths([walk_file, ride_file])
    settle(qtbot, library_window)
    library_window.library.page.tabs.setCurrentIndex(0)
    real = [r.outing for r in library.opened.rows if r.outing.file_name in (walk_file.name, ride_file.name)]
    assert len(real) == 2
    table = library_window.library.page.list
    assert not library_window.library.page.compare.isEnabled()
    table.pick_outings((real[0].identity,))
    with next_review(library_window.session, qtbot):
        qtbot.keyClick(table, Qt.Key.Key_Return)
    review = library_window.session.outing.review
    assert review is not None
    assert review.aim.band is not None
    assert (review.aim.band.lower_bpm, review.aim.band.upper_bpm) == (112, 131)
    assert review.aim.target_s == 45 * 60.0  # 90 prescribed minutes in two sessions
    assert library_window.stack.currentWidget() is library_window.page
    assert library_window.session.settings.content.entered.choice.lower_bpm is None
    library_window.library.show_library()
    table.pick_outings((real[0].identity, real[1].identity))
    with qtbot.waitSignal(library.kept.compared, timeout=WAIT_MS):
        qtbot.mouseClick(library_window.library.page.compare, Qt.MouseButton.LeftButton)
    page = library_window.library.compare
    wait_drawn(library_window.session, qtbot)
    assert library_window.stack.currentWidget() is page
    first, second = page.columns
    assert "counted" in first.answer.text()
    assert first.name.text() != second.name.text()
    assert first.heart.panel.plot.viewRange() == second.heart.panel.plot.viewRange()
    qtbot.mouseClick(page.back, Qt.MouseButton.LeftButton)
    assert library_window.stack.currentWidget() is library_window.library.page


def test_an_outing_whose_file_holds_no_recording_is_told_in_a_sentence(
    library_window: MainWindow, qtbot: QtBot
) -> None:
    table = library_window.library.page.list
    with qtbot.waitSignal(library_window.session.library.failed, timeout=WAIT_MS):
        table.doubleClicked.emit(table.model().index(0, 0))
    assert library_window.notice.text.text().endswith(".")
    assert library_window.stack.currentWidget() is library_window.library.page


def test_selectors_and_words_narrow_the_list_and_show_all_brings_it_back(
    library_window: MainWindow, qtbot: QtBot
) -> None:
    filters = library_window.library.page.filters

    def choose(box: object, words: str) -> list[str]:
        box.setCurrentIndex(box.findText(words))  # type: ignore[attr-defined]
        box.activated.emit(box.currentIndex())  # type: ignore[attr-defined]
        settle(qtbot, library_window)
        return shown_titles(library_window)

    assert choose(filters.days.span, "From a day to a day") == []
    filters.days.first.set_day(date(2026, 1, 13))
    filters.days.last.set_day(date(2026, 1, 17))
    settle(qtbot, library_window)
    # One every fourth day from 5 January on: the 13th and the 17th.
    assert shown_titles(library_window) == ["Ridge 3", "Ridge 2"]
    shown = library_window.session.library.outings.shown
    assert [week.iso for week in shown.months.weeks] == ["2026-W03"]
    filters.everything.click()
    settle(qtbot, library_window)
    assert choose(filters.ground, "On a bike") == ["Ridge 4"]
    filters.everything.click()
    settle(qtbot, library_window)
    assert len(shown_titles(library_window)) == 12
    assert choose(filters.duration, "Under 1 h") == ["Ridge 1"]
    filters.clear()
    assert choose(filters.load, "Over 10 kg") == ["Ridge 2"]
    filters.clear()
    assert choose(filters.terrain, "Gentle ground") == [f"Ridge {i}" for i in (11, 9, 7, 5, 3, 1)]
    filters.clear()
    assert choose(filters.sport, "mountain biking") == ["Ridge 4"]
    filters.clear()
    qtbot.keyClicks(filters.words, "ridge 1")
    settle(qtbot, library_window)
    assert shown_titles(library_window) == ["Ridge 11", "Ridge 10", "Ridge 1"]
    assert library_window.library.page.count.text() == "3 of 12 outings"


def test_every_column_sorts_both_ways_with_the_unknown_last() -> None:
    model = OutingsModel(columns_of(LIST_FIGURES))
    from slopebeat.session.library.rows import OutingRow

    class Facts:
        def __init__(self, number: int) -> None:
            self.title, self.sport, self.load_kg = f"T{number}", "hiking", float(number)
            self.start_utc, self.utc_offset_s = FIRST + timedelta(days=number), None

    rows = [
        OutingRow(Facts(i), None if i == 3 else outing(yield_share=(0.4, 0.9, 0.1)[i]))  # type: ignore[arg-type]
        for i in range(4)
    ]
    model.set_rows(rows)
    at = [column.header for column in LIST_FIGURES].index("Yield")
    model.sort(at, Qt.SortOrder.AscendingOrder)
    assert [model.index(r, at).data() for r in range(4)] == ["10 %", "40 %", "90 %", "–"]
    model.sort(at, Qt.SortOrder.DescendingOrder)
    assert [model.index(r, at).data() for r in range(4)] == ["90 %", "40 %", "10 %", "–"]


def test_a_band_typed_for_a_kept_outing_is_kept_from_today_by_one_press(
    library_window: MainWindow, qtbot: QtBot, walk_file: Path
) -> None:
    session, offer = library_window.session, library_window.page.aim.keep
    with qtbot.waitSignal(session.library.work.imported, timeout=WAIT_MS):
        session.library.import_paths([walk_file])
    settle(qtbot, library_window)
    opened = session.library.opened
    walk = next(row.outing for row in opened.rows if row.outing.file_name == walk_file.name)
    with next_review(session, qtbot):
        session.library.open_outing(walk.identity)
    with next_review(session, qtbot):
        choice = BandChoice(lower_bpm=101, upper_bpm=124)
        session.edit_aim(replace(session.aim.entered, choice=choice))
    athlete = opened.athlete
    assert athlete is not None
    assert not offer.isHidden()
    assert athlete.name in offer.text()
    offer.click()
    settle(qtbot, library_window)
    kept = [p for p in opened.periods if (p.band.lower_bpm, p.band.upper_bpm) == (101, 124)]
    assert [(p.athlete, p.from_day) for p in kept] == [(athlete.identity, date.today())]
    assert offer.isHidden()


def test_a_new_band_renews_the_outings_it_covers_in_the_background(
    library_window: MainWindow, qtbot: QtBot, walk_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = library_window.session.library
    with qtbot.waitSignal(library.work.imported, timeout=WAIT_MS):
        library.import_paths([walk_file])
    settle(qtbot, library_window)
    day = next(r for r in library.opened.rows if r.outing.file_name == walk_file.name).outing.local_day()
    finder = BandFinder(library_window, not_none(library.opened.athlete), library.entries.put_band, day)
    finder.method.setCurrentText("Share of measured maximum")
    finder.page.hr_max.setValue(170)  # type: ignore[attr-defined]
    assert finder.outcome.text() == "102-119 bpm"  # 60 and 70 % of 170 bpm
    monkeypatch.setattr(BandFinder, "ask", lambda *_: finder.save())
    monkeypatch.setattr(Question, "ask", lambda *_: True)
    dialog = BandsDialog(library_window, library)
    before = dialog.table.rowCount()
    with qtbot.waitSignal(library.work.recomputed, timeout=WAIT_MS):
        dialog.add.click()
    settle(qtbot, library_window)
    assert dialog.table.rowCount() == before + 1
    summary = next(r for r in library.opened.rows if r.outing.file_name == walk_file.name).summary
    assert summary is not None
    assert (summary.band_lower_bpm, summary.band_upper_bpm) == (102, 119)
    earlier = next(r for r in library.opened.rows if r.outing.title == "Ridge 0").summary
    assert earlier is not None
    assert earlier.band_lower_bpm == 112
    dialog.table.selectRow(1)
    assert not_none(dialog.table.item(1, 2)).text() == "102-119 bpm"
    with qtbot.waitSignal(library.work.recomputed, timeout=WAIT_MS):
        dialog.remove.click()
    settle(qtbot, library_window)
    summary = next(r for r in library.opened.rows if r.outing.file_name == walk_file.name).summary
    assert summary is not None
    assert summary.band_lower_bpm == 112


def keep_nowhere(_: BandPeriod, kept: Callable[[], None], refused: Callable[[str], None]) -> None:
    raise AssertionError("nothing is to be kept")


def test_the_band_finder_shows_doubts_and_refuses_half_entries(qtbot: QtBot) -> None:
    finder = BandFinder(None, Athlete("a" * 36, "Hut warden", 1980), keep_nowhere, FIRST.date())
    qtbot.addWidget(finder)
    save = finder.buttons.button(finder.buttons.StandardButton.Save)
    assert not save.isEnabled()
    finder.method.setCurrentText("By age only")
    # 208 - 0.7 x 46 = 175.8 bpm (Tanaka 2001); 60-70 % of it, and of 12 bpm less and more.
    assert finder.outcome.text() == "105-124 bpm"
    assert "10-12 bpm" in finder.doubts.text()
    assert "98-115 bpm or 112-132 bpm" in finder.doubts.text()
    finder.method.setCurrentText("Heart-rate reserve")
    finder.page.hr_max.setValue(100)  # type: ignore[attr-defined]
    finder.page.hr_rest.setValue(120)  # type: ignore[attr-defined]
    assert not save.isEnabled()
    assert finder.problem.text().endswith("maximal heart rate.")
    finder.method.setCurrentText("Steady-hour check")
    finder.page.lower_edge.setValue(110)  # type: ignore[attr-defined]
    finder.page.upper_edge.setValue(128)  # type: ignore[attr-defined]
    assert finder.period() is None
    qtbot.keyClicks(finder.page.outcome_words, "Level road, 62 min, 3 %")  # type: ignore[attr-defined]
    kept = finder.period()
    assert isinstance(kept, BandPeriod)
    assert (kept.ground, how_words(kept.band)) == (Ground.FOOT, "Steady-hour check: Level road, 62 min, 3 %")


def test_a_lactate_test_is_typed_into_the_table_and_gives_a_range(qtbot: QtBot) -> None:
    finder = BandFinder(None, Athlete("a" * 36, "Hut warden"), keep_nowhere, FIRST.date())
    qtbot.addWidget(finder)
    finder.method.setCurrentText("Lactate step test")
    page = finder.page
    # 1.0 mmol/L is a quarter of the way from 0.9 to 1.3, 1.9 two thirds from 1.3 to 2.2: 115 and 134 bpm.
    stages = ((80, 1.0, 100), (110, 0.9, 112), (140, 1.3, 124), (170, 2.2, 139), (200, 4.1, 156))
    page.enter(tuple(Stage(*stage) for stage in stages))  # type: ignore[attr-defined]
    assert finder.outcome.text() == "115-134 bpm"
    assert "Methods disagree" in finder.doubts.text()
    assert "baseline + 0.5" in page.readings.text()  # type: ignore[attr-defined]
    assert page.chart.dots.getData()[0].tolist() == [s[0] for s in stages]  # type: ignore[attr-defined]
    page.table.item(2, 1).setText("much")  # type: ignore[attr-defined]
    assert finder.problem.text() == "Stage 3 holds something that is no number."
    assert finder.period() is None


def test_the_demo_library_is_built_in_the_background_and_never_remembered(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled: list[Path] = []

    def fill(library: object, progress: object, folder: object = None) -> None:
        progress(0, 1, "a file")  # type: ignore[operator]
        filled.append(library.path)  # type: ignore[attr-defined]

    monkeypatch.setattr("slopebeat.review.demo_months.fill_with_demo", fill)
    with qtbot.waitSignal(window.session.library.work.demo_filled, timeout=WAIT_MS):
        qtbot.mouseClick(window.welcome.months, Qt.MouseButton.LeftButton)
    settle(qtbot, window)
    assert filled == [session_library.demo_path()]
    assert window.stack.currentWidget() is window.library.page
    assert window.session.library.memory.path is None
    assert "invented" in window.library.page.place.text()


def test_another_library_is_opened_where_the_user_says(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(tmp_path / "other.sqlite3", 3)
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, **__: tmp_path / "other.sqlite3")
    window.library.other_library()
    settle(qtbot, window)
    assert len(shown_titles(window)) == 3
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear warden")
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_, **__: letter)
    with qtbot.waitSignal(window.session.library.failed, timeout=WAIT_MS):
        window.library.other_library()
    assert "not a library" in window.notice.text.text()
    assert len(shown_titles(window)) == 3


def test_a_watched_folder_is_chosen_told_of_and_given_up(
    library_window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watch, "SETTLE_MS", 10)
    folder = tmp_path / "device"
    folder.mkdir()
    shutil.copy(WALKED, folder)
    dialog = WatchedFolderDialog(library_window, library_window.session.library)
    assert not dialog.stop.isEnabled()
    with qtbot.waitSignal(library_window.session.library.watch.arrived, timeout=WAIT_MS):
        dialog.take(folder)
    assert str(folder) in dialog.state.text()
    assert "1 outing imported" in library_window.notice.text.text()
    assert (
        not_none(not_none(library_window.library.page.report.list.topLevelItem(0)).child(0)).text(0)
        == WALKED.name
    )
    folder.rename(tmp_path / "elsewhere")
    qtbot.mouseClick(dialog.again, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "not there at the moment" in dialog.state.text(), timeout=WAIT_MS)
    qtbot.mouseClick(dialog.stop, Qt.MouseButton.LeftButton)
    assert dialog.state.text() == "No folder is looked at."
