"""Handing an outing on: report, tables and pictures as files, summary and tables to the clipboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QWidget

from slopebeat.model.errors import UserError
from slopebeat.model.language import tr
from slopebeat.model.notes import Note
from slopebeat.report.words import file_name
from slopebeat.review.archive.library import (
    ArchiveMerge,
    merge_archive,
    write_archive,
)
from slopebeat.review.archive.words import archive_words
from slopebeat.review.export import summary_text, table_text, write_csv_folder
from slopebeat.review.imports.report import ImportReport
from slopebeat.review.outing import Review
from slopebeat.review.present.episodes import episode_rows
from slopebeat.window.outing.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.session.session import Session
    from slopebeat.window.widgets.notices import Notice
    from slopebeat.window.widgets.table import Column

Notes = tuple[Note, ...]
Writer = Callable[[Review, Path, Notes], None]


def _write_report(review: Review, path: Path, notes: Notes) -> None:
    """What writes reports is loaded with the first of them: most starts write none."""
    from slopebeat.report.report import write_html, write_pdf

    write = write_pdf if path.suffix.lower() == ".pdf" else write_html
    write(review, path, notes)


def _write_picture(review: Review, path: Path, notes: Notes) -> None:
    """The same for pictures."""
    from slopebeat.report.paint import text_width
    from slopebeat.report.pictures import write_png, write_svg
    from slopebeat.report.report import outing_picture

    if path.suffix.lower() == ".svg":
        write_svg(outing_picture(review), path)
    else:
        write_png(outing_picture(review, text_width), path)


def _picture_of(review: Review) -> QImage:
    from slopebeat.report.paint import text_width
    from slopebeat.report.pictures import image
    from slopebeat.report.report import outing_picture

    return image(outing_picture(review, text_width))


REPORT_WRITERS: dict[str, Writer] = {".pdf": _write_report, ".html": _write_report}
PICTURE_WRITERS: dict[str, Writer] = {".png": _write_picture, ".svg": _write_picture}
ARCHIVES = "ZIP (*.zip)"
OUTING_PAGE = 1
"""Among the window's pages, after the one that welcomes."""


class SaveDialog:
    """Choosing the name of a file to write."""

    @staticmethod
    def ask(parent: QWidget, title: str, name: str, filters: str) -> Path | None:
        """The chosen file, none when it was cancelled."""
        chosen, _ = QFileDialog.getSaveFileName(parent, title, name, filters)
        return Path(chosen) if chosen else None


class ArchiveDialog:
    """Choosing an archive to take in."""

    @staticmethod
    def ask(parent: QWidget) -> Path | None:
        """The chosen file, none when it was cancelled."""
        chosen, _ = QFileDialog.getOpenFileName(parent, tr("Take in an archive"), "", ARCHIVES)
        return Path(chosen) if chosen else None


class FolderDialog:
    """Choosing a folder to write into."""

    @staticmethod
    def ask(parent: QWidget, title: str) -> Path | None:
        """The chosen folder, none when it was cancelled."""
        chosen = QFileDialog.getExistingDirectory(parent, title)
        return Path(chosen) if chosen else None


