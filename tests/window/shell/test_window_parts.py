"""Actions as data, dialogs, our own errors, accessible names, and the sums of the picture."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QComboBox, QLabel, QPushButton, QTableView
from pytestqt.qtbot import QtBot

from slopebeat.analysis.account.time_account import BandState, TimeAccount
from slopebeat.plots.colours import DARK, LIGHT, Colours
from slopebeat.review.present.account import parts_of, sums
from slopebeat.session.outing.view_state import Picked
from slopebeat.window.shell.actions import ACTIONS, without_access_keys
from slopebeat.window.shell.crash import ExceptHook
from slopebeat.window.shell.dialogs import AboutDialog, ShortcutsDialog
from slopebeat.window.shell.main_window import MainWindow


def test_every_action_of_the_table_is_in_the_menus_with_its_shortcut(window: MainWindow) -> None:
    found = {
        without_access_keys(a.text()): a.shortcut().toString()
        for a in window.findChildren(QAction)
        if a.text()
    }
    for row in ACTIONS:
        assert found[without_access_keys(row.words)] == row.shortcut


def test_no_shortcut_is_given_twice() -> None:
    used = [row.shortcut for row in ACTIONS if row.shortcut]
    assert len(used) == len(set(used))


def test_the_list_of_shortcuts_shows_all_of_them(qtbot: QtBot) -> None:
    dialog = ShortcutsDialog()
    qtbot.addWidget(dialog)
    shown = {label.text() for label in dialog.findChildren(QLabel)}
    assert {row.shortcut for row in ACTIONS if row.shortcut} <= shown


def test_about_says_the_cautions(qtbot: QtBot) -> None:
    dialog = AboutDialog()
    qtbot.addWidget(dialog)
    said = " ".join(label.text() for label in dialog.findChildren(QLabel))
    for needed in ("not medical advice", "clearance", "Chest pain", "13 %", "10.1371/journal.pone.0238569"):
        assert needed in said


def test_every_control_has_an_accessible_name(ride: MainWindow) -> None:
    for kind in (QPushButton, QComboBox, QAbstractSpinBox, QTableView):
        for control in ride.findChildren(kind):
            if type(control).__module__.startswith("PySide6") and control.objectName().startswith("qt_"):
                continue
            assert control.accessibleName(), f"{control} has no accessible name"


def test_dark_and_light_reach_window_and_charts(ride: MainWindow) -> None:
    for colours in (DARK, LIGHT):
        ride.apply(colours)
        assert ride.page.charts.backgroundBrush().color().name() == colours.panel
        assert ride.page.plan.backgroundBrush().color().name() == colours.panel
        assert ride.palette().window().color().name() == colours.window


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_words_stand_out_from_their_paper(colours: Colours) -> None:
    """At least 4.5:1, the contrast WCAG 2.1 asks of text (success criterion 1.4.3)."""
    for ink in (colours.ink, colours.muted, colours.above, colours.below, colours.in_band):
        assert contrast(ink, colours.panel) >= 4.5


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.1 defines it."""

    def luminance(colour: str) -> float:
        shares = [int(part, 16) / 255 for part in re.findall("..", colour[1:])]
        linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


NO_HR = BandState.NO_HEART_RATE
ACCOUNT = TimeAccount(
    {
        BandState.IN_BAND: 631.0,
        BandState.ABOVE: 1231.0,
        BandState.BELOW: 331.0,
        BandState.NO_HEART_RATE: 31.0,
    },
    {BandState.IN_BAND: 0.0, BandState.ABOVE: 0.0, BandState.BELOW: 91.0, BandState.NO_HEART_RATE: 0.0},
    pause_s=91.0,
    gap_s=31.0,
    span_s=2437.0,
)


def test_parts_of_the_picture_sum_to_the_span() -> None:
    assert sum(part.seconds for part in parts_of(ACCOUNT)) == ACCOUNT.span_s


def test_the_sum_in_words_adds_up() -> None:
    times = [tuple(map(int, found)) for found in re.findall(r"(\d+):(\d\d):(\d\d)", sums(ACCOUNT))]
    *parts, total = (3600 * h + 60 * m + s for h, m, s in times)
    assert sum(parts) == total == ACCOUNT.span_s


def test_own_errors_are_told_once_and_logged(tmp_path: Path) -> None:
    told: list[tuple[str, Path | None]] = []

    def tell(summary: str, details: str, log: Path | None) -> None:
        told.append((summary, log))
        # A second error while the first is shown must not open a second dialog.
        hook(RuntimeError, RuntimeError("again"), None)

    hook = ExceptHook(tell)
    try:
        raise ValueError("a broken invariant")
    except ValueError as error:
        hook(ValueError, error, error.__traceback__)
    ((summary, log),) = told
    assert summary == "ValueError: a broken invariant"
    assert log is not None
    assert "test_own_errors_are_told_once_and_logged" in log.read_text(encoding="utf-8")


def test_a_command_never_loads_the_window_toolkit() -> None:
    code = (
        "import sys; from slopebeat.__main__ import main\n"
        "try: main(['--version'])\n"
        "except SystemExit: pass\n"
        "sys.exit(any(name.startswith(('PySide6', 'pyqtgraph')) for name in sys.modules))"
    )
    folder = Path(__file__).resolve().parents[3] / "app"
    assert subprocess.run([sys.executable, "-c", code], cwd=folder, check=False).returncode == 0


def test_tabbing_into_a_table_selects_nothing_and_the_first_arrow_the_row_it_is_at(ride: MainWindow) -> None:
    table, selection = ride.page.climbs, ride.session.selection
    tabs = ride.page.tabs
    tabs.setCurrentWidget(table)
    QTest.qWait(50)
    tabs.tabBar().setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(tabs.tabBar(), Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is table
    assert table.picked_row() is None
    assert selection.kind is None
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert table.picked_row() == table.rows.order[0]
    assert selection.kind is Picked.CLIMB
    QTest.keyClick(table, Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is not table
