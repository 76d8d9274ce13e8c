"""The main window: the first screen or an outing, with menus, messages and drop; how it was left is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import (
    QApplication,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QWidget,
)

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.recording import title_of
from slopebeat.plots.scenes import OnePainting
from slopebeat.session.outing.opening import DEMO_AIM, DEMO_NOTE, demo_files
from slopebeat.window.library.controller import LibraryController
from slopebeat.window.notes.acts import NoteActions
from slopebeat.window.outing.recording_chooser import RecordingChooser
from slopebeat.window.route.actions import RouteActions
from slopebeat.window.shell.actions import add_actions
from slopebeat.window.shell.commands import Commands
from slopebeat.window.shell.help import HelpActions
from slopebeat.window.shell.messages import CrashOffer, MessageArea, ReadingBar
from slopebeat.window.shell.page_loader import OutingPageLoader
from slopebeat.window.shell.welcome import Welcome
from slopebeat.window.week.actions import WeekActions
from slopebeat.window.widgets.dialogs import room_px
from slopebeat.window.widgets.notices import Notice
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.parts import stacked
from slopebeat.window.widgets.style import app_icon, apply_style, colours_for

if TYPE_CHECKING:
    from slopebeat.plots.colours import Colours
    from slopebeat.session.session import Session
    from slopebeat.session.settings import Layout
    from slopebeat.window.library.page import LibraryPage
    from slopebeat.window.outing.export_actions import ExportActions
    from slopebeat.window.shell.outing_page import OutingPage
    from slopebeat.window.shell.preferences_page import PreferencesPage

RECORDINGS = "(*.fit *.gpx *.tcx *.fit.gz *.gpx.gz *.tcx.gz *.FIT *.GPX *.TCX)"

USUAL_SIZE = QSize(1400, 900)
LEAST_SIZE = QSize(960, 620)
"""Of the window where nothing is remembered, and what shows every part; no window is smaller where the screen
has that room [project choice]."""


def layout_state(window: QMainWindow, page: Layout, session: Session) -> Layout:
    """What is to be remembered, the part of the page given. Maximised, a window keeps its size of before."""
    size = window.normalGeometry().size() if window.isMaximized() else window.size()
    return replace(
        page,
        window_px=(size.width(), size.height()),
        maximized=window.isMaximized(),
        along=session.charts.along,
        rate=session.charts.rate,
    )


def restore_layout(layout: Layout, window: QMainWindow, session: Session) -> None:
    """Bring the window into this layout, no larger than the screen it is on."""
    if len(layout.window_px) == 2:
        # The screen it was on may have been unplugged.
        window.resize(QSize(*layout.window_px).expandedTo(LEAST_SIZE).boundedTo(room_px(window)))
    if layout.maximized:
        window.setWindowState(window.windowState() | Qt.WindowState.WindowMaximized)
    session.charts.set_along(layout.along)
    session.charts.set_rate(layout.rate)


class MainWindow(QMainWindow):
    """Puts the pages together and owns what needs a window: dialogs, drop, close."""

    def __init__(self, session: Session, colours: Colours | None = None) -> None:
        super().__init__()
        self.session = session
        OnePainting(self)
        # Before anything is made: each widget then takes the look once.
        self.apply(colours or colours_for(session.display.preferences.look))
        self.commands = Commands(session, self)
        self.notice = Notice()
        self.reading = ReadingBar(session)
        self.welcome = Welcome(session)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.welcome)
        self.note_actions = NoteActions(session, self)
        self.page_loader = OutingPageLoader(session, self.note_actions, self.stack)
        self._before_preferences: QWidget = self.welcome
        self._to_outing = self._told_of_loss = False
        self.library = LibraryController(self, session, self.stack, self.notice)
        self.routes = RouteActions(self, session, self.stack, self.notice)
        self.weeks = WeekActions(self, session, self.stack, self.notice, self.library.show_library)
        self.help = HelpActions(self, self.stack)
        self.crash_offer = CrashOffer(session)
        self.recent = QMenu(tr("Open &recent"))
        self._lay_out()
        self.actions_by_slot = add_actions(self, self.recent)
        self._connect()
        self._fill_recent()
        self._offer_undo()
        restore_layout(session.settings.content.layout, self, session)

    @property
    def page(self) -> OutingPage:
        """The page of the outing, made when it is first wanted."""
        return self.page_loader.page

    @cached_property
    def export_actions(self) -> ExportActions:
        """What saves and copies, made with the first of its acts."""
        from slopebeat.window.outing.export_actions import ExportActions

        return ExportActions(self, self.session, self.stack, self.notice)

    @cached_property
    def preferences(self) -> PreferencesPage:
        """Made when it is first wanted."""
        from slopebeat.window.shell.preferences_page import PreferencesPage

        made = PreferencesPage(self.session.display)
        made.back.clicked.connect(self._leave_preferences)
        self.stack.addWidget(made)
        return made

    def apply(self, colours: Colours) -> None:
        """One look for window and charts."""
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        apply_style(app, colours, self.session.display.preferences.text_percent)

    def _lay_out(self) -> None:
        self.setWindowTitle("Slopebeat")
        self.setWindowIcon(app_icon())
        self.setMinimumSize(LEAST_SIZE.boundedTo(room_px(self)))
        self.resize(USUAL_SIZE.boundedTo(room_px(self)))
        self.setAcceptDrops(True)
        self.chooser_corner = RecordingChooser(self.session, self.weeks.reviewed, self.menuBar())
        self.chooser = self.chooser_corner.box
        central = QWidget()
        central.setObjectName("page")
        stacked((self.stack, 1), of=central, spacing=0)
        self.messages = MessageArea(central, self.crash_offer, self.notice, self.reading, self.library.bar)
        self.setCentralWidget(central)

    def _connect(self) -> None:
        session = self.session
        for part in (session.opening, session.outing, session.notes):
            part.failed.connect(self.notice.say)
        session.outing.chosen.connect(self._go_to_outing)
        session.outing.reviewed.connect(self._show_outing)
        session.recent_changed.connect(self._fill_recent)
        session.history.changed.connect(self._offer_undo)
        self.note_actions.message.connect(self.notice.say)
        self.welcome.open.clicked.connect(self.open_dialog)
        for demo_wanted in (self.welcome.demo.clicked, self.crash_offer.demo_requested):
            demo_wanted.connect(self.open_demo)
        self.welcome.library.clicked.connect(self.library.my_library)
        self.welcome.months.clicked.connect(self.library.demo_library)
        self.library.route_requested.connect(self.routes.plan_route)
        self.library.page_made.connect(partial(_add_ground_tab, session))
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._look_changed)
        session.display.look_changed.connect(self._look_changed)
        self.crash_offer.open_requested.connect(self.open)

    def open(self, paths: Sequence[Path]) -> None:
        """Open files in the background."""
        self.notice.hide()
        self.session.open(paths)

    def open_dialog(self) -> None:
        recent = self.session.settings.recent
        start = str(recent[0].parent) if recent else ""
        kinds = f"{tr('Recordings')} {RECORDINGS};;{tr('All files')} (*)"
        chosen = FileDialog.ask_to_open_many(self, tr("Open a recording"), kinds, start)
        if chosen:
            self.open(chosen)

    def open_demo(self) -> None:
        files = demo_files()
        if not files:
            self.notice.say(tr("The demo outings are not installed with this copy of the program."))
            return
        self.notice.say(tr(DEMO_NOTE))
        self.session.open_demo(files, DEMO_AIM)

    def ask_for_band(self) -> None:
        """Go to where the band is entered: beside the outing, or on the first screen."""
        if self.session.outing.review is None:
            self.stack.setCurrentWidget(self.welcome)
            self.welcome.ask_for_band()
        else:
            self.stack.setCurrentWidget(self.page)
            self.page.ask_for_band()

    def change_title(self) -> None:
        """Type another title: in the list of outings where it is shown, else over the charts."""
        now = self.stack.currentWidget()
        if now is self.page_loader.made:
            self.page.answer.name.begin()
        elif now is (library := self.library.page) and library.tabs.currentWidget() is library.list:
            library.list.edit_title()

    def show_preferences(self) -> None:
        now = self.stack.currentWidget()
        if now is not None and now is not self.preferences:
            self._before_preferences = now
        self.stack.setCurrentWidget(self.preferences)

    def _leave_preferences(self) -> None:
        self.stack.setCurrentWidget(self._before_preferences)

    def _go_to_outing(self) -> None:
        self._to_outing = True

    def _show_outing(self) -> None:
        if self._to_outing:
            # Only what was opened is gone to; a title changed in the list leaves the list where it is.
            self._to_outing = False
            self.stack.setCurrentWidget(self.page)
        outing = self.session.outing
        self.setWindowTitle(title_of(outing.recordings[outing.index]) or "Slopebeat")

    def _fill_recent(self) -> None:
        self.recent.clear()
        for path in self.session.settings.recent:
            self.recent.addAction(path.name, partial(self.open, [path])).setToolTip(str(path))
        self.recent.setEnabled(bool(self.session.settings.recent))

    def _offer_undo(self) -> None:
        history = self.session.history
        for slot, alone, named, words in (
            ("undo", tr("&Undo"), tr("&Undo {act}"), history.undo_words),
            ("redo", tr("&Redo"), tr("&Redo {act}"), history.redo_words),
        ):
            self.actions_by_slot[slot].setText(alone if words is None else named.format(act=words))
            self.actions_by_slot[slot].setEnabled(words is not None)

    def _look_changed(self) -> None:
        """The system's colours, the look or the text size differ."""
        self.apply(colours_for(self.session.display.preferences.look))
        # Columns are as wide as their words.
        self.session.display.changed.emit()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if self.routes.takes_drop(paths):
            self.routes.open_paths(paths)
        else:
            (self.library.imports.import_paths if self.library.takes_drop(paths) else self.open)(paths)
        event.acceptProposedAction()

    def closeEvent(self, event: QCloseEvent) -> None:
        try:
            self.page_loader.put_away()
        except UserError as problem:
            if not self._told_of_loss:
                self._told_of_loss = True
                self.notice.say(
                    tr("{problem} Close again to lose the unfinished note.").format(problem=problem)
                )
                event.ignore()
                return
        layout = layout_state(self, self.page_loader.layout_now(), self.session)
        self.session.settings.keep(layout=layout)
        self.session.close()
        event.accept()


def _add_ground_tab(session: Session, page: LibraryPage) -> None:
    """Give the library's page a tab its own room knows nothing of: ground gone before, after the months."""
    from slopebeat.window.ground.page import GroundPage

    page.tabs.insertTab(page.tabs.indexOf(page.months) + 1, GroundPage(session), tr("Same ground"))