class ExportActions(QObject):
    """What the actions that save and copy do; files are written in the background."""

    def __init__(self, window: QWidget, session: Session, stack: QStackedWidget, notice: Notice) -> None:
        super().__init__(window)
        self._stack = stack
        self._window = window
        self._session = session
        self._notice = notice

    def save_shown(self) -> None:
        """Save the page that is shown, never an outing that is open behind it."""
        save = getattr(self._stack.currentWidget(), "save_shown", None)
        if save is None and self._stack.currentIndex() <= OUTING_PAGE:
            self.save_report()
        elif save is None or not save():
            text = tr("This page has no report of its own; an outing, the week, the months and a letter do.")
            self._notice.say(text)

    def save_report(self) -> None:
        self._save(tr("Save report"), ".pdf", "PDF (*.pdf);;HTML (*.html)", REPORT_WRITERS)

    def save_picture(self) -> None:
        self._save(tr("Save picture"), ".png", "PNG (*.png);;SVG (*.svg)", PICTURE_WRITERS)

    def save_tables(self) -> None:
        review, notes = self._review(), self._session.notes.all
        folder = None if review is None else FolderDialog.ask(self._window, tr("Save tables as CSV"))
        if review is not None and folder is not None:
            done = tr("The tables were saved in {folder}.").format(folder=folder)
            self._write(lambda: write_csv_folder(review, folder, notes), done, folder)

    def save_archive(self) -> None:
        """Everything of the athlete looked at in the library, as one file for another person."""
        opened = self._session.library.opened
        library, athlete = opened.library, opened.athlete
        if library is None or athlete is None:
            self._notice.say(
                tr("Open the library and choose an athlete first; an archive is of one athlete.")
            )
            return
        name = file_name(athlete.name, ".zip", otherwise="athlete")
        path = SaveDialog.ask(self._window, tr("Save an archive"), name, ARCHIVES)
        if path is not None:
            self._session.library.work.run(
                tr("Saving an archive"),
                lambda progress: write_archive(library, athlete.identity, path, progress),
                lambda archive: self._notice.say(archive_words(archive, path), path.parent),
            )

    def take_in_archive(self) -> None:
        """What another person saved, into the library that is open, else the user's own, made if missing."""
        path = ArchiveDialog.ask(self._window)
        if path is not None:
            self._session.library.with_library(lambda library: self._merge(library, path))

    def _merge(self, library: Library, path: Path) -> None:
        self._session.library.work.run(
            tr("Taking in an archive"),
            lambda progress: merge_archive(library, path, progress=progress),
            self._taken_in,
        )

    def _taken_in(self, merge: ArchiveMerge) -> None:
        """Told as an import is, with the list of who brought what."""
        self._session.library.work.imported.emit(ImportReport(archives=[merge]))
        self._session.library.recompute()

    def copy_summary(self) -> None:
        review = self._review()
        if review is not None:
            self._copy(summary_text(review, self._session.notes.all), tr("The summary was copied."))

    def copy_picture(self) -> None:
        """The charts with their head, as a picture; drawn in the background."""
        review = self._review()
        if review is not None:
            self._session.background.run_in_background(
                lambda progress: _picture_of(review), self._copied, self._failed
            )

    def _copied(self, picture: QImage) -> None:
        QGuiApplication.clipboard().setImage(picture)
        self._notice.say(tr("The picture was copied."))

    def copy_climbs(self) -> None:
        review = self._review()
        if review is not None:
            self._copy(_as_text(CLIMB_COLUMNS, review.climbs), tr("The table of climbs was copied."))

    def copy_episodes(self) -> None:
        review = self._review()
        if review is not None:
            text = _as_text(EPISODE_COLUMNS, episode_rows(review))
            self._copy(text, tr("The table of episodes out of band was copied."))

    def _review(self) -> Review | None:
        review = self._session.outing.review
        if review is None:
            self._notice.say(tr("Open a recording first; there is no outing to hand on."))
        return review

    def _save(self, title: str, suffix: str, filters: str, writers: dict[str, Writer]) -> None:
        review, notes = self._review(), self._session.notes.all
        if review is None:
            return
        from slopebeat.report.report import suggested_name

        path = SaveDialog.ask(self._window, title, suggested_name(review, suffix), filters)
        if path is None:
            return
        write = writers.get(path.suffix.lower())
        if write is None:
            self._notice.say(
                tr("End the name of the file in {endings}; nothing was saved.").format(
                    endings=tr(" or ").join(writers)
                )
            )
            return
        self._write(lambda: write(review, path, notes), tr("{path} was saved.").format(path=path), path)

    def _write(self, write: Callable[[], object], done: str, written: Path) -> None:
        self._session.background.run_in_background(
            lambda progress: write(), lambda result: self._notice.say(done, written), self._failed
        )

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self._notice.say(str(error))

    def _copy(self, text: str, done: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._notice.say(done)


def _as_text(columns: Sequence[Column], rows: Sequence[Any]) -> str:
    cells = [[column.text(column.value(i, row)) for column in columns] for i, row in enumerate(rows)]
    return table_text([column.header for column in columns], cells)
