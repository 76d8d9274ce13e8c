"""Every text on screen is looked up: with a catalogue that wraps what it is asked for, nothing stays bare.

And every control that takes the keyboard has a name for those who hear the screen.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator

import pyqtgraph as pg
import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface, QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QMenu,
    QTabBar,
    QTableView,
    QTabWidget,
    QTreeWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from helpers.window_acts import next_review
from slopebeat.model import language
from slopebeat.plots.band_margin import BandMargin
from slopebeat.plots.colours import LIGHT
from slopebeat.plots.overlay import CaptionItem, SpanItem
from slopebeat.session.session import Session
from slopebeat.window.shell.dialogs import AboutDialog, ShortcutsDialog
from slopebeat.window.shell.main_window import MainWindow


class Wrapping(gettext.NullTranslations):
    """Every text that is looked up comes back in brackets."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


UNITS = ("h", "min", "s", "bpm", "km", "m", "ft", "mi", "W", "kg", "lb", "mmol", "mph", "kJ")
NAMES = ("Slopebeat", "FIT", "GPX", "TCX", "English", "Deutsch")
KEYS = ("Ctrl", "Shift", "Alt", "Esc", "PgUp", "PgDown", "PgDn", "Left", "Right", "Up", "Down", "Home", "Del")
BARE = {*UNITS, *NAMES, *KEYS}
"""What needs no translation: units, formats, names, keys."""


TITLES = "Hut supply hike|Forest road patrol|Lake shore walk, hut warden|UTC|development"
"""What the demo files call themselves, which is not ours to translate."""


def bare_words(text: str) -> list[str]:
    """Words outside all brackets that are not on the list."""
    text = re.sub(TITLES, " ", text)
    inner = re.compile(r"⟦[^⟦⟧]*⟧")
    while inner.search(text):
        text = inner.sub(" ", text)
    return [word for word in re.findall(r"[^\W\d_]+", text) if len(word) > 1 and word not in BARE]


def texts_of(widget: QWidget) -> Iterator[str]:
    """What a widget says: itself, its hint, its name for those who hear it."""
    yield from (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription())
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    if isinstance(widget, QComboBox):
        yield from (widget.itemText(at) for at in range(widget.count()))
    if isinstance(widget, QAbstractSpinBox):
        yield widget.text()
    if isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    if isinstance(widget, QTabWidget):
        yield from (widget.tabText(at) for at in range(widget.count()))
    if isinstance(widget, QMenu):
        yield widget.title()
    if isinstance(widget, QTableView):
        yield from table_texts(widget)
    if isinstance(widget, QTreeWidget):
        head = widget.headerItem()
        yield from (head.text(at) for at in range(widget.columnCount()))
    if isinstance(widget, pg.GraphicsView):
        yield from chart_texts(widget)


def chart_texts(view: pg.GraphicsView) -> Iterator[str]:
    """Captions, words in shaded stretches and beside the band, labels."""
    for item in view.scene().items():
        if isinstance(item, CaptionItem):
            yield item.text
        elif isinstance(item, SpanItem):
            yield from (f"{span.text} {span.short}" for span in item.spans)
        elif isinstance(item, BandMargin) and item.edges_bpm is not None:
            yield from item.words()
        elif isinstance(item, pg.TextItem):
            yield item.toPlainText()
        elif isinstance(item, pg.AxisItem):
            yield item.labelText


def table_texts(table: QTableView) -> Iterator[str]:
    model = table.model()
    for column in range(model.columnCount()):
        for role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            yield str(model.headerData(column, Qt.Orientation.Horizontal, role) or "")
        for row in range(min(model.rowCount(), 50)):
            yield str(model.index(row, column).data() or "")


def is_foreign(child: QObject) -> bool:
    """Scroll buttons inside Qt's tab bars, worded by Qt; menus the charts never open."""
    owner = child.parent()
    ours = isinstance(child, QWidget) and not isinstance(child, QMenu)
    return isinstance(owner, QTabBar) or (not ours and type(owner).__module__.startswith("pyqtgraph"))


def bare_texts(root: QObject) -> set[str]:
    found = set()
    for child in (root, *root.findChildren(QObject)):
        texts: list[str] = []
        if is_foreign(child):
            continue
        if isinstance(child, QWidget):
            texts = [*texts_of(child)]
        elif isinstance(child, QAction):
            texts = [child.text(), child.toolTip(), child.statusTip()]
        found |= {text for text in texts if bare_words(text)}
    return found


@pytest.fixture
def wrapped(qtbot: QtBot) -> Iterator[MainWindow]:
    """The window with every looked-up text in brackets, showing the first demo outing."""
    language.use_catalogue(Wrapping())
    window = MainWindow(Session(), LIGHT)
    qtbot.addWidget(window)
    window.show()
    with next_review(window.session, qtbot):
        window.open_demo()
    yield window
    window.session.close()


def test_the_wrapping_catalogue_tells_a_bare_text() -> None:
    assert bare_words("⟦Climbs⟧ and 3 km ⟦a ⟦b⟧ c⟧") == ["and"]


def test_no_text_of_an_outing_stays_bare(wrapped: MainWindow) -> None:
    for tab in range(wrapped.page.tabs.count()):
        wrapped.page.tabs.setCurrentIndex(tab)
    assert bare_texts(wrapped) == set()


def test_no_text_of_the_dialogs_stays_bare(wrapped: MainWindow) -> None:
    for dialog in (AboutDialog(wrapped), ShortcutsDialog(wrapped)):
        assert bare_texts(dialog) == set()


def unnamed(interface: QAccessibleInterface, path: str = "") -> Iterator[str]:
    """Controls that take the keyboard and say nothing of themselves."""
    state = interface.state()
    name = interface.text(QAccessible.Text.Name)
    here = f"{path}/{type(interface.object()).__name__}"
    if state.focusable and not state.invisible and not name:
        yield here
    for at in range(interface.childCount()):
        child = interface.child(at)
        # Cells are named by what they hold; the table itself is asked here.
        if child is not None and child.isValid() and isinstance(child.object(), QWidget):
            yield from unnamed(child, here)


def test_no_control_that_takes_the_keyboard_is_unnamed(wrapped: MainWindow) -> None:
    interface = QAccessible.queryAccessibleInterface(wrapped)
    for page in (
        wrapped.page,
        wrapped.welcome,
        wrapped.preferences,
        wrapped.library.page,
        wrapped.library.compare,
    ):
        wrapped.stack.setCurrentWidget(page)
        for tabs in page.findChildren(QTabWidget):
            for tab in range(tabs.count()):
                tabs.setCurrentIndex(tab)
                assert list(unnamed(interface)) == []
        assert list(unnamed(interface)) == []
