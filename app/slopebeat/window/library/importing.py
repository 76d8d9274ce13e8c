"""Bringing recordings into the library: what is asked for, what comes by itself, and what is said of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QWidget

from slopebeat.model.language import mark, tr
from slopebeat.session.library.watch import EVERY_MS
from slopebeat.window.widgets.boxes import choice_box
from slopebeat.window.widgets.dialogs import close_only
from slopebeat.window.widgets.page_file import FileDialog
from slopebeat.window.widgets.parts import button, label, stacked

if TYPE_CHECKING:
    from slopebeat.files.reading import ReadFile
    from slopebeat.review.imports.report import ImportReport
    from slopebeat.review.imports.sources import ImportSource
    from slopebeat.session.library.kept import KeptParts
    from slopebeat.session.library.library import LibrarySession
    from slopebeat.session.outing.opening import ReadFiles
    from slopebeat.session.session import Session
    from slopebeat.window.widgets.notices import Notice

IMPORT_PATTERNS = "(*.fit *.gpx *.tcx *.zip *.gz *.FIT *.GPX *.TCX *.ZIP)"


class ImportActions(QObject):
    """Imports for the athlete looked at, and says what became of it.

    ``library_requested`` asks to open the user's own library and go there, ``listed`` to show what an import
    did, file by file.
    """

    library_requested, listed = Signal(), Signal()

    def __init__(self, window: QWidget, session: Session, notice: Notice) -> None:
        super().__init__(window)
        self._window, self._session, self._notice = window, session, notice
        self._library = session.library
        self._files: tuple[ReadFile, ...] = ()
        self._wanted: tuple[Path | ImportSource, ...] = ()
        self._wanted_load: tuple[float, float | None] = (0.0, None)
        self._library.work.imported.connect(self._imported)
        self._library.watch.arrived.connect(self._arrived)
        self._library.kept.read.connect(self._came_from_library)
        session.opening.read.connect(self._came_from_files)

    def import_files(self) -> None:
        kinds = f"{tr('Recordings and archives')} {IMPORT_PATTERNS};;{tr('All files')} (*)"
        self.import_paths(FileDialog.ask_to_open_many(self._window, tr("Import recordings"), kinds))

    def import_folder(self) -> None:
        folder = FileDialog.ask_folder(self._window, tr("Import a folder, with all folders in it"))
        self.import_paths([] if folder is None else [folder])

    def watched_folder(self) -> None:
        """Name a folder whose new recordings are imported by themselves."""
        opened = self._library.opened
        if opened.athlete is None or opened.is_demo:
            self._notice.say(tr("A folder is looked at for an athlete of your own library; open it first."))
            return
        WatchedFolderDialog(self._window, self._library).exec()

    def import_paths(
        self, paths: Sequence[Path | ImportSource], load_kg: float = 0.0, load_until_s: float | None = None
    ) -> None:
        """Import for the athlete looked at; asks for a library and an athlete where there are none yet."""
        if not paths:
            return
        self._wanted, self._wanted_load = tuple(paths), (load_kg, load_until_s)
        if self._library.opened.library is None:
            self.library_requested.emit()
        else:
            self.go_on()

    def keep_outing(self) -> None:
        """Put the recording that is open into the library, with the load it was reviewed with."""
        outing = self._session.outing
        if outing.index < 0:
            self._notice.say(tr("Open a recording first; then it can be kept."))
            return
        if outing.index >= len(self._files):
            self._notice.say(tr("This outing came out of the library and is kept there already."))
            return
        from slopebeat.review.imports.sources import source_of

        file, rest = self._files[outing.index], self._session.aim.aim
        self.import_paths([source_of(file)], rest.load_kg, rest.load_until_s)

    def go_on(self) -> None:
        """Import what was asked for before a library was open."""
        if not self._wanted:
            return
        wanted, load = self._wanted, self._wanted_load
        self._wanted = ()

        def go_on(whose_is_known: bool) -> None:
            if self._library.opened.athlete is None and not whose_is_known:
                from slopebeat.window.library.athletes import AthleteDialog

                AthleteDialog.ask(self._window, None, self._library.opened.put_athlete)
            if self._library.opened.athlete is not None or whose_is_known:
                self._library.import_paths(wanted, *load)

        if self._library.opened.athlete is None:
            # Archives know whose they are; looking into them is no work for the window's thread.
            self._library.opened.ask(lambda _: all(map(_is_archive, wanted)), go_on)
        else:
            go_on(False)

    def _imported(self, report: ImportReport) -> None:
        alone = len(report.imported) + len(report.duplicates) == 1 and not (
            report.unreadable or report.taken_over or report.other_recordings
        )
        if alone and report.fault is None:
            athlete = self._library.opened.athlete
            holds = tr("The outings of {name} hold it.").format(name=athlete.name if athlete else "")
            self._notice.say(f"{_summary(report)} {holds}")
        else:
            listed = tr("The tab Last import of the library lists every file.")
            self._notice.say(f"{_summary(report)} {listed}")
            self.listed.emit()

    def _arrived(self, report: ImportReport) -> None:
        """Say what came by itself; the page that is looked at stays."""
        folder = self._library.watch.watched.folder
        if folder is not None:
            came = tr("From the watched folder {folder}: {what}")
            self._notice.say(came.format(folder=folder.name or folder, what=_summary(report)))

    def _came_from_files(self, files: ReadFiles) -> None:
        self._files = files.sources

    def _came_from_library(self, kept: KeptParts) -> None:
        self._files = ()


MEANING = mark(
    "New recordings in this folder, and in all folders in it, are imported by themselves: when the library "
    "is opened and every {seconds} s while the program runs. The folder of a device that is plugged in now "
    "and then works as well. Nothing in it is ever changed or deleted."
)
LEAST_PX = 460


class WatchedFolderDialog(QDialog):
    """Chooses the folder and the athlete; what is chosen holds at once."""

    def __init__(self, parent: QWidget | None, library: LibrarySession) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Watched folder"))
        self.setMinimumWidth(LEAST_PX)
        self._library, self._watch = library, library.watch
        self.state = label("", "detail", wrap=True)
        athletes = [(athlete.name, athlete) for athlete in library.opened.athletes]
        self.whose = choice_box(tr("Whose outings these are"), "", athletes)
        shown = self._watch.watched.athlete or getattr(library.opened.athlete, "identity", "")
        known = [athlete.identity for athlete in library.opened.athletes]
        self.whose.setCurrentIndex(known.index(shown) if shown in known else 0)
        self.choose = button(
            tr("Choose a folder…"), "", tr("New recordings in it are imported by themselves")
        )
        self.again = button(tr("Look now"), "", tr("Look for new recordings at once"))
        self.stop = button(tr("Stop looking"), "", tr("Outings that were imported stay"))
        self.choose.clicked.connect(self._ask)
        self.again.clicked.connect(self._watch.look_again)
        self.again.clicked.connect(self.show_state)
        self.stop.clicked.connect(self._watch.stop)
        self.whose.activated.connect(self._of_other)
        self._watch.changed.connect(self.show_state)
        self._watch.arrived.connect(self.show_state)
        close = close_only(self)
        for own in (self.choose, self.again, self.stop):
            close.addButton(own, QDialogButtonBox.ButtonRole.ActionRole)
        meaning = label(tr(MEANING).format(seconds=EVERY_MS // 1000), wrap=True)
        named = label(tr("Whose outings these are"), "caption")
        parts = (meaning, named, self.whose, self.state, close)
        stacked(*parts, of=self, margins=(20, 18, 20, 14), spacing=12)
        self.show_state()

    def show_state(self, *_report: object) -> None:
        """Say which folder is looked at, and whether it is there."""
        watched = self._watch.watched
        self.again.setEnabled(watched.folder is not None)
        self.stop.setEnabled(watched.folder is not None)
        if watched.folder is None:
            self.state.setText(tr("No folder is looked at."))
            return
        words = tr("Looked at: {folder}").format(folder=watched.folder)
        if watched.library != getattr(self._library.opened.library, "path", None):
            words += "\n" + tr("It is for another library: {path}").format(path=watched.library)
        elif self._watch.held:
            words += "\n" + tr("The last import was stopped or failed; look again when you like.")
        elif self._watch.there is False:
            words += "\n" + tr("It is not there at the moment; it is looked for again and again.")
        self.state.setText(words)

    def take(self, folder: Path) -> None:
        """Look into this folder for the athlete that is chosen."""
        self._watch.watch(folder, self.whose.currentData())

    def _ask(self) -> None:
        folder = FileDialog.ask_folder(self, tr("A folder to look at"))
        if folder is not None:
            self.take(folder)

    def _of_other(self) -> None:
        if self._watch.watched.folder is not None:
            self.take(self._watch.watched.folder)


def _summary(report: ImportReport) -> str:
    """What an import did; no import, no words for it."""
    from slopebeat.window.library.notices import summary

    return summary(report)


def _is_archive(source: Path | ImportSource) -> bool:
    from slopebeat.review.archive.archive import is_archive

    return isinstance(source, Path) and source.is_file() and is_archive(source)
