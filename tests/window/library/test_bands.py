"""Bands opened again, read, mended and removed in the window, and taken back with the keys of undo."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.libraries import made
from helpers.patience import WAIT_MS
from slopebeat.analysis.band.lactate import LactateTest, Stage, propose_band
from slopebeat.model.bands import Band, BandMethod, band_from_hr_max, band_from_reserve
from slopebeat.model.basis import AGE, BY_HAND, DRIFT_TEST, MEASURED_MAXIMUM, SEEN_MAXIMUM, Basis
from slopebeat.model.people import Athlete, BandPeriod, Ground
from slopebeat.review.price.gap import with_hard_threshold
from slopebeat.window.library.band.dialog import BandsDialog
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets.dialogs import Question

WHO = "a" * 36
STAGES = tuple(Stage(*map(float, each)) for each in ((80, 1.0, 100), (110, 0.9, 112), (140, 1.3, 124)))
HIGHER = tuple(Stage(*map(float, each)) for each in ((170, 2.2, 139), (200, 4.1, 156)))
TESTED = propose_band(LactateTest((*STAGES, *HIGHER), "W", 1.1)).band
SHARES = band_from_hr_max(187.0)
AGED = Band(108, 126, BandMethod.HR_MAX, SHARES.basis.called(AGE, formula="Tanaka 2001", age_years=40.0))
DRIFTED = Band(
    TESTED.lower_bpm,
    TESTED.upper_bpm,
    BandMethod.DRIFT_TEST,
    TESTED.basis.followed_by(DRIFT_TEST, day="2026-05-04", percent=2.5, threshold_percent=5.0),
)
FOUND = (
    (TESTED, "Lactate step test"),
    (with_hard_threshold(TESTED, 165.5), "Lactate step test"),
    (DRIFTED, "Steady-hour check"),
    (Band(110, 128, BandMethod.DRIFT_TEST, Basis.of(DRIFT_TEST, result="62 min, 3 %")), "Steady-hour check"),
    (Band(112, 131, BandMethod.HR_MAX, SHARES.basis.called(MEASURED_MAXIMUM)), "Share of measured maximum"),
    (Band(112, 131, BandMethod.HR_MAX, SHARES.basis.called(SEEN_MAXIMUM)), "Share of measured maximum"),
    (AGED, "By age only"),
    (band_from_reserve(187.0, 52.0), "Heart-rate reserve"),
    (Band(112, 131, basis=Basis.of(BY_HAND)), "Set by hand"),
    (Band(112, 131, basis=Basis.own("The physician said so")), "Set by hand"),
    (Band(112, 131), "Set by hand"),
)
"""Bands found in every way there is, and the method under which each is opened again."""


def nowhere(_: BandPeriod, kept: Callable[[], None], refused: Callable[[str], None]) -> None:
    raise AssertionError("nothing is to be kept")


@pytest.mark.parametrize(("band", "method"), FOUND, ids=range(len(FOUND)))
def test_a_band_opened_again_is_what_it_was_to_the_last_number(qtbot: QtBot, band: Band, method: str) -> None:
    period = BandPeriod(WHO, Ground.BIKE, date(2024, 5, 6), band)
    finder = BandFinder(None, Athlete(WHO, "Hut warden", 1986), nowhere, edited=period)
    qtbot.addWidget(finder)
    assert finder.method.currentText() == method
    assert finder.period() == period
    assert finder.kept.text().startswith(f"{band}: ")
    finder.day.setText("2024-06-01")
    moved = not_none(finder.period())
    assert (moved.from_day, moved.band) == (date(2024, 6, 1), band)


def test_stages_are_in_the_table_again_and_one_mended_gives_another_band(qtbot: QtBot) -> None:
    finder = BandFinder(
        None,
        Athlete(WHO, "Hut warden"),
        nowhere,
        edited=BandPeriod(WHO, Ground.FOOT, date(2026, 1, 5), TESTED),
    )
    qtbot.addWidget(finder)
    page = finder.page
    assert page.stages() == (*STAGES, *HIGHER)  # type: ignore[attr-defined]
    assert page.rest.value() == 1.1  # type: ignore[attr-defined]
    assert finder.outcome.text() == "115-134 bpm"
    # 1.9 mmol/L lies half way from 1.3 to 2.5: (124 + 139) / 2 = 131.5, so 132 bpm.
    not_none(page.table.item(3, 1)).setText("2.5")  # type: ignore[attr-defined]
    assert finder.outcome.text() == "115-132 bpm"
    assert finder.kept.isHidden()
    kept = not_none(finder.period()).band.basis.values["stages"]
    assert [each["lactate_mmol_l"] for each in kept] == [1.0, 0.9, 1.3, 2.5, 4.1]


def test_edges_changed_by_hand_are_no_longer_the_drift_test_of_an_outing(qtbot: QtBot) -> None:
    period = BandPeriod(WHO, Ground.FOOT, date(2026, 1, 5), DRIFTED)
    finder = BandFinder(None, Athlete(WHO, "Hut warden"), nowhere, edited=period)
    qtbot.addWidget(finder)
    finder.page.upper_edge.setValue(130)  # type: ignore[attr-defined]
    values = not_none(finder.period()).band.basis.values
    assert "percent" not in values
    assert "134 bpm" in values["result"]


@pytest.fixture
def opened(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> MainWindow:
    made(tmp_path / "walks.sqlite3")
    window.session.library.open(tmp_path / "walks.sqlite3")
    settle(qtbot, window)
    return window


def settle(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: window.session.library.idle, timeout=WAIT_MS)


def edges(window: MainWindow) -> list[tuple[str, int, int]]:
    periods = window.session.library.opened.periods
    return [(str(p.from_day), p.band.lower_bpm, p.band.upper_bpm) for p in periods if p.ground is Ground.FOOT]


def test_bands_are_mended_asked_about_removed_and_taken_back(
    opened: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = opened.session.library
    who, first = not_none(library.opened.athlete).identity, edges(opened)
    asked: list[str] = []
    answers = [False, True, True]

    def answer(_parent: object, _title: str, words: str, _act: str) -> bool:
        asked.append(words)
        return answers.pop(0)

    monkeypatch.setattr(Question, "ask", answer)
    dialog = BandsDialog(opened, library)
    qtbot.addWidget(dialog)
    day = date.fromisoformat(first[0][0])

    # A day that is taken is asked about; "no" leaves all as it is and the entries where they are.
    def taking(_parent: object, _athlete: Athlete, keep: object, edited: object = None) -> None:
        keep(BandPeriod(who, Ground.FOOT, day, Band(100, 120)), lambda: None, refused.append)  # type: ignore[operator]

    refused: list[str] = []
    monkeypatch.setattr(BandFinder, "ask", taking)
    dialog.add.click()
    settle(qtbot, opened)
    assert edges(opened) == first
    assert "112-131 bpm is in force already" in asked[0]
    assert refused == ["Nothing was changed; another day or ground is free."]
    dialog.add.click()
    settle(qtbot, opened)
    assert edges(opened) == [(str(day), 100, 120)]
    assert opened.actions_by_slot["undo"].text() == f"&Undo change of the band from {day}"

    opened.commands.undo()
    settle(qtbot, opened)
    assert edges(opened) == first
    opened.commands.redo()
    settle(qtbot, opened)
    assert edges(opened) == [(str(day), 100, 120)]

    # Removing says what goes and what holds afterwards, before.
    dialog.table.selectRow(0)
    dialog.remove.click()
    settle(qtbot, opened)
    assert edges(opened) == []
    assert "100-120 bpm" in asked[2]
    assert "have no band then" in asked[2]
    opened.commands.undo()
    settle(qtbot, opened)
    assert edges(opened) == [(str(day), 100, 120)]


def test_no_band_is_replaced_without_its_being_said(opened: MainWindow, qtbot: QtBot) -> None:
    library, first = opened.session.library, edges(opened)
    who, day = not_none(library.opened.athlete).identity, date.fromisoformat(first[0][0])
    refused: list[str] = []
    library.entries.put_band(BandPeriod(who, Ground.FOOT, day, Band(100, 120)), None, refused.append)
    settle(qtbot, opened)
    assert edges(opened) == first
    assert "in force already" in refused[0]
    assert not opened.actions_by_slot["undo"].isEnabled()
