"""What the window does with the library: its pages, its dialogs, and the acts that need both."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from slopebeat.disk.places import library_path
from slopebeat.model.language import mark, tr
from slopebeat.session.background import when_loaded
from slopebeat.window.library.importing import ImportActions
from slopebeat.window.widgets.notices import WaitingBar
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.page_in_pieces import PageInPieces

if TYPE_CHECKING:
    from slopebeat.review.ground.repeated import SharedGround
    from slopebeat.review.outing import Review
    from slopebeat.session.library.work import LibraryWork
    from slopebeat.session.session import Session
    from slopebeat.window.library.backup import BackupActions
    from slopebeat.window.library.compare import ComparePage
    from slopebeat.window.library.page import LibraryPage
    from slopebeat.window.widgets.notices import Notice

LONGEST_NAME = 60
"""Characters of a file's name shown beside the bar [project choice]."""


PAGE = ("slopebeat.window.library.page", "slopebeat.window.ground.page")
"""What the page is made of, with the tab that the main window adds."""


class WorkBar(WaitingBar):
    """What is under way, how far it is, and a button to stop it."""

    def __init__(self, work: LibraryWork, parent: QWidget | None = None) -> None:
        hint = tr("Stop; what is done stays, and the same again goes on from there.")
        super().__init__(tr("Progress of work on the library"), hint, parent)
        self._words = ""
        self.stop.clicked.connect(work.cancel)
        work.started.connect(self._start)
        work.progressed.connect(self._progress)
        work.ended.connect(self._end)

    def _start(self, words: str) -> None:
        self._words = words
        self.text.setText(f"{words}…")
        self.progress.setRange(0, 0)
        self._late.start()

    def _progress(self, done: int, total: int, name: str) -> None:
        self.progress.setRange(0, max(total, 1))
        self.progress.setValue(done)
        file = f"  ·  {name[-LONGEST_NAME:]}" if name and done < total else ""
        so_far = tr("{work}: {done} of {total}").format(work=self._words, done=done, total=total)
        self.text.setText(f"{so_far}{file}")


DEMO_READY = mark(
    "Half a year of demo outings is ready: choose Show the library in the menu Library (Ctrl+L)."
)


