"""Bringing recordings into the library: what is asked for, what comes by itself, and what is said of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from slopebeat.model.language import tr

if TYPE_CHECKING:
    from slopebeat.files.reading import ReadFile
    from slopebeat.review.imports.report import ImportReport
    from slopebeat.review.imports.sources import ImportSource
    from slopebeat.session.library.kept import KeptParts
    from slopebeat.session.outing.opening import ReadFiles
    from slopebeat.session.session import Session
    from slopebeat.window.widgets.notices import Notice

IMPORT_PATTERNS = "(*.fit *.gpx *.tcx *.zip *.gz *.FIT *.GPX *.TCX *.ZIP)"
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

                AthleteDialog.ask(self._window, None, self._library.put_athlete)
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


def _summary(report: ImportReport) -> str:
    """What an import did; no import, no words for it."""
    from slopebeat.window.library.notices import summary

    return summary(report)


def _is_archive(source: Path | ImportSource) -> bool:
    from slopebeat.review.archive.archive import is_archive

    return isinstance(source, Path) and source.is_file() and is_archive(source)
