"""What the window does with the library: its pages, its dialogs, and the acts that need both."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QWidget

from slopebeat.files.reading import ReadFile
from slopebeat.library.store import default_path
from slopebeat.model.language import mark, tr
from slopebeat.model.people import Athlete
from slopebeat.review.archive.archive import is_archive
from slopebeat.review.imports.report import ImportReport
from slopebeat.review.imports.sources import ImportSource, source_of
from slopebeat.session.library.kept import KeptOuting
from slopebeat.session.outing.opening import ReadFiles
from slopebeat.session.session import Session
from slopebeat.window.library.athlete_dialog import AthleteDialog
from slopebeat.window.library.backup import BackupActions
from slopebeat.window.library.notices import WorkBar, summary
from slopebeat.window.widgets.notices import Notice

if TYPE_CHECKING:
    from slopebeat.review.ground.pair import SharedGround
    from slopebeat.review.outing import Review
    from slopebeat.window.library.compare import ComparePage
    from slopebeat.window.library.page import LibraryPage

IMPORT_PATTERNS = "(*.fit *.gpx *.tcx *.zip *.gz *.FIT *.GPX *.TCX *.ZIP)"
DEMO_READY = mark(
    "Half a year of demo outings is ready: choose Show the library in the menu Library (Ctrl+L)."
)
LIBRARY_PATTERN = "(*.sqlite3)"


class PlaceDialog:
    """Choosing files, folders and places; nothing chosen is an empty answer."""

    @staticmethod
    def ask_files(parent: QWidget) -> list[Path]:
        names, _ = QFileDialog.getOpenFileNames(
            parent,
            tr("Import recordings"),
            "",
            f"{tr('Recordings and archives')} {IMPORT_PATTERNS};;{tr('All files')} (*)",
        )
        return [Path(name) for name in names]

    @staticmethod
    def ask_folder(parent: QWidget) -> list[Path]:
        name = QFileDialog.getExistingDirectory(parent, tr("Import a folder, with all folders in it"))
        return [Path(name)] if name else []

    @staticmethod
    def ask_library(parent: QWidget, start: Path) -> Path | None:
        """A library that is there, or the place and name of a new one."""
        name, _ = QFileDialog.getSaveFileName(
            parent,
            tr("Open a library, or name a new one"),
            str(start),
            f"{tr('Libraries')} {LIBRARY_PATTERN};;{tr('All files')} (*)",
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        return Path(name) if name else None


class LibraryController(QObject):
    """Joins the library's pages, made when first wanted, to the session; the main window owns one."""

    route_wanted, page_made = Signal(), Signal(object)

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._stack, self._notice = window, session, stack, notice
        self._library = session.library
        self._files: tuple[ReadFile, ...] = ()
        self._wanted: tuple[Path | ImportSource, ...] = ()
        self._wanted_load: tuple[float, float | None] = (0.0, None)
        self._go_there = False
        self.bar = WorkBar(self._library.work)
        self.safety = BackupActions(window, self._library, notice)
        library = self._library
        library.failed.connect(self._notice.say)
        library.opened.opened.connect(self._opened)
        library.work.imported.connect(self._imported)
        library.watch.arrived.connect(self._arrived)
        library.work.demo_filled.connect(self._tell_demo)
        library.kept.compared.connect(self._show_pair)
        library.kept.read.connect(self._came_from_library)
        self._session.opening.read.connect(self._came_from_files)

    @cached_property
    def page(self) -> LibraryPage:
        """The list of outings and the months; ``page_made`` tells those who add to its tabs."""
        from slopebeat.window.library.page import LibraryPage

        page = LibraryPage(self._session)
        page.add_wanted.connect(self.add_athlete)
        page.edit_wanted.connect(self.edit_athlete)
        page.bands_wanted.connect(self.show_bands)
        page.files_wanted.connect(self.import_files)
        page.folder_wanted.connect(self.import_folder)
        page.compare_wanted.connect(self.compare_outings)
        page.outing_wanted.connect(self.show_outing)
        page.route_wanted.connect(self.route_wanted)
        self.page_made.emit(page)
        self._stack.addWidget(page)
        return page

    @cached_property
    def compare(self) -> ComparePage:
        """Two outings side by side."""
        from slopebeat.window.library.compare import ComparePage

        compare = ComparePage(self._session)
        compare.back_wanted.connect(self.show_library)
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
        place = PlaceDialog.ask_library(self._window, self._library.memory.path or default_path())
        if place is not None:
            self._go_there = True
            self._library.open(place)

    def demo_library(self) -> None:
        """Open half a year of invented outings, built in the background at the first time."""
        self._go_there = True
        self._library.open_demo()

    def add_demo_library(self) -> None:
        """The same beside demo outings that are on screen: the library waits in its menu."""
        self._library.open_demo()

    def add_athlete(self) -> None:
        AthleteDialog.ask(self._window, None, self._library.put_athlete)

    def edit_athlete(self) -> None:
        if self._library.opened.athlete is not None:
            AthleteDialog.ask(self._window, self._library.opened.athlete, self._library.put_athlete)

    def show_bands(self) -> None:
        if self._library.opened.athlete is None:
            self._notice.say(tr("Bands belong to an athlete of a library; add one first."))
            return
        from slopebeat.window.library.bands import BandsDialog

        BandsDialog.ask(self._window, self._library)

    def import_files(self) -> None:
        self.import_paths(PlaceDialog.ask_files(self._window))

    def import_folder(self) -> None:
        self.import_paths(PlaceDialog.ask_folder(self._window))

    def watched_folder(self) -> None:
        """Name a folder whose new recordings are imported by themselves."""
        opened = self._library.opened
        if opened.athlete is None or opened.is_demo:
            self._notice.say(tr("A folder is looked at for an athlete of your own library; open it first."))
            return
        from slopebeat.window.library.watched_folder import WatchedFolderDialog

        WatchedFolderDialog.ask(self._window, self._library)

    def import_paths(
        self, paths: Sequence[Path | ImportSource], load_kg: float = 0.0, load_until_s: float | None = None
    ) -> None:
        """Import for the athlete looked at; asks for a library and an athlete where there are none yet."""
        if not paths:
            return
        self._wanted, self._wanted_load = tuple(paths), (load_kg, load_until_s)
        if self._library.opened.library is None:
            self._go_there = True
            self._library.open()
        else:
            self._import_wanted()

    def keep_outing(self) -> None:
        """Put the recording that is open into the library, with the load it was reviewed with."""
        outing = self._session.outing
        if outing.index < 0:
            self._notice.say(tr("Open a recording first; then it can be kept."))
            return
        if outing.index >= len(self._files):
            self._notice.say(tr("This outing came out of the library and is kept there already."))
            return
        file, rest = self._files[outing.index], self._session.aim.aim
        self.import_paths([source_of(file)], rest.load_kg, rest.load_until_s)

    def compare_outings(self) -> None:
        picked = self.page.list.picked
        if len(picked) == 2:
            self._library.compare(picked[0], picked[1])
        else:
            self._notice.say(tr("Select two outings in the list, then compare them."))

    def takes_drop(self, paths: Sequence[Path]) -> bool:
        """Whether dropped things are imported rather than opened: folders, archives, and all in the list."""
        in_list = self._stack.currentWidget() in (vars(self).get("page"), vars(self).get("compare"))
        return in_list or any(path.is_dir() or path.suffix.lower() == ".zip" for path in paths)

    def _opened(self) -> None:
        page = self.page  # Made before the first outings of the library are told of.
        if self._go_there:
            self._go_there = False
            self._stack.setCurrentWidget(page)
        if self._wanted:
            self._import_wanted()

    def _import_wanted(self) -> None:
        wanted, load = self._wanted, self._wanted_load
        self._wanted = ()

        def go_on(whose_is_known: bool) -> None:
            if self._library.opened.athlete is None and not whose_is_known:
                AthleteDialog.ask(self._window, None, self._library.put_athlete)
            if self._library.opened.athlete is not None or whose_is_known:
                self._library.import_paths(wanted, *load)

        if self._library.opened.athlete is None:
            # Archives know whose they are; looking into them is no work for the window's thread.
            self._library.opened.ask(lambda _: all(map(_is_archive, wanted)), go_on)
        else:
            go_on(False)

    def _tell_demo(self) -> None:
        if self._stack.currentWidget() is not self.page:
            self._notice.say(tr(DEMO_READY))

    def _imported(self, report: ImportReport) -> None:
        alone = len(report.imported) + len(report.duplicates) == 1 and not (
            report.unreadable or report.taken_over or report.other_recordings
        )
        if alone and report.fault is None:
            athlete: Athlete | None = self._library.opened.athlete
            holds = tr("The outings of {name} hold it.").format(name=athlete.name if athlete else "")
            self._notice.say(f"{summary(report)} {holds}")
        else:
            listed = tr("The tab Last import of the library lists every file.")
            self._notice.say(f"{summary(report)} {listed}")
            self.page.tabs.setCurrentWidget(self.page.report)

    def _arrived(self, report: ImportReport) -> None:
        """Say what came by itself; the page that is looked at stays."""
        folder = self._library.watch.watched.folder
        if folder is not None:
            came = tr("From the watched folder {folder}: {what}")
            self._notice.say(came.format(folder=folder.name or folder, what=summary(report)))

    def _show_pair(self, first: Review, second: Review, shared: SharedGround) -> None:
        self.compare.show_pair(first, second, shared)
        self._stack.setCurrentWidget(self.compare)

    def _came_from_files(self, files: ReadFiles) -> None:
        self._files = files.sources

    def _came_from_library(self, kept: KeptOuting) -> None:
        self._files = ()


def _is_archive(source: Path | ImportSource) -> bool:
    return isinstance(source, Path) and source.is_file() and is_archive(source)
