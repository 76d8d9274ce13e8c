"""Handing an outing on: report, tables and pictures as files, summary and tables to the clipboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QStackedWidget, QWidget

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
from slopebeat.session.background import say_problem
from slopebeat.window.outing.stretches import CLIMB_COLUMNS, EPISODE_COLUMNS
from slopebeat.window.widgets.page_file import FileDialog

if TYPE_CHECKING:
    from slopebeat.library.store import Library
    from slopebeat.report.formats import Formats
    from slopebeat.session.session import Session
    from slopebeat.window.widgets.notices import Notice
    from slopebeat.window.widgets.rows import Column

Notes = tuple[Note, ...]


def _report_of(review: Review, notes: Notes) -> Formats:
    """What writes reports is loaded with the first of them: most starts write none."""
    from slopebeat.report.report import report_formats

    return report_formats(review, notes)


def _pictures_of(review: Review) -> Formats:
    """The same for pictures."""
    from slopebeat.report.report import picture_formats

    return picture_formats(review)


def _picture_of(review: Review) -> QImage:
    from slopebeat.report.paint import text_width
    from slopebeat.report.pictures import image
    from slopebeat.report.report import outing_picture

    return image(outing_picture(review, text_width))


ARCHIVES = "ZIP (*.zip)"
OUTING_PAGE = 1
"""Among the window's pages, after the one that welcomes."""


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
        notes = self._session.notes.all
        kinds = "PDF (*.pdf);;HTML (*.html)"
        self._save(tr("Save report"), ".pdf", kinds, lambda review: _report_of(review, notes))

    def save_picture(self) -> None:
        self._save(tr("Save picture"), ".png", "PNG (*.png);;SVG (*.svg)", _pictures_of)

    def save_tables(self) -> None:
        review, notes = self._review(), self._session.notes.all
        folder = None if review is None else FileDialog.ask_folder(self._window, tr("Save tables as CSV"))
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
        path = FileDialog.ask_to_save(self._window, tr("Save an archive"), name, ARCHIVES)
        if path is not None:
            self._session.library.work.run(
                tr("Saving an archive"),
                lambda progress: write_archive(library, athlete.identity, path, progress),
                lambda archive: self._notice.say(archive_words(archive, path), path.parent),
            )

    def take_in_archive(self) -> None:
        """What another person saved, into the library that is open, else the user's own, made if missing."""
        path = FileDialog.ask_to_open(self._window, tr("Take in an archive"), ARCHIVES)
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
                lambda progress: _picture_of(review), self._copied, say_problem(self._notice.say)
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

    def _save(self, title: str, suffix: str, kinds: str, made: Callable[[Review], Formats]) -> None:
        review = self._review()
        if review is None:
            return
        from slopebeat.report.formats import write_as
        from slopebeat.report.report import suggested_name

        path = FileDialog.ask_to_save(self._window, title, suggested_name(review, suffix), kinds)
        if path is not None:
            done = tr("{path} was saved.").format(path=path)
            self._write(lambda: write_as(made(review), path), done, path)

    def _write(self, write: Callable[[], object], done: str, written: Path) -> None:
        self._session.background.run_in_background(
            lambda progress: write(),
            lambda result: self._notice.say(done, written),
            say_problem(self._notice.say),
        )

    def _copy(self, text: str, done: str) -> None:
        QGuiApplication.clipboard().setText(text)
        self._notice.say(done)


def _as_text(columns: Sequence[Column], rows: Sequence[Any]) -> str:
    cells = [[column.text(column.value(i, row)) for column in columns] for i, row in enumerate(rows)]
    return table_text([column.header for column in columns], cells)
