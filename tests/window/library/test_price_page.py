"""What ground costs in the window: table and picture, and a letter that is changed and saved."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.outings import an_outing
from helpers.pasts import past
from helpers.patience import WAIT_MS
from helpers.summaries import outing
from helpers.window_acts import go_to_library, wait_drawn
from slopebeat.library.imports import IncomingOuting
from slopebeat.library.outings import OutingFacts, packed
from slopebeat.library.people import new_identity
from slopebeat.library.results import Result, input_key
from slopebeat.library.store import Library
from slopebeat.model.bands import Band
from slopebeat.model.basis import BY_HAND, HARD_THRESHOLD_BPM, Basis
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.price.gap import gaps
from slopebeat.review.summary import COMPUTATION_VERSION
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.library.band.methods import EdgesPage
from slopebeat.window.library.left_out import LeftOutDialog
from slopebeat.window.library.price_page import PricePage
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.page_file import FileDialog
from window.conftest import Reused, new_window

BAND = Band(112, 132, basis=Basis.of(BY_HAND, **{HARD_THRESHOLD_BPM: 158.0}))


def _patrol(path: Path) -> None:
    """Eight rides in April 2026, every second one less even."""
    one = an_outing(0.0, 140.0, np.random.default_rng(1))
    with Library.create(path) as kept:
        person = Athlete(new_identity(), "Trail patrol", sessions_per_week=3, minutes_per_week=135)
        patrol = kept.athletes.add(person).identity
        kept.bands.put(BandPeriod(patrol, Ground.BIKE, date(2026, 1, 1), BAND))
        for number in range(8):
            uneven = number % 2
            ridden = past(122.0, 13.0 if uneven else 7.0, number, variation=0.7 if uneven else 0.3)
            start = ridden.start_utc
            taught = replace(one, kind="ride", sport="cycling", on_bike=True, past=ridden, start_utc=start)
            facts = OutingFacts(0, start, 7200.0, "cycling", True, f"ride {number}")
            aim = kept.inputs(patrol).aim(Ground.BIKE, start.date())
            summary = outing(start_utc=start, in_band_s=1800.0, on_bike=True)
            result = Result(summary, COMPUTATION_VERSION, input_key(aim, Ground.BIKE), taught)
            kept.imports.keep(
                patrol, packed(b"%d" % number), f"{number}.fit", [IncomingOuting(facts, result)]
            )


@pytest.fixture(scope="module")
def patrol(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library of the patrol; every test opens a copy."""
    path = tmp_path_factory.mktemp("patrol") / "patrol.sqlite3"
    _patrol(path)
    return path


@pytest.fixture
def window(
    reused: Reused, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot, tmp_path: Path, patrol: Path
) -> MainWindow:
    """The window on what ground costs the patrol."""

    def put_back(window: MainWindow) -> None:
        letter = window.library.page.price.letter
        letter.missing.setValue(letter.missing.minimum())
        letter.done.setText("")
        show(window)

    def show(window: MainWindow) -> MainWindow:
        window.notice.hide()
        go_to_library(window, qtbot, Path(shutil.copy(patrol, tmp_path / f"{window.winId()}.sqlite3")))
        window.library.show_library()
        price, shown = window.session.library.price, window.library.page.price
        window.library.page.tabs.setCurrentWidget(shown)
        qtbot.waitUntil(
            lambda: price.latest is not None and shown.table.rowCount() > 0 and price.up_to_date,
            timeout=WAIT_MS,
        )
        wait_drawn(window.session, qtbot)
        return window

    return reused.take(monkeypatch, lambda: show(new_window()), put_back)


@pytest.fixture
def page(window: MainWindow) -> PricePage:
    return window.library.page.price