class LibraryController(QObject):
    """Joins the library's pages, made when first wanted, to the session; the main window owns one."""

    route_requested, page_made = Signal(), Signal(object)

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        self._library = session.library
        self._go_there = False
        load = partial(when_loaded, session.background, PAGE)
        self.parts = PageInPieces(session.steps, self._begin, self._rest, load=load)
        self.bar = WorkBar(self._library.work)
        self.imports = ImportActions(window, session, notice)
        self.imports.library_requested.connect(self.my_library)
        self.imports.listed.connect(lambda: self.page.tabs.setCurrentWidget(self.page.report))
        library = self._library
        library.opened.when_shown = self.parts.when_whole
        library.failed.connect(self._notice.say)
        library.opened.opened.connect(self._opened)
        library.work.demo_filled.connect(self._tell_demo)
        library.kept.compared.connect(self._show_pair)

    @cached_property
    def safety(self) -> BackupActions:
        """What backs up, checks and restores, made with the first of its acts."""
        from slopebeat.window.library.backup import BackupActions

        return BackupActions(self._window, self._library, self._notice)

    @property
    def page(self) -> LibraryPage:
        """The list of outings and the months, whole; what is missing of it is made now."""
        return self.parts.page

    def _begin(self) -> LibraryPage:
        from slopebeat.window.library.page import LibraryPage

        return LibraryPage(self._session)

    def _rest(self, page: LibraryPage) -> Iterator[None]:
        """``page_made`` tells those who add to its tabs."""
        # In the stack while it is empty: whatever is put into another place takes the look again.
        self._stack.addWidget(page)
        yield from page.fill()
        page.add.clicked.connect(self.add_athlete)
        page.edit.clicked.connect(self.edit_athlete)
        page.bands.clicked.connect(self.show_bands)
        page.bring_files.triggered.connect(self.imports.import_files)
        page.bring_folder.triggered.connect(self.imports.import_folder)
        page.compare.clicked.connect(self.compare_outings)
        page.to_outing.clicked.connect(self.show_outing)
        page.plan.clicked.connect(self.route_requested)
        page.message.connect(self._notice.say)
        yield
        self.page_made.emit(page)

    @cached_property
    def compare(self) -> ComparePage:
        """Two outings side by side."""
        from slopebeat.window.library.compare import ComparePage

        compare = ComparePage(self._session)
        compare.back.clicked.connect(self.show_library)
        self._stack.addWidget(compare)
        return compare

    def start(self) -> None:
        """Open the library of the last time and go there unless an outing is opened first."""
        self._go_there = self._library.open_remembered()

    def show_library(self) -> None:
        """Go to the library; opens the user's own when none is open."""
        if self._library.opened.library is None:
            self._go_there = True
            self._library.open()
        else:
            self._stack.setCurrentWidget(self.page)

    def show_months(self) -> None:
        self.page.tabs.setCurrentWidget(self.page.months)
        self.show_library()

    def show_outing(self) -> None:
        """Go back to the outing that is open."""
        if self._session.outing.review is not None:
            self._stack.setCurrentIndex(1)

    def my_library(self) -> None:
        """Open the user's own library, after a demo."""
        self._go_there = True
        self._library.open()

    def other_library(self) -> None:
        start = str(self._library.memory.path or library_path())
        title = tr("Open a library, or name a new one")
        kinds = f"{tr('Libraries')} (*.sqlite3);;{tr('All files')} (*)"
        place = FileDialog.ask_to_save(self._window, title, start, kinds, is_asked=False)
        if place is not None:
            self._go_there = True
            self._library.open(place)

    def demo_library(self) -> None:
        """Open half a year of invented outings, built in the background at the first time."""
        self._go_there = True
        self._library.open_demo()

    def add_athlete(self) -> None:
        from slopebeat.window.library.athletes import AthleteDialog

        AthleteDialog.ask(self._window, None, self._library.opened.put_athlete)

    def edit_athlete(self) -> None:
        from slopebeat.window.library.athletes import AthleteDialog

        if self._library.opened.athlete is not None:
            AthleteDialog.ask(self._window, self._library.opened.athlete, self._library.opened.put_athlete)

    def show_athletes(self) -> None:
        """Everybody in the library: rename, make one, remove."""
        from slopebeat.window.library.athletes import AthletesDialog

        self._library.with_library(lambda _: AthletesDialog.ask(self._window, self._library))

    def show_bands(self) -> None:
        if self._library.opened.athlete is None:
            self._notice.say(tr("Bands belong to an athlete of a library; add one first."))
            return
        from slopebeat.window.library.band.dialog import BandsDialog

        BandsDialog.ask(self._window, self._library)

    def compare_outings(self) -> None:
        picked = self.page.list.picked
        if len(picked) == 2:
            self._library.compare(picked[0], picked[1])
        else:
            self._notice.say(tr("Select two outings in the list, then compare them."))

    def takes_drop(self, paths: Sequence[Path]) -> bool:
        """Whether dropped things are imported rather than opened: folders, archives, and all in the list."""
        in_list = self._stack.currentWidget() in (self.parts.begun, vars(self).get("compare"))
        return in_list or any(path.is_dir() or path.suffix.lower() == ".zip" for path in paths)

    def _opened(self) -> None:
        page = self.page  # Made before the first outings of the library arrive.
        if self._go_there:
            self._go_there = False
            self._stack.setCurrentWidget(page)
        self.imports.go_on()

    def _tell_demo(self) -> None:
        if self._stack.currentWidget() is not self.page:
            self._notice.say(tr(DEMO_READY))

    def _show_pair(self, first: Review, second: Review, shared: SharedGround) -> None:
        self.compare.show_pair(first, second, shared)
        self._stack.setCurrentWidget(self.compare)
