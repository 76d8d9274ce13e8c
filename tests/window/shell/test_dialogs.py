"""Dialogs on a low screen, and keys in the program's language."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox, QLabel
from pytestqt.qtbot import QtBot

from helpers.checks import not_none
from helpers.patience import WAIT_MS
from slopebeat.model.language import use_language
from slopebeat.model.people import Athlete
from slopebeat.plots.colours import LIGHT
from slopebeat.session.session import Session
from slopebeat.session.settings import Layout
from slopebeat.window.library.athletes import AthleteDialog
from slopebeat.window.library.band.finder import BandFinder
from slopebeat.window.shell import main_window
from slopebeat.window.shell.actions import ACTIONS
from slopebeat.window.shell.dialogs import AboutDialog, ShortcutsDialog
from slopebeat.window.shell.main_window import MainWindow
from slopebeat.window.widgets import dialogs
from slopebeat.window.widgets.dialogs import ScrollingDialog
from slopebeat.window.widgets.qt_texts import key_names, use_qt_texts
from slopebeat.window.widgets.style import apply_style

LOW = QSize(1024, 564)
"""What a screen of 600 lines leaves under a title bar."""

WARDEN = Athlete("0" * 32, "Hut warden")


@pytest.fixture
def german() -> Iterator[None]:
    """The program's texts and Qt's own in German."""
    use_language("de")
    app = QCoreApplication.instance()
    assert app is not None
    texts = use_qt_texts(app)
    assert texts is not None
    yield
    app.removeTranslator(texts)
    texts.deleteLater()


@pytest.fixture(scope="module", params=[100, 140])
def texts(request: pytest.FixtureRequest, qapp: QApplication) -> Iterator[int]:
    """Size of all texts, set once for all dialogs."""
    apply_style(qapp, LIGHT, request.param)
    yield request.param
    apply_style(qapp, LIGHT, 100)


@pytest.mark.parametrize(
    "make",
    [
        lambda: ShortcutsDialog(),
        lambda: AboutDialog(),
        lambda: AthleteDialog(None, WARDEN, lambda *_: None),
        lambda: BandFinder(None, WARDEN, lambda *_: None),
    ],
    ids=["shortcuts", "about", "athlete", "band"],
)
@pytest.mark.qt_log_ignore("This plugin does not support propagateSizeHints")
def test_a_dialog_fits_a_low_screen_and_its_buttons_stay_seen(
    make: Callable[[], ScrollingDialog],
    texts: int,
    german: None,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(dialogs, "room_px", lambda _widget: LOW)
    dialog = make()
    qtbot.addWidget(dialog)
    dialog.show()
    assert dialog.width() <= LOW.width()
    assert dialog.height() <= LOW.height()
    buttons = not_none(dialog.findChild(QDialogButtonBox))
    assert dialog.rect().contains(buttons.geometry())
    page, bar = not_none(dialog.area.widget()), dialog.area.verticalScrollBar()
    # All of it can be reached, and nothing lies beside what is seen.
    assert page.height() <= dialog.area.viewport().height() + bar.maximum()
    assert page.width() <= dialog.area.viewport().width()
    if not isinstance(dialog, BandFinder | AthleteDialog):
        for words in page.findChildren(QLabel):
            assert words.heightForWidth(words.width()) <= words.height() + 1, words.text()


def test_keys_are_called_as_the_language_calls_them(german: None, qtbot: QtBot) -> None:
    # The German names are those on keyboards by DIN 2137 (common practice, no source).
    assert key_names("Ctrl+Shift+Z") == "Strg+Umschalt+Z"
    assert key_names("Del") == "Entf"
    dialog = ShortcutsDialog()
    qtbot.addWidget(dialog)
    said = " ".join(words.text() for words in dialog.findChildren(QLabel))
    assert "Umschalt+F1" in said
    assert "Strg+Umschalt+Ziehen" in said
    assert not any(english in said for english in ("Ctrl", "Shift", "PgDown", "Left"))


def test_every_shortcut_is_told_in_a_whole_sentence() -> None:
    for row in ACTIONS:
        assert row.tip[0].isupper(), row.tip
        assert row.tip.endswith("."), row.tip
        assert len(row.tip.split()) > 2, row.tip


@pytest.mark.parametrize("kept_px", [(), (2500, 1500), (300, 200)])
def test_the_window_never_opens_larger_than_the_screen(
    kept_px: tuple[int, ...], qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(main_window, "room_px", lambda _widget: LOW)
    session = Session()
    session.settings.keep(layout=Layout(window_px=kept_px))
    window = MainWindow(session, LIGHT)
    qtbot.addWidget(window)
    window.show()
    assert window.width() <= LOW.width()
    assert window.height() <= LOW.height()
    session.close()


def test_the_card_with_all_of_the_answer_scrolls_in_a_low_window(ride: MainWindow, qtbot: QtBot) -> None:
    ride.resize(960, 620)
    answer = ride.page.answer
    whole = answer.show_all()
    try:
        assert whole.area.verticalScrollBar().maximum() == 0
        whole.resize(whole.width(), 150)
        bar, page = whole.area.verticalScrollBar(), whole.area.widget()
        qtbot.waitUntil(lambda: bar.maximum() > 0, timeout=WAIT_MS)
        assert page is not None
        assert page.height() <= whole.area.viewport().height() + bar.maximum()
        for _ in range(200):
            QTest.keyClick(whole, Qt.Key.Key_PageDown)
        assert bar.value() == bar.maximum()
        assert whole.isVisible()
    finally:
        whole.close()