def test_table_picture_gap_and_a_letter_that_is_changed_and_saved(
    page: PricePage, window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Table and picture hold the two kinds of ground that were ridden.
    cells = [[page.table.item(line, at).text() for at in range(3)] for line in range(2)]  # type: ignore[union-attr]
    assert cells == [["Riding", "steady", "4"], ["Riding", "stop and go", "4"]]
    assert page.picture.height() > 100
    assert "Riding, stop and go: " in page.picture.accessibleDescription()
    # 158 / 132 is a fifth over the edge.
    assert "lies 26 bpm or 20 % over" in page.gap.text()
    # Nothing was ridden this week: all of 135 min is missing, three sessions of it.
    letter = page.letter
    assert "2 h 15 min missing, 3 times 45 min: about" in letter.text.toPlainText()
    letter.missing.setValue(54)
    qtbot.waitUntil(lambda: "54 min missing: about" in letter.text.toPlainText(), timeout=WAIT_MS)
    # What is typed stays when the figures come anew, and goes into the file.
    assert not letter.suggest.isEnabled()
    letter.text.setPlainText("Ride along the lake, please.")
    letter.missing.setValue(40)
    qtbot.waitUntil(lambda: window.session.library.price.up_to_date, timeout=WAIT_MS)
    wait_drawn(window.session, qtbot)
    assert letter.text.toPlainText() == "Ride along the lake, please."
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: tmp_path / "letter.txt")
    letter.save.click()
    qtbot.waitUntil(lambda: "was saved" in letter.done.text(), timeout=WAIT_MS)
    said = (tmp_path / "letter.txt").read_text(encoding="utf-8")
    assert said.startswith("For Trail patrol\n")
    assert "Ride along the lake, please." in said
    letter.suggest.click()
    assert "40 min missing: about" in letter.text.toPlainText()


def test_an_outing_is_left_out_and_taken_in_by_one_click_each(
    page: PricePage, window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = window.session.library
    assert page.behind.text() == "0 outings left out; all…"
    shown: list[list[tuple[str, str]]] = []

    def click_first(dialog: LeftOutDialog) -> int:
        model = dialog.table.rows
        shown.append([(each.title, each.reason) for each in model.rows])
        dialog.table.clicked.emit(model.index(model.order.index(0), 2))
        return 0

    monkeypatch.setattr(LeftOutDialog, "exec", click_first)
    for outings, words in ((7, "1 outing left out; all…"), (8, "0 outings left out; all…")):
        page.behind.click()
        qtbot.waitUntil(lambda words=words: page.behind.text() == words, timeout=WAIT_MS)  # type: ignore[misc]
        (riding,) = not_none(library.price.latest).price.sports
        assert riding.outings == outings
    before, after = shown
    assert len(before) == len(after) == 8
    assert {reason for _, reason in before} == {"the figures are told from it"}
    # The one that was left out stands first, so that the same click takes it in.
    assert after[0] == (before[0][0], "left out by hand")


def test_a_letter_that_cannot_be_written_says_why(
    page: PricePage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: tmp_path / "letter.doc")
    page.letter.save.click()
    qtbot.waitUntil(lambda: "End the name of the file in" in page.letter.done.text(), timeout=WAIT_MS)
    assert not (tmp_path / "letter.doc").exists()


def test_a_letter_whose_name_has_no_ending_is_a_pdf(
    page: PricePage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FileDialog, "ask_to_save", lambda *_: tmp_path / "letter")
    page.letter.save.click()
    qtbot.waitUntil(lambda: "letter.pdf was saved" in page.letter.done.text(), timeout=WAIT_MS)
    assert (tmp_path / "letter.pdf").read_bytes().startswith(b"%PDF-")


def test_the_day_is_today(page: PricePage, window: MainWindow) -> None:
    told = window.session.library.price.latest
    assert told is not None
    assert date.today() - told.price.day <= timedelta(days=1)


def test_a_hard_threshold_is_entered_with_a_band_and_has_to_lie_over_it(qtbot: QtBot) -> None:
    finder = BandFinder(None, Athlete("a" * 36, "Hut warden"), lambda *given: None, date(2026, 7, 1))
    qtbot.addWidget(finder)
    finder.method.setCurrentIndex(finder.method.count() - 1)
    edges = finder.page
    assert isinstance(edges, EdgesPage)
    edges.lower_edge.setValue(112)
    edges.upper_edge.setValue(131)
    finder.hard.setValue(128)
    assert finder.problem.text() == "The hard threshold lies over the band: over 131 bpm, and up to 230."
    assert finder.period() is None
    finder.hard.setValue(158)
    kept = finder.period()
    assert kept is not None
    (gap,) = gaps((kept,))
    assert (gap.upper_bpm, gap.hard.hr_bpm, gap.hard.entered) == (131, 158.0, True)
